"""Arithmetic, and invented jobs: use that creeps up, goes down, or stays as it is."""

from datetime import date, timedelta

import numpy as np
import polars as pl
import pytest

from pipelines.calibration.charts import add_score
from pipelines.calibration.drift import fade_before, watch_use

MONTH_END_ON = date(2026, 5, 31)
FIRST_ON = date(2024, 6, 3)
COUNT = 120
"""A job every six days, to the end of May 2026."""


def jobs(changes=None, *, wild=(), material="resin", seed=5):
    """Lay out jobs whose rate over base steps by `changes` (from that day on), and wild ones."""
    chance = np.random.default_rng(seed)
    days = [FIRST_ON + timedelta(6 * at) for at in range(COUNT)]
    base = chance.choice([9.0, 14.0, 21.0, 30.0], COUNT)
    rate = 0.12 + chance.normal(0, 0.05, COUNT)
    for from_on, change in (changes or {}).items():
        rate += change * np.array([day >= from_on for day in days])
    rate[list(wild)] = 1.5
    return pl.DataFrame(
        {
            "material": material,
            "kind": "resin",
            "base_unit": "kg",
            "job_ref": [f"2024-{at:03}" for at in range(COUNT)],
            "job_type": [("garage", "dormer", "porch")[at % 3] for at in range(COUNT)],
            "completed_on": days,
            "base_quantity": base,
            "used_quantity": base * (1 + rate) + 0.8,
        }
    )


def test_sums_by_hand():
    upper, lower = np.array(0.0), np.array(0.0)
    seen = []
    for score in (1.5, -0.2, 3.0, -3.0, -1.0):
        upper, lower = add_score(upper, lower, np.array(score))
        seen.append((float(upper), float(lower)))

    assert seen == [
        pytest.approx(pair) for pair in [(1.0, 0), (0.3, 0), (2.8, 0), (0, 2.5), (0, 3.0)]
    ]


@pytest.mark.parametrize("seed", range(4))
def test_nothing_is_said_of_jobs_that_only_scatter(seed):
    assert watch_use(jobs(seed=seed), MONTH_END_ON).filter(state="act").is_empty()


def test_use_that_creeps_up_is_found_with_its_month():
    found = watch_use(jobs({date(2026, 1, 1): 0.07}), MONTH_END_ON)

    (row,) = found.rows(named=True)
    assert (row["material"], row["state"], row["direction"]) == ("resin", "act", "up")
    assert date(2025, 12, 1) <= row["since_month"] <= date(2026, 2, 1)
    assert row["signal_on"] <= date(2026, 4, 1)
    assert row["miss_ratio"] == pytest.approx(0.07, abs=0.035)
    month = f"{row['since_month']:%B %Y}"
    assert row["sentence"].startswith(f"Resin use has been creeping up since {month}: lately about")


def test_use_that_goes_down_asks_to_look_at_the_roofs_first():
    (row,) = watch_use(jobs({date(2026, 1, 1): -0.07}), MONTH_END_ON).rows(named=True)

    assert (row["direction"], row["state"]) == ("down", "act")
    assert row["sentence"].endswith(
        "Look first whether roofs still get all that they are specified to hold."
    )


def test_one_wild_job_is_no_drift_and_a_young_change_deserves_a_look():
    assert watch_use(jobs(wild=[80]), MONTH_END_ON).is_empty()

    young = watch_use(jobs({date(2026, 4, 26): 0.10}), MONTH_END_ON)
    assert young["state"].to_list() == ["look"]
    assert "may have been creeping up" in young["sentence"][0]
    assert "count a tenth" not in young["sentence"][0]


@pytest.mark.parametrize("seed", range(4))
def test_after_a_change_acted_on_the_new_level_is_no_news(seed):
    found = watch_use(jobs({date(2025, 6, 1): 0.07}, seed=seed), MONTH_END_ON)

    assert found["direction"].to_list() == ["up"]
    assert found["signal_on"][0] < date(2025, 9, 1)


def test_what_goes_up_and_later_down_is_found_twice():
    changes = {date(2025, 6, 1): 0.07, date(2026, 2, 1): -0.07}

    found = watch_use(jobs(changes, seed=2), MONTH_END_ON)

    assert found["direction"].to_list() == ["up", "down"]


def test_few_jobs_are_not_watched_and_order_changes_nothing():
    changed = jobs({date(2026, 1, 1): 0.07})

    assert watch_use(changed.tail(18), MONTH_END_ON).is_empty()
    assert watch_use(changed.reverse(), MONTH_END_ON).equals(watch_use(changed, MONTH_END_ON))


def test_old_jobs_of_the_material_count_a_tenth():
    lines = pl.DataFrame(
        {
            "material": ["resin", "resin", "resin", "mat 450"],
            "completed_on": [
                *[date(2025, 7, 8), date(2025, 7, 9), date(2025, 10, 1)],
                date(2025, 1, 1),
            ],
            "line_weight": [1.0, 1.0, 0.5, 1.0],
        }
    )
    drift = pl.DataFrame(
        {
            "material": ["resin", "mat 450"],
            "state": ["act", "look"],
            "signal_on": [date(2025, 10, 9), date(2025, 10, 9)],
        }
    )

    assert fade_before(lines, drift)["line_weight"].to_list() == pytest.approx([0.1, 1, 0.5, 1])
    assert fade_before(lines.drop("line_weight"), drift)["line_weight"][0] == pytest.approx(0.1)
