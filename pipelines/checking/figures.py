"""What one text means in a column of figures: its unit, its size, its decimals."""

from decimal import Decimal

import polars as pl

from pipelines.checking.numbers import PER_CENT, POUNDS, Decimals, read_number
from pipelines.checking.readings import Value, find_stand_in
from pipelines.quantities import round_quantity
from schemas.columns import MONEY, QUANTITY, UNIT_PRICE
from schemas.units import PACK_UNITS

_FIXED_UNITS = {"_mm": "mm", "_m2": "m2", "_kg": "kg", "_pct": PER_CENT}
_MM = {"mm": 1, "cm": 10, "m": 1000}
_IN_UNIT_OF_MATERIAL = frozenset({"quantity", "pack_size"})
_FEWEST_MM = {"quoted_mm": 100, "fitted_mm": 100, "length_mm": 21}
"""Below this a bare figure could as well be metres: no edge is so short, no length so long."""
_PACKS = frozenset({"packs", "received_packs", "full_packs", "min_packs", "part"})
_LARGEST_COUNT = 10**15
WIDE = pl.Decimal(38, 9)
"""Type of a quantity before it is converted."""
_NOISE = Decimal("1e-9")
"""What a spreadsheet's binary sums leave behind the last decimal that was meant."""


def is_converted(name: str) -> bool:
    """Return whether the column holds a quantity in a unit that the row or its material gives."""
    return name in _IN_UNIT_OF_MATERIAL or name.endswith("_quantity")


def read_figure(text: str, name: str, dtype: pl.DataType, decimals: Decimals) -> Value:
    """
    Return the figure that `text` is in column `name` of type `dtype`.

    A quantity that is converted later comes with the unit written in the cell, unrounded; any
    other comes in the column's own unit, at the column's own decimals.
    """
    number = read_number(text, decimals)
    if number.value is None:
        stand_in = find_stand_in(text)
        return Value(fault=f"{stand_in}, not a number" if stand_in else number.fault)
    found = Value(number.value, number.unit, number.rule)
    if is_converted(name):
        return _in_any_unit(found)
    return _in_packs(found) if name in _PACKS else _in_fixed_unit(found, name, dtype)


def read_plain_figures(texts: pl.Series, dtype: pl.DataType) -> pl.Series:
    """
    Return the figures of the texts in column `texts.name` that are plain, null for all others.

    Plain is what `read_figure` reads without unit, rule or doubt, whatever the file's decimals but
    where it has both kinds: digits, and a point before no more decimals than the column holds.
    """
    name = texts.name
    found = WIDE if is_converted(name) else dtype
    whole_digits, decimals = len(str(_limit(dtype))) - 1, 0
    if isinstance(found, pl.Decimal):
        whole_digits, decimals = (
            len(str(_limit(QUANTITY if found == WIDE else dtype))) - 1,
            found.scale,
        )
    point = rf"(\.[0-9]{{1,{decimals}}})?" if decimals else ""
    is_plain = texts.str.contains(f"^[0-9]{{1,{whole_digits}}}{point}$")
    figures = (
        texts.to_frame()
        .select(pl.when(is_plain).then(pl.col(name).cast(found, strict=False)))
        .to_series()
    )
    fewest = _FEWEST_MM.get(name, 0)
    return figures.set((figures > 0) & (figures < fewest), None) if fewest else figures


def _in_any_unit(found: Value) -> Value:
    value: Decimal = found.value
    if found.unit in {POUNDS, PER_CENT}:
        return Value(fault=f"is in {found.unit}; this column takes a quantity")
    if abs(value) >= _limit(QUANTITY):
        return Value(fault="is too large a figure")
    return found


def _in_packs(found: Value) -> Value:
    if found.unit is not None and found.unit not in PACK_UNITS:
        return Value(fault=f"is in {found.unit}; this column counts packs")
    return _at_scale(found.value, QUANTITY, found.rule)


def _fixed_unit(name: str, dtype: pl.DataType) -> str | None:
    if dtype in (MONEY, UNIT_PRICE):
        return POUNDS
    if "_per_" in name:
        return None
    return next((unit for ending, unit in _FIXED_UNITS.items() if name.endswith(ending)), None)


def _in_fixed_unit(found: Value, name: str, dtype: pl.DataType) -> Value:
    value: Decimal = found.value
    fixed = _fixed_unit(name, dtype)
    if found.unit is not None and found.unit != fixed:
        if fixed != "mm" or found.unit not in _MM:
            return Value(fault=f"is in {found.unit}; this column takes {fixed or 'a bare number'}")
        value *= _MM[found.unit]
    elif found.unit is None and 0 < value < _FEWEST_MM.get(name, 0):
        plain = f"{value.normalize():f}"
        return Value(fault=f"could be {plain} mm or {plain} m", remedy="write the unit beside it")
    return _at_scale(value, dtype, found.rule)


def _limit(dtype: pl.DataType) -> int:
    if isinstance(dtype, pl.Decimal):
        return int(10 ** (dtype.precision - dtype.scale))
    return _LARGEST_COUNT


def _at_scale(value: Decimal, dtype: pl.DataType, rule: str | None) -> Value:
    scale = dtype.scale if isinstance(dtype, pl.Decimal) else 0
    if abs(value) >= _limit(dtype):
        return Value(fault="is too large a figure")
    near = round(value, scale)
    if near != value and abs(near - value) < _NOISE:
        value, rule = near, _also(rule, "binary noise of a spreadsheet taken off")
    if near == value:
        return Value(int(value) if dtype == pl.Int64 else value, rule=rule)
    if dtype == QUANTITY:
        return Value(round_quantity(value), rule=_also(rule, "rounded to three decimals"))
    if dtype == pl.Int64:
        return Value(fault="is not a whole number")
    what = "parts of a penny" if dtype == MONEY else f"more than {scale} decimals"
    return Value(fault=f"has {what}")


def _also(rule: str | None, said: str) -> str:
    return f"{rule}, {said}" if rule else said
