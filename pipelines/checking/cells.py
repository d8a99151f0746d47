"""From text cells to typed columns, each value read once however often it stands."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

import pandera.polars as pa
import polars as pl

from pipelines.checking.dates import orders_shown, proven_order
from pipelines.checking.escapes import bare_escaped
from pipelines.checking.figures import is_converted, read_figure
from pipelines.checking.findings import Fault, Findings, Repair
from pipelines.checking.names import Names
from pipelines.checking.numbers import DECIMAL_COMMA, DECIMAL_POINT, Decimals
from pipelines.checking.readings import (
    NOTHING,
    Value,
    read_date,
    read_name,
    read_told,
    read_unit,
    read_word,
)
from pipelines.checking.verdicts import FREE_TEXT
from schemas.record import Record
from schemas.records import PROVENANCE

NONE = "none"
_FREE = FREE_TEXT | {"entry", "lot", "place"}
"""Columns in which any word may stand."""
SHEET = ["receipt_no", "sheet"]
WIDE = pl.Decimal(38, 9)
"""Type of a quantity before it is converted."""


@dataclass(frozen=True)
class FirmWords:
    """The firm's own lists: names by column, empty where the firm has set none."""

    names: Mapping[str, Names]
    day_first: bool | None = None


def clear_blanks(record: Record, rows: pl.DataFrame) -> pl.DataFrame:
    """
    Return `rows` with every column of the record as stripped text or null.

    Adds `emptied`: the columns in which the row says "none".
    """
    present = [name for name in record.columns if name in rows.columns]
    absent = [name for name in record.columns if name not in rows.columns]
    stripped = [bare_escaped(pl.col(name).str.strip_chars()).replace("", None) for name in present]
    rows = rows.with_columns(*stripped, *(pl.lit(None, pl.String).alias(name) for name in absent))
    says_none = {name: pl.col(name).str.to_lowercase() == NONE for name in record.columns}
    emptied = pl.concat_list(
        [pl.when(said).then(pl.lit(name)) for name, said in says_none.items()]
    ).list.drop_nulls()
    blanked = [
        pl.when(said).then(None).otherwise(pl.col(name)).alias(name)
        for name, said in says_none.items()
    ]
    return rows.with_columns(emptied.alias("emptied")).with_columns(blanked)


def type_columns(
    record: Record, rows: pl.DataFrame, words: FirmWords, findings: Findings
) -> pl.DataFrame:
    """
    Return `rows` with the record's columns typed by its schema.

    A text that cannot be read becomes null and a fault; a mended one a repair. For columns that
    are converted later, `<column>__unit` holds the unit written in the cell.
    """
    dtypes = {name: record.schema.columns[name].dtype.type for name in record.columns}
    days = [name for name, dtype in dtypes.items() if dtype == pl.Date]
    figures = [name for name, dtype in dtypes.items() if dtype.is_numeric()]
    typed = [_type_days(name, days, rows, words, findings) for name in days]
    typed += [
        _type_words(name, rows, words, record, findings)
        for name, dtype in dtypes.items()
        if dtype == pl.String
    ]
    decimals = _decimals(rows, figures)
    typed += [_type_figures(name, rows, dtypes[name], decimals, findings) for name in figures]
    return rows.with_columns(column for columns in typed for column in columns)


def _type_days(
    name: str, names: Sequence[str], rows: pl.DataFrame, words: FirmWords, findings: Findings
) -> list[pl.Series]:
    proven = _orders(name, names, rows, day_first=words.day_first)
    return _read(rows, name, read_date, pl.Date(), findings, contexts=proven)


def _orders(
    name: str, names: Sequence[str], rows: pl.DataFrame, *, day_first: bool | None
) -> list[str | None]:
    """Return, row by row, the proven order of day and month in column `name`."""
    sheets = rows.group_by(SHEET).agg(pl.col(names).unique(), pl.col("date_order").first())
    orders = {}
    for sheet in sheets.iter_rows(named=True):
        texts = {each: [text for text in sheet[each] if text is not None] for each in names}
        elsewhere = orders_shown(text for each in names if each != name for text in texts[each])
        orders[sheet["receipt_no"], sheet["sheet"]] = proven_order(
            texts[name], sheet["date_order"], day_first=day_first, elsewhere=elsewhere
        )
    return [orders[sheet] for sheet in rows.select(SHEET).iter_rows()]


def _type_words(
    name: str, rows: pl.DataFrame, words: FirmWords, record: Record, findings: Findings
) -> list[pl.Series]:
    allowed = _allowed(record.schema.columns[name])
    if allowed is not None:
        read: Callable[[str], Value] = partial(read_word, name=name, allowed=allowed)
    elif name == "unit":
        read = read_unit
    elif name in words.names:
        read = partial(read_name, names=words.names[name])
    elif name in {*record.key, *record.required} - _FREE:
        read = read_told
    else:
        return []
    return _read(rows, name, lambda text, _: read(text), pl.String(), findings)


def _allowed(described: pa.Column) -> list[str] | None:
    for check in described.checks:
        if check.name == "isin":
            return list(check.statistics["allowed_values"])
    return None


def _decimals(rows: pl.DataFrame, names: Sequence[str]) -> Mapping[int, Decimals]:
    """Return, by file, how its numbers write decimals, where some number has a decimal comma."""
    shown = rows.group_by("receipt_no").agg(
        _any_contains(names, DECIMAL_COMMA).alias("commas"),
        _any_contains(names, DECIMAL_POINT).alias("points"),
    )
    return {
        receipt_no: Decimals.BOTH if points else Decimals.COMMAS
        for receipt_no, commas, points in shown.iter_rows()
        if commas
    }


def _any_contains(names: Sequence[str], pattern: str) -> pl.Expr:
    found = (pl.col(name).str.contains(pattern).any() for name in names)
    return pl.any_horizontal(pl.lit(value=False), *found)


def _type_figures(
    name: str,
    rows: pl.DataFrame,
    dtype: pl.DataType,
    decimals: Mapping[int, Decimals],
    findings: Findings,
) -> list[pl.Series]:
    styles = [decimals.get(receipt_no, Decimals.POINTS) for receipt_no in rows["receipt_no"]]
    return _read(
        rows,
        name,
        lambda text, style: read_figure(text, name, dtype, style),
        WIDE if is_converted(name) else dtype,
        findings,
        contexts=styles,
    )


def _read(
    rows: pl.DataFrame,
    name: str,
    read: Callable[[str, Any], Value],
    dtype: pl.DataType,
    findings: Findings,
    *,
    contexts: Sequence[Any] | None = None,
) -> list[pl.Series]:
    """Return column `name` read, and for a quantity that is converted later its units too."""
    texts = rows[name].to_list()
    keys = list(zip(texts, contexts or [None] * len(texts), strict=True))
    values = {key: read(*key) for key in dict.fromkeys(keys) if key[0] is not None}
    _note(name, rows["row_id"].to_list(), keys, values, findings)
    found = [values.get(key, NOTHING) for key in keys]
    typed = pl.Series(name, [value.value for value in found], dtype=dtype)
    if dtype != WIDE:
        return [typed]
    units = pl.Series(f"{name}__unit", [value.unit for value in found], dtype=pl.String)
    return [typed, units]


def _note(
    name: str,
    row_ids: Sequence[int],
    keys: Sequence[tuple[str, Any]],
    values: Mapping[tuple[str, Any], Value],
    findings: Findings,
) -> None:
    noted = {key for key, found in values.items() if found.fault or found.rule}
    for row_id, key in zip(row_ids, keys, strict=True):
        if key not in noted:
            continue
        found = values[key]
        if found.fault:
            remedy = found.remedy or _remedy(name)
            findings.reject([Fault(row_id, name, key[0], found.fault, remedy)])
        else:
            findings.mend([Repair(row_id, name, key[0], _as_text(found.value), str(found.rule))])


def _remedy(name: str) -> str:
    if name.endswith("_on") or name in {"valid_until", "valid_from"}:
        return "write the date as 2026-03-31"
    return "correct the cell and hand the row in again"


def _as_text(value: date | Decimal | float | str) -> str:
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def kept_columns(record: Record) -> Iterator[str]:
    """Return the columns of a history row, in order."""
    yield from record.columns
    yield from (name for name in record.added if name not in record.columns)
    yield from PROVENANCE
    yield "emptied"
