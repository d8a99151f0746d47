"""A roof estimated: its rows judged and worked out as a quote's, beside all that was received."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import polars as pl

from pipelines.errors import RoofError
from pipelines.estimating.cautions import find_cautions
from pipelines.estimating.first_estimate import estimate_lines, sum_costs
from pipelines.month.estimated import Estimate, EstimatedLine, Suggested
from pipelines.month.folder import open_folder
from pipelines.month.graph import Frames
from pipelines.month.progress import Progress, Silent
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import read_receipts
from pipelines.month.stages import list_stages
from pipelines.month.working_out import work_out
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.register import Receipt, list_receipts
from pipelines.receiving.roof_files import name_roof, read_roof
from pipelines.settings import read_settings
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.tables import fetch
from schemas.records import JUDGED_IN_ORDER, RECORDS

SILENT = Silent()
_NEEDED = (
    "receipt.repair", "receipt.reject", "ledger.jobs", "ledger.materials", "usage.edge_run",
    "learn.base_quantity", "result.cut_job", "result.allowance_in_force", "stock.price_in_force",
    "usage.default_size",
)  # fmt: skip
_SUGGESTED = "result.proposal"


@dataclass(frozen=True)
class _Roof:
    """The roof as one more receipt, under a reference that no job of the firm has."""

    path: Path
    reference: str
    job_ref: str
    received: ReadReceipt


def estimate_roof(
    root: Path,
    path: Path,
    as_of: date | None = None,
    *,
    with_suggested: bool = False,
    progress: Progress = SILENT,
) -> Estimate:
    """
    Return what the roof in the file at `path` needs, on all that the folder `root` has received.

    The roof is judged and worked out as a quote by a run's own stages, in memory; nothing is
    written. It brings no day, so that no figure in force counts it. `as_of` is the day whose
    prices and allowances stand: the argument, else the settings' own, else today.

    Raises:
        RoofError: a roof that cannot be read, a name that is not known, a coverage with losses.

    """
    folder = open_folder(root)
    settings = read_settings(folder.settings_file)
    file = read_roof(path, RECORDS)
    mappings = load_mappings(folder.mappings, RECORDS)
    held = read_receipts(list_receipts(folder.received), mappings, progress.reading)
    day = as_of or settings.as_of or datetime.now(tz=UTC).date()
    roof = _as_receipt(path, file, held)
    wanted = (*_NEEDED, _SUGGESTED) if with_suggested else _NEEDED
    with open_in_memory() as connection:
        stages = list_stages(settings, day, [*held, roof.received])
        work_out(connection, stages, progress, wanted)
        frames = {name: fetch(connection, name) for name in wanted}
    _refuse_rejected(roof, frames)
    return _tell(roof, day, frames)


def _as_receipt(path: Path, file: ReadFile, held: Sequence[ReadReceipt]) -> _Roof:
    receipt_no = 1 + max((one.receipt.receipt_no for one in held), default=0)
    batch_no = 1 + max((one.batch_no for one in held), default=0)
    job_ref = f"estimate of receipt {receipt_no}"
    reference, renamed = name_roof(file, job_ref)
    receipt = Receipt(receipt_no, datetime.now(tz=UTC), "", path.name, path)
    return _Roof(path, reference, job_ref, ReadReceipt(receipt, batch_no, renamed))


def _own(roof: _Roof, frame: pl.DataFrame) -> pl.DataFrame:
    return frame.filter(pl.col("receipt_no") == roof.received.receipt.receipt_no)


def _refuse_rejected(roof: _Roof, frames: Frames) -> None:
    """Raise the first fault of the roof's rows: a row that hangs on another comes after it."""
    rejects = _own(roof, frames["receipt.reject"]).to_dicts()
    for row in sorted(
        rejects, key=lambda row: (JUDGED_IN_ORDER.index(row["record"]), row["row_no"])
    ):
        place = f"{row['record']} row {row['row_no']}"
        named = f", {row['column_name']} '{row['value']}'" if row["column_name"] else ""
        raise RoofError(f"{roof.path}: {place}{named} {row['reason']}: {row['remedy']}")


def _tell(roof: _Roof, day: date, frames: Frames) -> Estimate:
    of_roof = pl.col("job_ref") == roof.job_ref
    job = frames["ledger.jobs"].row(by_predicate=of_roof, named=True)
    own_type = pl.col("job_type") == job["job_type"]
    lines = _estimate(frames, of_roof, frames["result.allowance_in_force"].filter(own_type))
    suggested = pl.DataFrame(schema=lines.schema)
    if _SUGGESTED in frames:
        offered = frames[_SUGGESTED].filter(own_type & pl.col("is_offered"))
        suggested = _estimate(frames, of_roof, _as_allowance(offered))
        suggested = suggested.filter(pl.col("material").is_in(offered["material"].to_list()))
    unknown = lines.filter(pl.col("base_quantity").is_null())["material"]
    return Estimate(
        reference=roof.reference,
        job_type=job["job_type"],
        work=job["work"],
        lay_up=job["lay_up"],
        area_m2=job["quoted_area_m2"],
        as_of=day,
        lines=_lines(lines, suggested),
        total_gbp=sum_costs(lines),
        unpriced=tuple(lines.filter(pl.col("price_gbp").is_null())["material"]),
        unknown=tuple(unknown),
        notes=(*_notes(roof, frames), *_defaults(lines, frames["usage.default_size"])),
        cautions=find_cautions(
            job["quoted_area_m2"], job["work"], _longest_joined_mm(frames, of_roof)
        ),
    )


def _estimate(frames: Frames, of_roof: pl.Expr, allowances: pl.DataFrame) -> pl.DataFrame:
    as_quoted = of_roof & (pl.col("stage") == "quoted")
    return estimate_lines(
        frames["learn.base_quantity"].filter(as_quoted),
        frames["ledger.materials"],
        allowances,
        frames["result.cut_job"].filter(as_quoted & (pl.col("plan") == "best")),
        frames["stock.price_in_force"],
    )


def _as_allowance(offered: pl.DataFrame) -> pl.DataFrame:
    return offered.select(
        "material",
        pl.lit("suggested").alias("how"),
        pl.lit(None, pl.Date).alias("in_force_from"),
        pl.col("suggested_fixed_loss").alias("fixed_loss"),
        pl.col("suggested_price_ratio").alias("price_ratio"),
        pl.col("suggested_load_ratio").alias("load_ratio"),
        pl.col("suggested_blend_ratio").alias("blend_ratio"),
        pl.col("suggested_piece_shift").alias("piece_shift"),
    )


def _lines(lines: pl.DataFrame, suggested: pl.DataFrame) -> tuple[EstimatedLine, ...]:
    names = tuple(Suggested.__dataclass_fields__)
    beside = {
        row["material"]: Suggested(**{name: row[name] for name in names})
        for row in suggested.iter_rows(named=True)
    }
    return tuple(
        EstimatedLine(**row, suggested=beside.get(row["material"]))
        for row in lines.iter_rows(named=True)
    )


def _longest_joined_mm(frames: Frames, of_roof: pl.Expr) -> int | None:
    runs = frames["usage.edge_run"].filter(of_roof & (pl.col("kind") == "trim"))
    lengths = frames["ledger.materials"].select("material", "stock_length_mm")
    joined = runs.join(lengths, on="material").filter(
        pl.col("quoted_run_mm") > pl.col("stock_length_mm")
    )
    edges: list[int] = joined["quoted_edge_mm"].to_list()
    return max(edges, default=None)


def _defaults(lines: pl.DataFrame, sizes: pl.DataFrame) -> tuple[str, ...]:
    """Say which sizes of the roof's materials no record gave, as they decide what is cut."""
    return tuple(
        f"{material}: {', '.join(own['said'])}: default, not yours. Give yours in the materials "
        "record."
        for (material,), own in sizes.sort("material", "said").group_by(
            "material", maintain_order=True
        )
        if material in set(lines["material"])
    )


def _notes(roof: _Roof, frames: Frames) -> tuple[str, ...]:
    mended = _own(roof, frames["receipt.repair"]).filter(pl.col("rule") != "converted")
    told = [
        f"{row['column_name']} '{row['value_before']}' read as '{row['value_after']}': "
        f"{row['rule']}"
        for row in mended.iter_rows(named=True)
    ]
    plans = frames["result.cut_job"].filter(
        (pl.col("job_ref") == roof.job_ref)
        & (pl.col("plan") == "best")
        & pl.col("problem").is_not_null()
        & (pl.col("stage") == "quoted")
    )
    told += [f"{row['material']}: {row['problem']}" for row in plans.iter_rows(named=True)]
    return (*roof.received.file.notes, *dict.fromkeys(told))
