"""Rows that nothing else received could stand against: they are kept without being compared."""

from collections.abc import Mapping, Sequence

import polars as pl

from pipelines.checking.same_lines import LINE
from schemas.record import Record


def find_alone(record: Record, rows: pl.DataFrame, twins: Mapping[int, int]) -> pl.Series:
    """
    Return, row by row, whether the row is kept whatever the others are.

    That is: no other row has its key, its entry left out, or its document came whole, without
    line numbers and in one file only. Keys are told apart by a digest: two that fall together
    are only compared with care.
    """
    key = [name for name in record.key if name != "entry" or not record.adds_up]
    is_alone = _digest(rows, key).is_unique()
    if not record.whole_documents:
        return is_alone
    is_numbered = rows[LINE].is_not_null()
    if is_numbered.all():
        return is_alone
    document = [name for name in key if name != LINE]
    return _is_simple(rows, document, twins) & (is_alone | ~is_numbered)


def name_entries(rows: pl.DataFrame) -> pl.DataFrame:
    """Return `row_id` and the first entry of each row's sheet as `given_entry`."""
    parts = [pl.when(pl.col(name) != "").then(pl.col(name)) for name in ("document", "sheet")]
    entry = pl.concat_str(*parts, pl.lit("1"), separator="/", ignore_nulls=True)
    return rows.select("row_id", entry.alias("given_entry"))


def _digest(rows: pl.DataFrame, names: Sequence[str]) -> pl.Series:
    return rows.select(names).hash_rows()


def _is_simple(rows: pl.DataFrame, document: Sequence[str], twins: Mapping[int, int]) -> pl.Series:
    """Return whether the row's document prints all line numbers, or came once and is no copy."""
    is_copy = pl.col("row_id").is_in(list(twins)) | pl.col("answers").is_not_null()
    lines = rows.select(
        _digest(rows, document).alias("document"),
        pl.col(LINE).is_not_null().alias("is_numbered"),
        "receipt_no",
        is_copy.alias("is_copy"),
    )
    came_once = (pl.col("receipt_no").n_unique() == 1) & ~pl.col("is_copy").any()
    simple = lines.group_by("document").agg(
        (pl.col("is_numbered").all() | came_once).alias("is_simple")
    )
    return lines.join(simple, on="document", how="left", maintain_order="left")["is_simple"]
