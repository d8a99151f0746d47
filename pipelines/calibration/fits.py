"""The fits of all materials, as frames."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import polars as pl

from pipelines.calibration.job_lines import split_by_material
from pipelines.calibration.kinds import FITTED_KINDS
from pipelines.calibration.material_fit import MaterialFit, NoFit, fit_material
from schemas.frames import shape_of


@dataclass(frozen=True)
class Fits:
    """`fit`: one row per material; `fit_rate`: one row per fitted material and job type."""

    fit: pl.DataFrame
    fit_rate: pl.DataFrame


def fit_all(
    use_lines: pl.DataFrame,
    load_share: float,
    job_types: Sequence[str] = (),
    as_of: date | None = None,
) -> Fits:
    """
    Fit every material of the fitted kinds.

    Args:
        use_lines: as `fit_material` takes them, any number of materials; kinds that are not
            fitted are passed over.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a rate even without a job.
        as_of: the day on which the jobs are looked back on; None: that of a material's newest job.

    Returns:
        Frames shaped as `result.fit` and `result.fit_rate`, sorted by material and job type. A
        material with too few jobs has a row in `fit` with null figures and the reason in
        `note`, and none in `fit_rate`.

    Raises:
        QuantityError: as `fit_material` does.

    """
    fits = [
        fit_material(lines, load_share, job_types, as_of)
        for lines in split_by_material(use_lines)
        if lines["kind"][0] in FITTED_KINDS
    ]
    rates = [
        {"material": fit.material} | vars(rate)
        for fit in fits
        if isinstance(fit, MaterialFit)
        for rate in fit.rates
    ]
    return Fits(
        fit=pl.DataFrame([_fit_row(fit) for fit in fits], schema=shape_of("result.fit")),
        fit_rate=pl.DataFrame(rates, schema=shape_of("result.fit_rate")),
    )


def _fit_row(fit: MaterialFit | NoFit) -> dict[str, Any]:
    figures = vars(fit)
    row = {name: figures.get(name) for name in shape_of("result.fit")}
    row["load_share_ratio"] = fit.load_share
    if isinstance(fit, MaterialFit):
        return row | {"fitted_fixed_loss": fit.fixed_loss}
    return row | {"is_thin": True, "note": fit.reason}
