"""All receipts read and judged: what every file held and what became of every row."""

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

import polars as pl

from pipelines.checking.absences import ASKED_ABOUT, find_gone
from pipelines.checking.judging import FirmLists, JudgedRecord, judge
from pipelines.checking.withdrawals import Held, find_withdrawn
from pipelines.month.mended import find_mended, mark_mended
from pipelines.month.read_receipt import ReadReceipt
from pipelines.receiving.handed_over import FaultSort, FileFault, ReadFile
from pipelines.receiving.mappings import SourceMapping
from pipelines.receiving.reading import read_file
from pipelines.receiving.register import Receipt
from pipelines.receiving.row_texts import HEADS, keep_heads
from pipelines.settings import Settings
from schemas.frames import shape_of
from schemas.records import RECORDS

TAKEN_IN = "taken in"
PARTLY = "taken in, but for a sheet"
NOT_READ = "could not be read"
TO_TYPE_IN = "to type in"

CLOSED_FILE = re.compile(r"closed figures \d{4}-\d{2}\.csv")
"""Names of the files in which a run keeps the figures of a closed month."""

KEPT_AT_CLOSING = "kept at a closing"
"""Source of these files: nobody handed them in."""


def read_receipts(
    receipts: Sequence[Receipt],
    mappings: Sequence[SourceMapping],
    tell: Callable[[int, int], None],
) -> list[ReadReceipt]:
    """Return every receipt read; `tell` hears how many of how many are done."""
    batch_nos = {at: no for no, at in enumerate(sorted({one.batch_at for one in receipts}), 1)}
    found = []
    for done, receipt in enumerate(receipts, 1):
        batch_no = batch_nos[receipt.batch_at]
        if CLOSED_FILE.fullmatch(receipt.name):
            found.append(read_own(receipt, batch_no))
        else:
            file = read_file(receipt.path, receipt.name, mappings, RECORDS)
            found.append(ReadReceipt(receipt, batch_no, file))
        tell(done, len(receipts))
    return found


def read_own(receipt: Receipt, batch_no: int) -> ReadReceipt:
    """Return a file that a run wrote into the register read: no mapping may lay hold of it."""
    file = read_file(receipt.path, receipt.name, (), RECORDS)
    return ReadReceipt(receipt, batch_no, replace(file, source=KEPT_AT_CLOSING))


def judge_receipts(
    read: Sequence[ReadReceipt], settings: Settings, as_of: date
) -> dict[str, pl.DataFrame]:
    """
    Return the receipt.* and history.* tables by relation name.

    No row may tell of what is done later than `as_of`, or than the day after its file came in.
    """
    received = _rows_by_record(read, as_of)
    judged = judge(received, _firm_lists(settings))
    outcomes = pl.concat(
        [_skipped(read), *(one.outcomes.select(_OUTCOME_COLUMNS) for one in judged.values())]
    )
    rejects = pl.concat([one.rejects for one in judged.values()]) if judged else _NO_REJECTS
    files, withdrawn = _files(read, outcomes), _withdrawn_rows(received, judged)
    tables = {
        "receipt.file": files,
        "receipt.note": _notes(read),
        "receipt.row_outcome": outcomes,
        "receipt.repair": _stacked("receipt.repair", (one.repairs for one in judged.values())),
        "receipt.reject": find_mended(rejects, received, outcomes),
        "receipt.withdrawn_row": withdrawn,
        "receipt.row_gone": _gone_rows(judged, files, withdrawn),
    }
    return tables | _histories(judged)


_NO_REJECTS = pl.DataFrame(schema=shape_of("receipt.reject")).drop("mended_by_receipt_no")
_OUTCOME_COLUMNS = list(shape_of("receipt.row_outcome"))


def _firm_lists(settings: Settings) -> FirmLists:
    return FirmLists(
        job_types={kind.job_type: kind.words for kind in settings.job_types},
        lay_ups=tuple(lay_up.lay_up for lay_up in settings.lay_ups),
        crews=settings.crews,
        day_first=settings.day_first,
        yard=settings.yard,
    )


def _rows_by_record(read: Iterable[ReadReceipt], as_of: date) -> dict[str, pl.DataFrame]:
    frames: dict[str, list[pl.DataFrame]] = defaultdict(list)
    for one in read:
        came_by = one.receipt.batch_at.date() + timedelta(days=1)
        origin = (
            pl.lit(max(as_of, came_by)).alias("latest_on"),
            pl.lit(one.receipt.receipt_no, pl.Int64).alias("receipt_no"),
            pl.lit(one.batch_no, pl.Int64).alias("batch_no"),
            pl.lit(one.file.document).alias("document"),
            pl.lit(one.file.name).alias("file_name"),
        )
        for sheet in one.file.sheets:
            heads = pl.lit(keep_heads(sheet.heads), pl.String).alias(HEADS)
            for record, rows in sheet.rows.items():
                if not rows.is_empty():
                    frames[record].append(mark_mended(rows.with_columns(*origin, heads)))
    return {record: pl.concat(found, how="diagonal") for record, found in frames.items()}


def _skipped(read: Iterable[ReadReceipt]) -> pl.DataFrame:
    rows = [
        {
            "receipt_no": one.receipt.receipt_no,
            "sheet": sheet.sheet,
            "row_no": skipped.row_no,
            "part_no": 1,
            "record": None,
            "outcome": "skipped",
            "reason": skipped.why,
        }
        for one in read
        for sheet in one.file.sheets
        for skipped in sheet.skipped
    ]
    return pl.DataFrame(rows, schema=shape_of("receipt.row_outcome"))


def _withdrawn_rows(
    received: Mapping[str, pl.DataFrame], judged: Mapping[str, JudgedRecord]
) -> pl.DataFrame:
    if "withdrawn" not in judged:
        return pl.DataFrame(schema=shape_of("receipt.withdrawn_row"))
    held = Held()
    for record, one in judged.items():
        held.remember(record, one.history, received[record])
    return find_withdrawn(judged["withdrawn"].history, held)


def _gone_rows(
    judged: Mapping[str, JudgedRecord], files: pl.DataFrame, withdrawn: pl.DataFrame
) -> pl.DataFrame:
    told = [one.told for record, one in judged.items() if record in ASKED_ABOUT]
    if not told:
        return pl.DataFrame(schema=shape_of("receipt.row_gone"))
    whole = files.filter(pl.col("outcome") == TAKEN_IN).select("receipt_no", "document")
    return find_gone(pl.concat(told), whole, withdrawn)


def _files(read: Sequence[ReadReceipt], outcomes: pl.DataFrame) -> pl.DataFrame:
    counted = outcomes.group_by("receipt_no").agg(
        _count("clean", "repaired").alias("accepted_count"),
        _count("repaired").alias("repaired_count"),
        _count("rejected").alias("rejected_count"),
        _count("already held").alias("already_held_count"),
        _count("skipped").alias("skipped_count"),
    )
    told = pl.DataFrame(
        [_file(one) for one in read],
        schema={
            name: dtype
            for name, dtype in shape_of("receipt.file").items()
            if name not in counted.columns or name == "receipt_no"
        },
    )
    joined = told.join(counted, on="receipt_no", how="left", maintain_order="left")
    return joined.with_columns(pl.selectors.ends_with("_count").fill_null(0).cast(pl.Int64)).select(
        list(shape_of("receipt.file"))
    )


def _count(*outcomes: str) -> pl.Expr:
    return pl.col("outcome").is_in(list(outcomes)).sum()


def _file(one: ReadReceipt) -> dict[str, object]:
    faults = [say_fault(fault) for fault in one.file.faults]
    return {
        "receipt_no": one.receipt.receipt_no,
        "batch_no": one.batch_no,
        "batch_at": one.receipt.batch_at,
        "file_name": one.file.name,
        "document": one.file.document,
        "source": one.file.source,
        "is_proved": one.file.is_proved,
        "outcome": _outcome(one.file),
        "message": "; ".join(faults) or None,
        "rows_read_count": sum(sheet.units_counted for sheet in one.file.sheets),
    }


def _outcome(file: ReadFile) -> str:
    if not file.faults:
        return TAKEN_IN
    if file.sheets:
        return PARTLY
    is_paper = all(fault.sort is FaultSort.TO_TYPE_IN for fault in file.faults)
    return TO_TYPE_IN if is_paper else NOT_READ


def _notes(read: Iterable[ReadReceipt]) -> pl.DataFrame:
    rows = [(one.receipt.receipt_no, note) for one in read for note in one.file.notes]
    return pl.DataFrame(rows, schema=shape_of("receipt.note"), orient="row")


def say_fault(fault: FileFault) -> str:
    """Return why a file or sheet was not read, and what to do, in one line."""
    where = f"sheet {fault.sheet}: " if fault.sheet and fault.sheet not in fault.why else ""
    return f"{where}{fault.why}: {fault.mend}"


def _stacked(relation: str, frames: Iterable[pl.DataFrame]) -> pl.DataFrame:
    shape = shape_of(relation)
    empty = pl.DataFrame(schema=shape)
    return pl.concat([empty, *(frame.select(list(shape)) for frame in frames)])


def _histories(judged: Mapping[str, JudgedRecord]) -> dict[str, pl.DataFrame]:
    return {f"history.{record}": one.history for record, one in judged.items()}
