"""A column of text read: each text once, however often it stands."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import polars as pl

from pipelines.checking.figures import WIDE
from pipelines.checking.findings import Findings
from pipelines.checking.readings import Value

Read = Callable[[str, str | None], Value]
"""What a text means, given what its sheet or file proves of it."""

_CONTEXT = "context"


def read_texts(
    rows: pl.DataFrame,
    name: str,
    read: Read,
    dtype: pl.DataType,
    findings: Findings,
    *,
    contexts: pl.DataFrame | None = None,
    plain: pl.Series | None = None,
) -> list[pl.Series]:
    """
    Return column `name` read, and for a quantity that is converted later its units too.

    `contexts` gives, by the columns of `rows` that it shares, the `context` that a text is read
    in. `plain` holds what is known of a cell without reading it, null elsewhere. What is at fault
    or mended is noted in the order of the rows.
    """
    cells = rows.select("row_id", pl.col(name).alias("text"), _context(rows, contexts))
    unread = cells.drop_nulls("text")
    if plain is not None:
        unread = cells.filter(pl.col("text").is_not_null() & plain.is_null())
    read_once = _read_each(unread.select("text", _CONTEXT).unique(maintain_order=True), read, dtype)
    _note(name, unread, read_once, findings)
    found = _find(cells, read_once, dtype)
    typed = found["value"] if plain is None else plain.zip_with(plain.is_not_null(), found["value"])
    return [typed.alias(name), *([found["unit"].alias(f"{name}__unit")] if dtype == WIDE else [])]


def _context(rows: pl.DataFrame, contexts: pl.DataFrame | None) -> pl.Series:
    shown = [None] if contexts is None else contexts[_CONTEXT].unique().to_list()
    if contexts is None or len(shown) == 1:
        return pl.repeat(shown[0], rows.height, dtype=pl.String, eager=True).alias(_CONTEXT)
    by = [column for column in contexts.columns if column != _CONTEXT]
    return rows.select(by).join(contexts, on=by, how="left", maintain_order="left")[_CONTEXT]


def _read_each(texts: pl.DataFrame, read: Read, dtype: pl.DataType) -> pl.DataFrame:
    """Return each text and context with its value, unit, rule, fault and remedy."""
    found = [read(text, context) for text, context in texts.iter_rows()]
    return texts.with_columns(
        pl.Series("value", [one.value for one in found], dtype=dtype),
        pl.Series("unit", [one.unit for one in found], dtype=pl.String),
        pl.Series("rule", [one.rule for one in found], dtype=pl.String),
        pl.Series("fault", [one.fault for one in found], dtype=pl.String),
        pl.Series("remedy", [one.remedy for one in found], dtype=pl.String),
        pl.Series("after", [_as_text(one) for one in found], dtype=pl.String),
    )


def _find(cells: pl.DataFrame, read_once: pl.DataFrame, dtype: pl.DataType) -> pl.DataFrame:
    """Return value and unit of each cell."""
    if read_once.is_empty():
        blank = pl.lit(None, dtype).alias("value"), pl.lit(None, pl.String).alias("unit")
        return cells.select("row_id", *blank)
    on = ["text"] if read_once["text"].is_unique().all() else ["text", _CONTEXT]
    told = read_once.select(*on, "value", "unit")
    return cells.join(told, on=on, how="left", nulls_equal=len(on) > 1, maintain_order="left")


def _note(name: str, cells: pl.DataFrame, read_once: pl.DataFrame, findings: Findings) -> None:
    noted = read_once.filter(pl.col("fault").is_not_null() | pl.col("rule").is_not_null())
    if noted.is_empty():
        return
    told = cells.join(
        noted, on=["text", _CONTEXT], nulls_equal=True, maintain_order="left"
    ).with_columns(pl.lit(name).alias("column_name"))
    findings.reject_rows(
        told.drop_nulls("fault").select(
            "row_id",
            "column_name",
            pl.col("text").alias("value"),
            pl.col("fault").alias("reason"),
            pl.col("remedy").fill_null(_remedy(name)),
        )
    )
    findings.mend_rows(
        told.filter(pl.col("fault").is_null()).select(
            "row_id",
            "column_name",
            pl.col("text").alias("value_before"),
            pl.col("after").alias("value_after"),
            "rule",
            pl.lit(value=True).alias("mends"),
        )
    )


def _remedy(name: str) -> str:
    if name.endswith("_on") or name in {"valid_until", "valid_from"}:
        return "write the date as 2026-03-31"
    return "correct the cell and hand the row in again"


def _as_text(found: Value) -> str | None:
    """Return the value as it stands on record, where it was mended."""
    value: date | Decimal | float | str = found.value
    if found.rule is None:
        return None
    return f"{value:f}" if isinstance(value, Decimal) else str(value)
