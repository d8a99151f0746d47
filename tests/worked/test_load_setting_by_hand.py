"""Arithmetic: one share for all materials of a job, and what trips and surplus cost, by hand."""

from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import polars as pl
import pytest

from pipelines.calibration.job_misses import list_misses
from pipelines.calibration.load_setting import find_load_setting, share_that_covers
from pipelines.calibration.misses import miss_at_share, share_needed
from pipelines.setting_load import Load

NO_PRICES = pl.DataFrame(schema={"material": pl.String, "price_gbp": pl.Float64})
PRICES = pl.DataFrame({"material": ["resin", "mat 450"], "price_gbp": [3.0, 2.0]})


def jobs(over: dict[str, list[float]], base: float = 20.0) -> pl.DataFrame:
    """Lay out one job a row of each list: what it used over its base, by material."""
    return pl.concat(
        [
            pl.DataFrame(
                {
                    "material": material,
                    "kind": material.split()[0],
                    "base_unit": "kg",
                    "job_ref": [f"2025-{at:03}" for at in range(len(ratios))],
                    "job_type": "garage",
                    "completed_on": [
                        date(2025, 3, 1) + timedelta(at % 28) for at in range(len(ratios))
                    ],
                    "base_quantity": base,
                    "used_quantity": [base * (1 + ratio) for ratio in ratios],
                }
            )
            for material, ratios in over.items()
        ]
    )


def test_a_share_above_what_a_miss_needs_covers_it_and_that_share_does_not() -> None:
    misses = np.array([0.3, 0.1, 0.2, 0.1])
    weights = np.array([1.0, 0.5, 1.0, 1.5])

    needed = share_needed(misses, weights)

    # in order .1 (2 together), .2, .3 of 4 and a mean one more, 5 in all
    assert needed == pytest.approx([3 / 5, 0, 2 / 5, 0])
    assert miss_at_share(misses, weights, 0.6001) == 0.3
    assert miss_at_share(misses, weights, 0.6) == 0.2


def test_the_share_of_whole_jobs_is_counted_with_one_job_to_come() -> None:
    # of 19 jobs rank .9 x 20 = 18: the second most demanding one has to be exceeded
    needed = np.arange(19) / 20

    assert share_that_covers(needed, 0.9) == pytest.approx(0.8501)
    assert float((needed < 0.8501).mean()) == pytest.approx(18 / 19)


def test_where_the_same_jobs_run_short_of_everything_one_material_is_enough() -> None:
    over = [at / 100 for at in range(40)]
    together = find_load_setting(
        jobs({"resin": over, "mat 450": over}), Load(second_trip_share=Decimal("0.1")), NO_PRICES
    )
    alone = find_load_setting(
        jobs({"resin": over}), Load(second_trip_share=Decimal("0.1")), NO_PRICES
    )

    # rank .9 x 41 = 36.9: the 37th of 40 needs 36 / 41
    assert alone.load_share == pytest.approx(np.floor(36 / 41 * 1e4 + 1) / 1e4)
    assert together == alone
    assert together.covered_job_ratio == 37 / 40


def test_where_other_jobs_run_short_each_time_every_material_is_loaded_surer() -> None:
    over = [at / 100 for at in range(40)]
    apart = find_load_setting(
        jobs({"resin": over, "mat 450": over[::-1]}),
        Load(second_trip_share=Decimal("0.1")),
        NO_PRICES,
    )

    # job 0 and job 39 need the most, 39 / 41; so do 1 and 38, 38 / 41: three may be left, no fourth
    assert apart.load_share == pytest.approx(np.floor(38 / 41 * 1e4 + 1) / 1e4)
    assert apart.covered_job_ratio == 38 / 40


def test_the_share_of_each_material_stands_where_nothing_else_is_set() -> None:
    over = [at / 100 for at in range(40)]
    found = find_load_setting(jobs({"resin": over, "mat 450": over[::-1]}), Load(0.85), NO_PRICES)

    # .85 of 41 holds the lines that need less than .85: up to the 35th; five jobs at either end not
    assert (found.basis, found.load_share) == ("set for each material", 0.85)
    assert found.covered_job_ratio == 30 / 40


def test_costs_choose_the_share_of_the_least_mean_cost() -> None:
    # evenly spread misses, 1 / 100 of the base apart: at load E a job costs
    # K (1 - E) + c E^2 / 2, least where K = c E: with K = .75 c that is E = .75 (2.8: K f = co F)
    over = [at / 399 for at in range(400)]
    lines = jobs({"resin": over})
    surplus = Decimal("0.1")
    per_base = 20 * 3.0 * 0.1

    found = find_load_setting(
        lines,
        Load(trip_gbp=Decimal(str(0.75 * per_base)), surplus_ratio=surplus),
        PRICES,
    )

    assert found.basis == "cost of a trip and of a surplus"
    assert found.load_share == pytest.approx(0.75, abs=0.011)
    assert found.mean_cost_gbp == pytest.approx(
        0.75 * per_base * 0.25 + per_base * 0.75**2 / 2, rel=0.01
    )


def test_a_share_of_even_misses_is_the_critical_ratio_of_linear_costs() -> None:
    """Newsvendor: 3 for each unit short and 1 for each left over, misses even on 0 to 1."""
    misses, ones = np.arange(1, 1000) / 1000, np.ones(999)
    critical_ratio = 3 / (3 + 1)

    loaded = miss_at_share(misses, ones, critical_ratio)

    def cost(load: float) -> float:
        return float((3 * np.maximum(misses - load, 0) + np.maximum(load - misses, 0)).sum())

    assert loaded == pytest.approx(0.75)
    assert cost(loaded) <= min(cost(load) for load in np.linspace(0, 1, 2001)) + 1e-9


@pytest.mark.parametrize(
    ("load", "basis"),
    [
        (Load(second_trip_share=Decimal("0.1")), "set for each material, as too few jobs speak"),
        (
            Load(trip_gbp=Decimal(60), surplus_ratio=Decimal("0.1")),
            "set for each material, as too few jobs speak",
        ),
    ],
)
def test_too_few_jobs_leave_the_share_as_set(load: Load, basis: str) -> None:
    found = find_load_setting(jobs({"resin": [0.1] * 7}), load, PRICES)

    assert (found.basis, found.load_share, found.covered_job_ratio) == (basis, 0.85, None)


def test_costs_without_a_price_leave_the_share_as_set() -> None:
    lines = jobs({"resin": [at / 100 for at in range(40)]})
    load = Load(trip_gbp=Decimal(60), surplus_ratio=Decimal("0.1"))

    found = find_load_setting(lines, load, NO_PRICES)

    assert (found.load_share, found.mean_cost_gbp) == (0.85, None)
    assert found.basis.endswith("as no price says what a surplus costs")


def test_misses_of_a_line_are_those_of_its_own_job() -> None:
    misses = list_misses(jobs({"resin": [0.1] * 9 + [0.5]}))

    wild = misses.sort("miss_ratio").row(-1, named=True)
    assert wild["job_ref"] == "2025-009"
    # .4 by the fit, in which it counts a tenth
    assert wild["miss_ratio"] == pytest.approx(0.4 / 0.9, abs=0.001)
