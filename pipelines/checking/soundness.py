"""Whether a row is sound in itself and with the rows of its key: rules, needed columns."""

from collections.abc import Iterable, Mapping

import polars as pl

from pipelines.checking.findings import Fault, Findings
from pipelines.checking.rules import find_faults
from pipelines.quantities import MM_IN_M, Item
from schemas.record import Record

_DONE_ON = frozenset(
    {
        "quoted_on", "completed_on", "issued_on", "moved_on", "lost_on", "agreed_on", "document_on",
        "ordered_on", "received_on", "cancelled_on", "counted_on", "closed_on", "withdrawn_on",
    }
)  # fmt: skip
"""Days on which something was done, so that no later one can be told of."""


def apply_rules(
    record: Record, rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> None:
    """Find the faults of typed rows; a cell that has one already gets no second."""
    cell = ["row_id", "column_name"]
    told = findings.faults().select(cell)
    found = find_faults(record.schema, rows.select("row_id", *record.schema.columns))
    findings.reject_rows(found.join(told, on=cell, how="anti", maintain_order="left"))
    if record.name == "offcuts":
        findings.reject(_longer_than_stock(rows, items))
    findings.reject(_still_to_come(record, rows))
    findings.reject(_emptied_though_needed(record, rows))


def _still_to_come(record: Record, rows: pl.DataFrame) -> Iterable[Fault]:
    for name in [name for name in record.columns if name in _DONE_ON]:
        late = rows.filter(pl.col(name) > pl.col("latest_on"))
        for row_id, day, latest_on in late.select("row_id", name, "latest_on").iter_rows():
            reason = f"is still to come: the file can tell of days to {latest_on}"
            remedy = "correct the date; if it is right, the row comes in when its day is there"
            yield Fault(row_id, name, str(day), reason, remedy)


def _longer_than_stock(rows: pl.DataFrame, items: Mapping[str, Item]) -> Iterable[Fault]:
    stocks = {name: item.stock_length_mm for name, item in items.items() if item.stock_length_mm}
    stock_mm = pl.col("material").replace_strict(stocks, default=None, return_dtype=pl.Int64)
    long = rows.filter(pl.col("length_mm") > stock_mm) if stocks else rows.clear()
    for row_id, material, length_mm in long.select("row_id", "material", "length_mm").iter_rows():
        item, stock = items[material], stocks[material]
        default = " (default, not yours)" if "stock_length_mm" in item.defaults else ""
        reason = f"is longer than a new length, which is {stock / MM_IN_M:.2f} m{default}"
        remedy = "measure the piece again, or correct stock_length_mm of the material"
        yield Fault(row_id, "length_mm", str(length_mm), reason, remedy)


def _emptied_though_needed(record: Record, rows: pl.DataFrame) -> Iterable[Fault]:
    for row_id, emptied in (
        rows.filter(pl.col("emptied").list.len() > 0).select("row_id", "emptied").iter_rows()
    ):
        for name in set(emptied) & set(record.needed_once):
            reason = "is needed, and 'none' would empty it"
            yield Fault(row_id, name, "none", reason, f"fill {name}, or leave it blank")


def find_never_filled(record: Record, rows: pl.DataFrame, standing: pl.Series) -> Iterable[Fault]:
    """Yield a fault for rows of a key in which no row that stands fills a column that is needed."""
    names = [name for name in record.needed_once if rows[name].null_count()]
    if not names:
        return
    sound = rows.filter(pl.col("row_id").is_in(standing.implode()))
    filled = sound.select(
        "row_id",
        *(pl.col(name).count().over(record.key).alias(name) for name in names),
    )
    for name in names:
        for row_id in filled.filter(pl.col(name) == 0)["row_id"]:
            reason = "is blank, and no other row of the same key fills it"
            yield Fault(row_id, name, None, reason, f"fill {name}; the row is judged at every run")
