"""From text cells to typed columns, each value read once however often it stands."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import pandera.polars as pa
import polars as pl

from pipelines.checking.dates import orders_shown, proven_order
from pipelines.checking.escapes import bare_escaped
from pipelines.checking.figures import WIDE, is_converted, read_figure, read_plain_figures
from pipelines.checking.findings import Findings
from pipelines.checking.names import Names
from pipelines.checking.numbers import DECIMAL_COMMA, DECIMAL_POINT, Decimals
from pipelines.checking.readings import (
    Value,
    read_date,
    read_name,
    read_told,
    read_told_plainly,
    read_unit,
    read_word,
)
from pipelines.checking.texts import read_texts
from pipelines.checking.verdicts import FREE_TEXT
from schemas.record import Record
from schemas.records import PROVENANCE

NONE = "none"
_FREE = FREE_TEXT | {"entry", "lot", "place"}
"""Columns in which any word may stand."""
SHEET = ["receipt_no", "sheet"]
_TO_CLEAR = rf"^\s|\s$|^'|^$|^(?i:{NONE})$"
"""A text that is not kept as it stands, whatever its column: blanks around it, a mark, "none"."""


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
    found = rows.select(pl.col(present).str.contains(_TO_CLEAR).any()).row(0)
    to_clear = [name for name, some in zip(present, found, strict=True) if some]
    stripped = [bare_escaped(pl.col(name).str.strip_chars()).replace("", None) for name in to_clear]
    rows = rows.with_columns(*stripped, *(pl.lit(None, pl.String).alias(name) for name in absent))
    return _empty_cells(rows, to_clear)


def _empty_cells(rows: pl.DataFrame, names: Sequence[str]) -> pl.DataFrame:
    """Return `rows` with null where columns `names` say "none", and those columns in `emptied`."""
    if not names:
        return rows.with_columns(pl.lit([], pl.List(pl.String)).alias("emptied"))
    says_none = {name: pl.col(name).str.to_lowercase() == NONE for name in names}
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
    typed = [*_type_days(days, rows, words, findings)] if days else []
    typed += [
        _type_words(name, rows, words, record, findings)
        for name, dtype in dtypes.items()
        if dtype == pl.String
    ]
    decimals = _decimals(rows, figures)
    typed += [_type_figures(name, rows, dtypes[name], decimals, findings) for name in figures]
    return rows.with_columns(column for columns in typed for column in columns)


def _type_days(
    names: Sequence[str], rows: pl.DataFrame, words: FirmWords, findings: Findings
) -> Iterator[list[pl.Series]]:
    sheets = rows.group_by(SHEET).agg(pl.col(names).unique(), pl.col("date_order").first())
    for name in names:
        orders = _orders(name, names, sheets, day_first=words.day_first)
        yield read_texts(rows, name, read_date, pl.Date(), findings, contexts=orders)


def _orders(
    name: str, names: Sequence[str], sheets: pl.DataFrame, *, day_first: bool | None
) -> pl.DataFrame:
    """Return, sheet by sheet, the proven order of day and month in column `name`."""
    orders = []
    for sheet in sheets.iter_rows(named=True):
        texts = {each: [text for text in sheet[each] if text is not None] for each in names}
        elsewhere = orders_shown(text for each in names if each != name for text in texts[each])
        orders.append(
            proven_order(texts[name], sheet["date_order"], day_first=day_first, elsewhere=elsewhere)
        )
    return sheets.select(SHEET).with_columns(pl.Series("context", orders, dtype=pl.String))


def _type_words(
    name: str, rows: pl.DataFrame, words: FirmWords, record: Record, findings: Findings
) -> list[pl.Series]:
    allowed = _allowed(record.schema.columns[name])
    plain = None
    if allowed is not None:
        read: Callable[[str], Value] = partial(read_word, name=name, allowed=allowed)
    elif name == "unit":
        read = read_unit
    elif name in words.names:
        read = partial(read_name, names=words.names[name])
    elif name in {*record.key, *record.required} - _FREE:
        read, plain = read_told, read_told_plainly(rows[name])
    else:
        return []
    return read_texts(rows, name, lambda text, _: read(text), pl.String(), findings, plain=plain)


def _allowed(described: pa.Column) -> list[str] | None:
    for check in described.checks:
        if check.name == "isin":
            return list(check.statistics["allowed_values"])
    return None


def _decimals(rows: pl.DataFrame, names: Sequence[str]) -> pl.DataFrame | None:
    """Return, by file, how its numbers write decimals; None where none has a decimal comma."""
    commas = pl.any_horizontal(
        pl.lit(value=False), *(pl.col(name).str.contains(",", literal=True).any() for name in names)
    )
    if not rows.select(commas).item():
        return None
    shown = rows.group_by("receipt_no").agg(
        _any_contains(names, DECIMAL_COMMA).alias("commas"),
        _any_contains(names, DECIMAL_POINT).alias("points"),
    )
    style = pl.when("commas").then(
        pl.when("points").then(pl.lit(Decimals.BOTH.value)).otherwise(pl.lit(Decimals.COMMAS.value))
    )
    points = pl.lit(Decimals.POINTS.value)
    return shown.select("receipt_no", style.otherwise(points).alias("context"))


def _any_contains(names: Sequence[str], pattern: str) -> pl.Expr:
    found = (pl.col(name).str.contains(pattern).any() for name in names)
    return pl.any_horizontal(pl.lit(value=False), *found)


def _type_figures(
    name: str,
    rows: pl.DataFrame,
    dtype: pl.DataType,
    decimals: pl.DataFrame | None,
    findings: Findings,
) -> list[pl.Series]:
    plain = read_plain_figures(rows[name], dtype) if decimals is None else None
    return read_texts(
        rows,
        name,
        lambda text, style: read_figure(text, name, dtype, Decimals(style or Decimals.POINTS)),
        WIDE if is_converted(name) else dtype,
        findings,
        contexts=decimals,
        plain=plain,
    )


def kept_columns(record: Record) -> Iterator[str]:
    """Return the columns of a history row, in order."""
    yield from record.columns
    yield from (name for name in record.added if name not in record.columns)
    yield from PROVENANCE
    yield "emptied"
