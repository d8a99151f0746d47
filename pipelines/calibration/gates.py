"""Uses so far from all others that a unit, a decimal point or a paper has slipped."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import exp, log
from typing import Any

import numpy as np
import polars as pl

from pipelines.calibration.mixed_model import Floats
from schemas.frames import shape_of

LEAST_LINES = 8
"""Fewer lines of a material lately can't say what is usual; none of it is then judged."""

LOOK_BACK = "24mo"
MOST_SCATTERS = 6
LEAST_SCATTER = 0.03
MAD_TO_SCATTER = 1.4826
MOST_LUMPS = 6
"""Whole pieces or packs: so many more or fewer are no slip, however small the job."""

NAMED_FACTORS = (3.0, 10.0, 100.0, 1000.0)
NEAR_FACTOR = 0.12
"""A use is like a factor where it lies within this of it, by natural logarithm."""

FACTOR_WORDS: Mapping[tuple[float, str], str] = {
    (1000.0, "kg"): "grams taken for kilograms",
    (1000.0, "m"): "millimetres taken for metres",
    (1000.0, "l"): "millilitres taken for litres",
    (10.0, ""): "a point one place off",
    (100.0, ""): "a point two places off",
}

CUT_FROM = {
    "trim": "lengths and metres",
    "batten": "lengths and metres",
    "board": "boards and square metres",
}
"""What may be mixed up where a use is a whole length, or a board, times too much or too little."""


@dataclass(frozen=True)
class _Usual:
    """What is usual of a material: the middle of ln(use / base), and its scatter."""

    log_ratio: float
    scatter: float


def find_slips(lines: pl.DataFrame, as_of: date) -> pl.DataFrame:
    """
    Find the uses that no job of their size comes near.

    ln(use / base) of every line is held against the median of the material's lines of the last
    24 months, over the median distance from it times 1.4826, at least 0.03. Beyond six of these
    scatters a line is a slip; a use in whole pieces or packs only if it is also more than six of
    them away from the usual use. Nothing is put right: the line is named, with the factor that
    it looks like.

    Args:
        lines: any number of materials: material, kind, base_unit, job_ref, completed_on,
            base_quantity and used_quantity above 0, pack_quantity (null: not known),
            lump_quantity (0: poured or measured).
        as_of: the day from which the 24 months are counted back.

    Returns:
        One row per slip, shaped as `result.slip`, sorted by material, day and job. A material
        with fewer than 8 lines in the 24 months has none.

    """
    found = [
        row
        for _, own in sorted(lines.partition_by("material", as_dict=True).items())
        for row in _slips_of(own.sort("completed_on", "job_ref"), as_of)
    ]
    return pl.DataFrame(found, schema=shape_of("result.slip"))


def find_scatter(lines: pl.DataFrame) -> float:
    """
    Return the scatter of ln(used_quantity / base_quantity), both above 0.

    1.4826 times the median distance from the median, at least 0.03; that also without lines.
    """
    log_ratio = _log_ratios(lines)
    return _find_usual(log_ratio).scatter if len(log_ratio) else LEAST_SCATTER


def _log_ratios(lines: pl.DataFrame) -> Floats:
    used, base = lines["used_quantity"].to_numpy(), lines["base_quantity"].to_numpy()
    return np.asarray(np.log(used / base))


def _slips_of(lines: pl.DataFrame, as_of: date) -> list[dict[str, Any]]:
    log_ratio = _log_ratios(lines)
    first_on = pl.select(pl.lit(as_of).dt.offset_by(f"-{LOOK_BACK}")).item()
    is_late = (lines["completed_on"] > first_on).to_numpy()
    if is_late.sum() < LEAST_LINES:
        return []
    usual = _find_usual(log_ratio[is_late])
    scatters = (log_ratio - usual.log_ratio) / usual.scatter
    expected = lines["base_quantity"].to_numpy() * exp(usual.log_ratio)
    lumps = MOST_LUMPS * lines["lump_quantity"].to_numpy()
    off = np.abs(lines["used_quantity"].to_numpy() - expected)
    is_slip = (np.abs(scatters) > MOST_SCATTERS) & (off > lumps)
    return [
        _slip(lines.row(at, named=True), float(scatters[at]), float(expected[at]))
        for at in np.flatnonzero(is_slip).tolist()
    ]


def _find_usual(log_ratio: Floats) -> _Usual:
    middle = float(np.median(log_ratio))
    scatter = MAD_TO_SCATTER * float(np.median(np.abs(log_ratio - middle)))
    return _Usual(middle, max(scatter, LEAST_SCATTER))


def _slip(line: Mapping[str, Any], scatters: float, expected: float) -> dict[str, Any]:
    factor = _name_factor(line["used_quantity"] / expected, line["pack_quantity"])
    return {
        "material": line["material"],
        "job_ref": line["job_ref"],
        "scatters_off": scatters,
        "usual_quantity": expected,
        "likely_factor": factor,
        "reason": _say_slip(line, expected, factor),
    }


def _name_factor(ratio: float, pack_quantity: float | None) -> float | None:
    """Return the factor that a use over what was expected is like; None where it is like none."""
    packs = (pack_quantity,) if pack_quantity and pack_quantity > 1 else ()
    asked = sorted({*NAMED_FACTORS, *packs})
    near = {
        signed: abs(log(ratio) - log(signed)) for one in asked for signed in (one, 1 / one)
    }  # fmt: skip
    best = min(near, key=lambda factor: near[factor])
    return best if near[best] <= NEAR_FACTOR else None


def _say_slip(line: Mapping[str, Any], expected: float, factor: float | None) -> str:
    unit = line["base_unit"]
    said = (
        f"{_show(line['used_quantity'])} {unit} recorded where a job of this size uses about "
        f"{_show(expected)}"
    )
    if factor is None:
        return f"{said}, far from every other job: check what was taken and brought back"
    size = factor if factor > 1 else 1 / factor
    way = "times as much" if factor > 1 else "times too little"
    return f"{said}: looks like {size:g} {way}{_explain(size, line)}; check the paper"


def _explain(size: float, line: Mapping[str, Any]) -> str:
    if size == line["pack_quantity"]:
        return f", {CUT_FROM.get(line['kind'], 'packs and what they hold')} mixed up"
    unit = line["base_unit"]
    words = FACTOR_WORDS.get((size, unit), FACTOR_WORDS.get((size, "")))
    return f", {words}" if words else ""


def _show(quantity: float) -> str:
    return f"{quantity:.3g}" if quantity < 1 else f"{quantity:.1f}"
