"""What suppliers' wordings mean, as a person named them once, put on every line that has them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import polars as pl

from pipelines.checking.findings import Findings, Repair
from pipelines.checking.names import fold

_NAMED = ("material", "pack_size", "unit", "line_kind")
_GOODS = (None, "goods")


@dataclass(frozen=True)
class Wording:
    """What a wording means: our column -> text, and where a person said so."""

    fills: Mapping[str, str]
    place: str


Wordings = Mapping[tuple[str, str], Wording]
"""By folded supplier and folded description."""


def read_wordings(history: pl.DataFrame, received: pl.DataFrame) -> Wordings:
    """
    Return what each wording means by the kept rows of `descriptions`, oldest first.

    Column by column the newest filled value stands, and "none" empties one. `received` are the
    rows as they came, with their files' names.
    """
    files = dict(received.select("receipt_no", "file_name").unique().iter_rows())
    in_force: dict[tuple[str, str], dict[str, Any]] = {}
    for row in history.iter_rows(named=True):
        told = in_force.setdefault((fold(row["supplier"]), fold(row["description"])), {})
        told |= dict.fromkeys(row["emptied"])
        told |= {name: row[name] for name in _NAMED if row[name] is not None}
        sheet = f", sheet {row['sheet']}" if row["sheet"] else ""
        told["place"] = f"{files[row['receipt_no']]}{sheet}, row {row['row_no']}"
    return {key: Wording(_as_texts(told), told["place"]) for key, told in in_force.items()}


def name_lines(rows: pl.DataFrame, wordings: Wordings, findings: Findings) -> pl.DataFrame:
    """
    Return lines of purchases, still text, with what their wording means in their blank cells.

    A line that names its material, or that is no goods, is left as it is. What is filled in is on
    record as a repair.
    """
    if not wordings:
        return rows
    names = ("row_id", "supplier", "description", *_NAMED)
    filled: dict[str, list[str | None]] = {name: [] for name in _NAMED}
    for row in rows.select(names).iter_rows(named=True):
        wording = wordings.get((fold(row["supplier"] or ""), fold(row["description"] or "")))
        fills = _fills(row, wording) if wording is not None else {}
        for name in _NAMED:
            filled[name].append(fills.get(name, row[name]))
        if wording is not None:
            rule = f"as named in {wording.place}"
            findings.mend(
                Repair(row["row_id"], name, None, value, rule) for name, value in fills.items()
            )
    return rows.with_columns(pl.Series(name, filled[name], pl.String) for name in _NAMED)


def _fills(row: Mapping[str, str | None], wording: Wording) -> dict[str, str]:
    if row["material"] is not None or row["line_kind"] not in _GOODS:
        return {}
    fills = {name: value for name, value in wording.fills.items() if row[name] is None}
    if row["pack_size"] is not None:
        fills.pop("unit", None)
    elif row["unit"] is not None and "pack_size" in fills:
        fills["pack_size"] = f"{fills['pack_size']} {wording.fills['unit']}"
    return fills


def _as_texts(told: Mapping[str, Any]) -> dict[str, str]:
    """Return the filled columns as text; a unit is that of the pack size, in base units."""
    texts = {
        name: f"{told[name].normalize():f}" if isinstance(told[name], Decimal) else told[name]
        for name in _NAMED
        if told.get(name) is not None
    }
    if "pack_size" not in texts:
        texts.pop("unit", None)
    return texts
