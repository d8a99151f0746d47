"""Jobs and materials taken back whole: rows that name them wait, and later rows of them stand."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import polars as pl

from pipelines.checking.findings import Fault
from pipelines.checking.told_keys import PLACE
from schemas.record import Record
from schemas.records import RECORDS

_REFERRED_TO = ("jobs", "materials")
_KEY = ["record", "bare_key"]
_STAY = {"purchases": frozenset({"job_ref"})}
"""References that hold no row back: what was bought was bought, whichever job it was for."""
_REMEDY = "hand in the {thing} again, or take this row back too"

_PLACED: dict[str, pl.DataType] = {
    "record": pl.String(), "receipt_no": pl.Int64(), "sheet": pl.String(), "row_no": pl.Int64(),
    "part_no": pl.Int64(),
}  # fmt: skip


@dataclass(frozen=True)
class TakenBack:
    """
    What withdrawals mean for other rows.

    names: by record, each key value that was taken back whole, with the place that did; rows that
    came later may stand. rows: places of the rows taken back themselves. anew: places of rows that
    came after all rows of their key were taken back, so that they say something new even where
    they repeat one.
    """

    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    rows: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=_PLACED))
    anew: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=_PLACED))

    def __bool__(self) -> bool:
        """Return whether there is anything to judge again for."""
        return any(self.names.values()) or not self.anew.is_empty()


def find_taken_back(told: pl.DataFrame, withdrawn: pl.DataFrame) -> TakenBack:
    """
    Return what is taken back whole, and what stands anew since.

    Args:
        told: every received row with the key that it tells.
        withdrawn: receipt.withdrawn_row.

    """
    batches = told.select(
        pl.col("receipt_no").alias("withdrawn_receipt_no"),
        pl.col("batch_no").alias("withdrawn_batch_no"),
        pl.col("file_name").alias("by_file"),
    ).unique()
    gone = withdrawn.select("record", *PLACE, *_BY).join(batches, on="withdrawn_receipt_no")
    rows = told.join(gone, on=["record", *PLACE], how="left")
    whole = rows.group_by(_KEY).agg(
        pl.col("withdrawn_batch_no").max().alias("until_no"),
        (pl.col("is_kept") & pl.col("withdrawn_batch_no").is_null())
        .filter(pl.col("batch_no") <= pl.col("withdrawn_batch_no").max())
        .any()
        .alias("is_in_part"),
    )
    of_whole = rows.join(
        whole.filter(pl.col("until_no").is_not_null() & ~pl.col("is_in_part")), on=_KEY
    )
    return TakenBack(
        {name: dict(_name_places(name, of_whole)) for name in _REFERRED_TO},
        gone.select(list(_PLACED)),
        of_whole.filter(pl.col("batch_no") > pl.col("until_no")).select(list(_PLACED)),
    )


_BY = ("withdrawn_receipt_no", "withdrawn_sheet", "withdrawn_row_no")


def _name_places(record: str, whole: pl.DataFrame) -> Iterator[tuple[str, str]]:
    start = f"{RECORDS[record].key[0]}="
    rows = whole.filter(record=record).drop_nulls("withdrawn_receipt_no")
    for key, name, sheet, row_no in rows.select("bare_key", "by_file", *_BY[1:]).iter_rows():
        where = f", sheet {sheet}" if sheet else ""
        yield key.removeprefix(start), f"{name}{where}, row {row_no}"


def refuse_taken_back(
    record: Record, rows: pl.DataFrame, taken: TakenBack, histories: Mapping[str, pl.DataFrame]
) -> Iterator[Fault]:
    """
    Give a fault for each of `rows` (typed) that names what was taken back and does not stand again.

    `histories` are the kept rows of the records judged before. Rows that were themselves taken
    back have none.
    """
    left = rows.join(taken.rows.filter(record=record.name), on=PLACE, how="anti")
    for column, other in record.references.items():
        if column in _STAY.get(record.name, ()) or not taken.names.get(other):
            continue
        stands = _standing(other, taken, histories)
        names = {name: by for name, by in taken.names[other].items() if name not in stands}
        naming = left.filter(pl.col(column).is_in(list(names)))
        for row_id, value in naming.select("row_id", column).iter_rows():
            reason = f"names {value}, which was taken back by {names[value]}"
            thing = other.removesuffix("s")
            yield Fault(row_id, column, value, reason, _REMEDY.format(thing=thing))


def _standing(
    record: str, taken: TakenBack, histories: Mapping[str, pl.DataFrame]
) -> frozenset[str]:
    gone = taken.rows.filter(record=record)
    standing = histories[record].join(gone, on=PLACE, how="anti")
    return frozenset(standing[RECORDS[record].key[0]])
