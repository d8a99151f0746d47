"""A fit of very many jobs, whose rounds run on every so-manieth, beside one of rounds on all."""

from datetime import date

import numpy as np
import polars as pl
import pytest

from pipelines.calibration import capped_fit
from pipelines.calibration.material_fit import fit_material


def invent(count: int, kind: str = "resin") -> pl.DataFrame:
    """Invent jobs of four types with a loss per job, of which some go badly wrong."""
    chance = np.random.default_rng(7)
    base = np.exp(chance.normal(3, 0.6, count))
    group = chance.integers(0, 4, count)
    wild = chance.random(count) < 0.03
    rate = 1.08 + 0.02 * group + (0.05 + 0.4 / base) * chance.standard_normal(count) + 0.6 * wild
    return pl.DataFrame(
        {
            "material": kind,
            "kind": kind,
            "base_unit": "kg",
            "job_ref": pl.Series(10_000_000 + np.arange(count)).cast(pl.String),
            "job_type": pl.Series(group).cast(pl.String),
            "completed_on": pl.Series(np.sort(chance.integers(19_000, 20_000, count))).cast(
                pl.Date
            ),
            "base_quantity": base,
            "used_quantity": base * rate + 1.5,
        }
    )


@pytest.mark.parametrize("kind", ["resin", "trim"])
def test_rounds_on_some_jobs_and_the_last_on_all_come_to_the_same_fit(monkeypatch, kind):
    lines = invent(120_000, kind)
    as_of = date(2024, 10, 31)
    quick = fit_material(lines, 0.85, as_of=as_of)
    monkeypatch.setattr(capped_fit, "MANY_JOBS", 10**9)
    whole = fit_material(lines, 0.85, as_of=as_of)

    # a rate of 120,000 jobs is itself no surer than .0003
    rates = [[rate.pooled_ratio for rate in fit.rates] for fit in (quick, whole)]
    assert rates[0] == pytest.approx(rates[1], abs=3e-4)
    assert quick.fixed_loss == pytest.approx(whole.fixed_loss, abs=0.01)
    assert quick.error_ratio == pytest.approx(whole.error_ratio, abs=5e-4)
    assert quick.capped_count == pytest.approx(whole.capped_count, rel=0.02)


def test_a_type_that_only_the_last_of_many_jobs_have_is_placed(monkeypatch):
    lines = invent(20_001).with_columns(
        job_type=pl.when(pl.int_range(pl.len()) == 20_000)
        .then(pl.lit("porch"))
        .otherwise("job_type")
    )
    monkeypatch.setattr(capped_fit, "MANY_JOBS", 15_000)
    monkeypatch.setattr(capped_fit, "FEW_JOBS", 5_000)

    found = fit_material(lines, 0.85)

    assert [(rate.job_type, rate.job_count) for rate in found.rates][-1] == ("porch", 1)
