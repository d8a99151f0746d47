"""Trims without a written unit: what the list of materials and the rows beside them prove."""

from collections import defaultdict
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from decimal import Decimal
from typing import Any

import polars as pl

from pipelines.checking.findings import Fault, Findings, Repair
from pipelines.checking.once import work_out_once
from pipelines.quantities import MM_IN_M, Item, unit_of
from schemas.record import Record

_ON_A_JOB = frozenset({"job_materials", "losses"})
_MOST_M = Decimal(200)
"""More metres than one roof takes of a trim: common sense of the trade, no source."""

_REMEDY = "write the unit beside the figure, or in the unit column"
_BESIDE = ("receipt_no", "sheet", "material")
_WHOLE = {"length": "lengths", "each": "lengths", "m": "m"}

Sheet = tuple[int, str]
Written = Mapping[Sheet, AbstractSet[str]]


def prove_lengths(
    record: Record, rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> pl.DataFrame:
    """
    Return `rows` with mm as the unit of bare figures of trim that can be nothing else.

    A bare figure is in the firm's own unit of the material, unless it is more than any roof takes
    or the trims beside it are written in another unit: then it is mended where all of those are in
    mm, and a fault with both readings where they are not.
    """
    if record.name not in _ON_A_JOB:
        return rows
    trims = {name: item for name, item in items.items() if item.kind == "trim"}
    names = [name for name in record.columns if f"{name}__unit" in rows.columns]
    written = _written_units(rows, names, trims)
    for name in names:
        rows = _prove_column(name, rows, trims, written, findings)
    return rows


def _written_units(rows: pl.DataFrame, names: list[str], trims: Mapping[str, Item]) -> Written:
    """Return, by sheet, the units that its trims are written in."""
    written: defaultdict[Sheet, set[str]] = defaultdict(set)
    beside = [f"{name}__unit" for name in names]
    of_trims = rows.filter(pl.col("material").is_in(list(trims)))
    shown = of_trims.select("receipt_no", "sheet", "unit", *beside).unique()
    for receipt_no, sheet, unit, *units in shown.iter_rows():
        said = [unit_of(unit)] if unit is not None else []
        written[receipt_no, sheet].update(said, (one for one in units if one is not None))
    return written


def _prove_column(
    name: str,
    rows: pl.DataFrame,
    trims: Mapping[str, Item],
    written: Written,
    findings: Findings,
) -> pl.DataFrame:
    in_mm: list[int] = []
    bare = rows.filter(
        pl.col(name).is_not_null()
        & pl.col("unit").is_null()
        & pl.col(f"{name}__unit").is_null()
        & pl.col("material").is_in(list(trims))
    )
    cells = _in_doubt(bare.select("row_id", *_BESIDE, name), trims, written)
    for row_id, receipt_no, sheet, material, value in cells.iter_rows():
        beside = written[receipt_no, sheet]
        said = f"{value.normalize():f}"
        if value > _MOST_M and beside == {"mm"}:
            in_mm.append(row_id)
            rule = "mm, as the other trims of the sheet"
            findings.mend([Repair(row_id, name, said, f"{said} mm", rule)])
        elif reason := _find_doubt(value, said, unit_of(trims[material].unit), beside):
            findings.reject([Fault(row_id, name, said, reason, _REMEDY)])
    if not in_mm:
        return rows
    proven = pl.when(pl.col("row_id").is_in(in_mm)).then(pl.lit("mm"))
    return rows.with_columns(proven.otherwise(f"{name}__unit").alias(f"{name}__unit"))


def _in_doubt(cells: pl.DataFrame, trims: Mapping[str, Item], written: Written) -> pl.DataFrame:
    """Return the figures that are more than any roof takes, or stand beside another unit."""

    def is_beside_another(way: Mapping[str, Any]) -> tuple[bool]:
        beside = written[way["receipt_no"], way["sheet"]]
        usual = unit_of(trims[way["material"]].unit)
        return (_find_doubt(Decimal(0), "", usual, beside) is not None,)

    doubted = work_out_once(cells, _BESIDE, is_beside_another, {"doubted": pl.Boolean()})
    return cells.filter((cells[cells.columns[-1]] > _MOST_M) | doubted["doubted"])


def _find_doubt(value: Decimal, said: str, usual: str, beside: AbstractSet[str]) -> str | None:
    if usual == "m" and value > _MOST_M:
        metres = (value / MM_IN_M).normalize()
        return f"could be {said} m or {said} mm, which is {metres:f} m"
    for other in sorted(beside & _WHOLE.keys()):
        if usual in _WHOLE and _WHOLE[other] != _WHOLE[usual]:
            return f"could be {said} {_WHOLE[usual]} or {said} {_WHOLE[other]}, as beside it"
    return None
