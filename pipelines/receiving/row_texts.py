"""The text of a row as people see it: JSON of heading to text, filled cells only."""

import json
from collections.abc import Sequence
from dataclasses import replace

import polars as pl

from pipelines.receiving.handed_over import ReadSheet

HEADS = "row_heads"
"""Column of JSON: what is shown over each column and our column, where `row_text` is to be made."""

_ESCAPED = r'["\\\x00-\x1f]'
_ESCAPES = {chr(code): json.dumps(chr(code))[1:-1] for code in (*range(32), ord('"'), ord("\\"))}


def keep_heads(heads: Sequence[tuple[str, str]]) -> str | None:
    """Return the headings of a sheet as one text for `HEADS`; None where there are none."""
    return json.dumps(heads, ensure_ascii=False) if heads else None


def tell_rows(rows: pl.DataFrame) -> pl.Series:
    """Return `row_text` of rows as received, made where it is null and `HEADS` says how."""
    text = rows["row_text"]
    if HEADS not in rows.columns:
        return text
    for heads in rows[HEADS].unique().drop_nulls():
        made = rows.select(_tell(rows, json.loads(heads))).to_series()
        is_open = text.is_null() & (rows[HEADS] == heads).fill_null(value=False)
        text = made.zip_with(is_open, text)
    return text.alias("row_text")


def tell_sheet(sheet: ReadSheet) -> ReadSheet:
    """Return the sheet with the text of each row in its frames."""
    heads = pl.lit(keep_heads(sheet.heads), pl.String).alias(HEADS)
    rows = {
        record: frame.with_columns(tell_rows(frame.with_columns(heads)))
        for record, frame in sheet.rows.items()
    }
    return replace(sheet, rows=rows, heads=())


def _tell(rows: pl.DataFrame, heads: Sequence[tuple[str, str]]) -> pl.Expr:
    cells = [
        pl.lit(f'{json.dumps(shown, ensure_ascii=False)}: "') + _escaped(rows[name]) + pl.lit('"')
        for shown, name in heads
    ]
    told = pl.concat_str(cells, separator=", ", ignore_nulls=True)
    return pl.concat_str(pl.lit("{"), told, pl.lit("}"))


def _escaped(cells: pl.Series) -> pl.Expr:
    if not cells.str.contains(_ESCAPED).any():
        return pl.col(cells.name)
    return pl.col(cells.name).str.replace_many(_ESCAPES)
