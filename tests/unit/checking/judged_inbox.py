"""Files handed in and judged, and what came of them."""

import polars as pl

from pipelines.checking.judging import FirmLists, JudgedRecord, judge
from schemas.records import RECORDS
from tests.support.handed_in import HandedIn


class Inbox(HandedIn):
    """Files of one or more batches; `judge` judges all of them, as every run does."""

    def judge(self, lists: FirmLists | None = None) -> dict[str, JudgedRecord]:
        """Return every kind of record judged."""
        return judge(self.received(), lists or FirmLists())


def outcomes(judged: JudgedRecord) -> list[str]:
    """Return the outcomes in the order in which the rows were received."""
    return judged.outcomes.sort("receipt_no", "sheet", "row_no", "part_no")["outcome"].to_list()


def reasons(judged: JudgedRecord) -> list[str]:
    """Return why rows were rejected, with the column, in the order of the rows."""
    ordered = judged.rejects.sort("receipt_no", "sheet", "row_no", "part_no", maintain_order=True)
    return [
        f"{column or 'row'}: {reason}"
        for column, reason in ordered.select("column_name", "reason").iter_rows()
    ]


def in_force(judged: JudgedRecord, record: str, *names: str) -> list[tuple[object, ...]]:
    """Return `names` of every key in force, column by column the newest filled value, by key."""
    schema = RECORDS[record]
    keys: dict[tuple[object, ...], dict[str, object]] = {}
    for row in _standing(judged.history, whole=schema.whole_documents).iter_rows(named=True):
        key = tuple(row[name] for name in schema.key)
        if schema.whole_documents and row["line_no"] is None:
            key = (*key, row["receipt_no"], row["row_no"])
        held = keys.setdefault(key, {})
        held |= dict.fromkeys(row["emptied"])
        held |= {name: value for name, value in row.items() if value is not None}
    found = [tuple(row.get(name) for name in names) for row in keys.values()]
    return sorted(found, key=str)


def _standing(history: pl.DataFrame, *, whole: bool) -> pl.DataFrame:
    if not whole:
        return history
    document = ("supplier", "document_type", "document_no", "year")
    newest = pl.col("receipt_no").max().over(document)
    return history.filter(pl.col("line_no").is_not_null() | (pl.col("receipt_no") == newest))
