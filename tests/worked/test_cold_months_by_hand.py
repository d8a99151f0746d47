"""Arithmetic, and invented jobs: what is poured in cold months beside warm ones."""

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest

from pipelines.allowances.cold_months import NO_DIFFERENCE, try_cold_months

COLD = (11, 12, 1, 2)
FIRST_ON = date(2024, 6, 3)
COUNT = 180
STEADY = pl.DataFrame(schema={"material": pl.String, "state": pl.String, "signal_on": pl.Date})


def jobs(more_when_cold, *, seed=3, scatter=0.04, kind="resin", count=COUNT):
    """Lay out a job every four days for two years; cold ones use so much more over base."""
    chance = np.random.default_rng(seed)
    days = [FIRST_ON + timedelta(4 * at) for at in range(count)]
    base = chance.choice([9.0, 14.0, 21.0, 30.0], count)
    cold = np.array([day.month in COLD for day in days])
    rate = 0.12 + chance.normal(0, scatter, count) + more_when_cold * cold
    return pl.DataFrame(
        {
            "material": kind,
            "kind": kind,
            "base_unit": "kg",
            "job_ref": [f"2024-{at:03}" for at in range(count)],
            "job_type": [("garage", "dormer", "porch")[at % 3] for at in range(count)],
            "completed_on": days,
            "base_quantity": base,
            "used_quantity": base * (1 + rate) + 0.8,
        }
    )


def attempt(lines, months=COLD):
    return try_cold_months(lines, months, STEADY, 0.85, ["garage"])


def test_jobs_without_scatter_give_the_difference_itself():
    # half the jobs of each size and type cold, all of one month's age and the same type and size
    days = [date(2026, 1, 5), date(2026, 3, 5)] * 20
    lines = jobs(0.0, count=40, scatter=0.0).with_columns(
        completed_on=pl.Series(days), job_type=pl.lit("garage"), base_quantity=pl.lit(20.0)
    )
    ratio = pl.when(pl.col("completed_on").dt.month() == 1).then(0.16).otherwise(0.10)
    (row,) = attempt(lines.with_columns(used_quantity=20 * (1 + ratio))).rows(named=True)

    # what the rest of forty jobs say of each is 40 / 39 of its distance from their mean
    assert (row["cold_job_count"], row["warm_job_count"]) == (20, 20)
    assert row["cold_ratio"] == pytest.approx(0.06, rel=0.06)
    assert row["tried_job_count"] == 0
    assert not row["is_told"]


def test_a_cold_season_that_takes_more_is_told():
    (row,) = attempt(jobs(0.08)).rows(named=True)

    assert row["is_told"]
    assert row["gain_ratio"] > row["gain_error_ratio"] > 0
    assert row["cold_ratio"] == pytest.approx(0.08, abs=0.02)
    assert 20 <= row["tried_job_count"] <= 120
    hundredths = round(100 * row["cold_ratio"])
    assert row["sentence"] == (
        f"Resin takes about {hundredths} in 100 of the need more in cold months than in warm."
    )


def test_a_cold_season_that_takes_less_asks_to_look_at_the_roofs_first():
    (row,) = attempt(jobs(-0.08)).rows(named=True)

    assert row["is_told"]
    assert row["sentence"].endswith(
        "Look first whether roofs still get all that they are specified to hold."
    )


def test_of_forty_firms_without_a_cold_season_few_are_told_of_one():
    told = [attempt(jobs(0.0, seed=seed)).row(0, named=True) for seed in range(40)]

    assert sum(row["is_told"] for row in told) <= 8
    assert {row["sentence"] for row in told if not row["is_told"]} == {f"Resin: {NO_DIFFERENCE}."}


def test_how_wild_the_newest_job_is_tells_on_no_job_before_it():
    lines = jobs(0.08, count=110)
    newest = lines["completed_on"].dt.month_start().max()
    first = lines.filter(pl.col("completed_on") >= newest).head(1)
    before = lines.filter(pl.col("completed_on") < newest)

    def gain(times):
        wild = first.with_columns(used_quantity=times * pl.col("base_quantity"))
        return attempt(pl.concat([before, wild])).row(0, named=True)["gain_ratio"]

    # a job that is short both ways gains the same however short it is
    assert gain(3.0) == pytest.approx(gain(6.0), abs=1e-12)
    assert gain(3.0) != pytest.approx(gain(0.5), abs=1e-6)


def test_few_cold_jobs_and_what_is_not_poured_say_nothing():
    (row,) = attempt(jobs(0.08, count=38)).rows(named=True)

    assert row["cold_ratio"] is None
    assert row["sentence"] == f"Resin: {NO_DIFFERENCE}."
    assert attempt(jobs(0.08, kind="mat")).is_empty()


def test_without_cold_months_nothing_is_tried():
    assert attempt(jobs(0.08), ()).is_empty()
