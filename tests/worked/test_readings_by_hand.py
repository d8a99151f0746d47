"""Arithmetic: what a line in whole packs counts beside one that was weighed."""

from datetime import date
from math import exp

import polars as pl
import pytest

from pipelines.calibration.job_lines import read_job_lines
from pipelines.calibration.material_fit import MaterialFit, fit_material
from pipelines.calibration.readings import weigh_readings

# ten weighed jobs whose ln(use / base) lies 0.1 either side of 0: a scatter of 0.14826
WEIGHED = [(20.0, 20.0 * exp(side * 0.1), None) for side in (-1, 1) * 5]


def lines(rows):
    """Lay out jobs as base, used, pack."""
    return pl.DataFrame(
        {
            "material": "resin",
            "kind": "resin",
            "base_unit": "kg",
            "job_ref": [f"2026-{at:03}" for at in range(len(rows))],
            "job_type": "garage",
            "completed_on": date(2026, 5, 1),
            "base_quantity": [base for base, _, _ in rows],
            "used_quantity": [used for _, used, _ in rows],
            "whole_pack_quantity": pl.Series([pack for *_, pack in rows], dtype=pl.Float64),
        }
    )


def weights(rows):
    return weigh_readings(lines(rows))["line_weight"].to_list()


def test_a_line_in_whole_packs_counts_by_its_base():
    *weighed, small, large = weights([*WEIGHED, (10.0, 20.0, 20.0), (100.0, 100.0, 20.0)])

    # 20 / 10 / sqrt(12) = 0.57735, squared 1 / 3; 20 / 100 / sqrt(12) squared 1 / 300
    assert weighed == [1] * 10
    assert small == pytest.approx(0.14826**2 / (0.14826**2 + 1 / 3))
    assert large == pytest.approx(0.14826**2 / (0.14826**2 + 1 / 300))


def test_where_all_is_in_whole_packs_large_jobs_still_count_more():
    *_, small, large = weights([(20.0, 20.0, 20.0)] * 8 + [(10.0, 20.0, 20.0), (80.0, 80.0, 20.0)])

    assert 0 < small < large < 1


def test_it_is_the_weight_that_the_fit_takes():
    coarse = lines([*WEIGHED, (10.0, 20.0, 20.0)])
    weighed = weigh_readings(coarse)

    assert read_job_lines(weighed, (), None).weight.tolist() == weighed["line_weight"].to_list()
    assert read_job_lines(coarse, (), None).weight.tolist() == [1] * 11


def test_whole_tins_on_small_jobs_move_the_rate_less():
    jobs = [*WEIGHED, *WEIGHED, *[(20.0, 24.0, 24.0)] * 6]

    plain, weighed = (
        fit_material(lines(jobs), 0.85),
        fit_material(weigh_readings(lines(jobs)), 0.85),
    )

    assert isinstance(plain, MaterialFit)
    assert isinstance(weighed, MaterialFit)
    assert weighed.effective_job_count < plain.effective_job_count
    assert 0 < weighed.rates[0].pooled_ratio < plain.rates[0].pooled_ratio
