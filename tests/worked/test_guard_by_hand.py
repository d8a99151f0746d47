"""Arithmetic: when a suggestion is offered in the place of what is allowed, worked out by hand."""

from datetime import date, timedelta
from typing import Any

import polars as pl
import pytest

from pipelines.allowances.guard import Standing, hold_against, weigh_gains

AS_OF = date(2026, 6, 1)


def tried(gains: list[float], material: str = "resin") -> pl.DataFrame:
    """Lay out jobs, a day apart, on which the load came nearer by these parts of the base."""
    jobs = [
        {
            "material": material,
            "job_ref": f"2026-{at:03}",
            "completed_on": date(2026, 1, 1) + timedelta(days=at),
            "method": method,
            "pinball_ratio": 0.5 + miss,
        }
        for at, gain in enumerate(gains)
        for method, miss in (("as suggested", 0.0), ("as allowed", gain))
    ]
    return pl.DataFrame(jobs)


CLEAR = tried([0.1, 0.2] * 10)


def hold(
    full: tuple[float, float, float],
    stands: tuple[float, float, float] | None,
    jobs: pl.DataFrame = CLEAR,
    **changed: Any,
) -> dict[str, Any]:
    """Hold a job type of usual base 20 and largest base 50 against what stands."""
    row = pl.DataFrame(
        [
            {
                "material": "resin",
                "job_type": "garage",
                "typical_base_quantity": 20.0,
                "stands_base_quantity": changed.get("stands_base_quantity"),
                "largest_base_quantity": 50.0,
                "least_charge": changed.get("least_charge"),
                "full_fixed_loss": full[0],
                "full_price_ratio": full[1],
                "full_load_ratio": full[2],
            }
        ],
        schema_overrides={"least_charge": pl.Float64, "stands_base_quantity": pl.Float64},
    )
    figures = zip(("fixed_loss", "price_ratio", "load_ratio"), stands or (), strict=False)
    standing = {
        "material": "resin" if stands else "mat",
        "job_type": "garage",
        "how": changed.get("how", "decided"),
        "in_force_from": changed.get("in_force_from", date(2025, 7, 7)),
        **dict.fromkeys(("fixed_loss", "price_ratio", "load_ratio"), 0.0),
        **dict(figures),
    }
    in_force = pl.DataFrame([standing], schema_overrides={"in_force_from": pl.Date})
    return hold_against(row, Standing(in_force, jobs, AS_OF)).row(0, named=True)


def suggested(row: dict[str, Any]) -> tuple[float, float, float]:
    return tuple(row[f"suggested_{name}"] for name in ("fixed_loss", "price_ratio", "load_ratio"))


def test_the_gain_is_a_mean_over_jobs_with_its_standard_error() -> None:
    found = weigh_gains(tried([0.1, 0.2, 0.3, 0.2])).row(0, named=True)

    # squares about .2 add up to .02: variance .02 / 3, over four jobs
    assert found["gain_ratio"] == pytest.approx(0.2)
    assert found["gain_error_ratio"] == pytest.approx((0.02 / 3 / 4) ** 0.5)
    assert found["tried_line_count"] == 4


def test_only_the_last_hundred_and_twenty_jobs_speak() -> None:
    found = weigh_gains(tried([9.0] * 30 + [0.25] * 120)).row(0, named=True)

    assert (found["tried_line_count"], found["gain_ratio"]) == (120, pytest.approx(0.25))


def test_a_job_of_which_nothing_is_known_to_have_been_allowed_does_not_speak() -> None:
    jobs = tried([0.1, 0.2, 0.3]).filter(
        ~((pl.col("job_ref") == "2026-002") & (pl.col("method") == "as allowed"))
    )

    assert weigh_gains(jobs)["tried_line_count"].to_list() == [2]


def test_twenty_jobs_on_which_it_came_clearly_nearer_are_enough() -> None:
    row = hold((1.0, 0.10, 0.20), (1.0, 0.09, 0.18))

    assert row["why_keep"] is None
    assert suggested(row) == (1.0, 0.10, 0.20)
    assert row["change_ratio"] == pytest.approx(0.02)


def test_nineteen_jobs_are_too_few_to_tell() -> None:
    row = hold((1.0, 0.10, 0.20), (1.0, 0.09, 0.18), tried([0.1, 0.2] * 9 + [0.1]))

    assert "could be tried on 19 past jobs only and 20 are needed" in row["why_keep"]


def test_a_gain_of_no_more_than_its_standard_error_is_not_clear() -> None:
    # 21 jobs, +-1 about g: the standard error is sqrt(20 / 20 / 21) with one job at g itself
    error = (1 / 21) ** 0.5
    gains = [gain + 0.0 for gain in [1.0, -1.0] * 10 + [0.0]]

    just, short = (
        hold((1.0, 0.1, 0.2), (1.0, 0.09, 0.18), tried([gain + more for gain in gains]))
        for more in (error * 1.01, error * 0.99)
    )

    assert just["gain_error_ratio"] == pytest.approx(error)
    assert just["why_keep"] is None
    assert "on the last 21 jobs the suggestion did not come clearly nearer" in short["why_keep"]


def test_half_a_hundredth_of_a_usual_base_is_no_change_the_loss_per_job_counted_in() -> None:
    # 0.08 more on every job is .004 of 20: together with .0012 it is a change, alone it is none
    small, enough = (
        hold((1.08, 0.1 + more, 0.2 + more), (1.0, 0.1, 0.2)) for more in (0.0, 0.0012)
    )

    assert small["change_ratio"] == pytest.approx(0.004)
    assert "less than half of one per cent away" in small["why_keep"]
    assert enough["why_keep"] is None


def test_what_was_decided_moves_by_three_hundredths_of_a_usual_base_all_three_figures_alike() -> (
    None
):
    # the load moves most: 1 / 20 + .10 = .15, so a fifth of the way
    row = hold((2.0, 0.11, 0.30), (1.0, 0.06, 0.20))

    assert row["is_step_limited"]
    assert suggested(row) == pytest.approx((1.2, 0.07, 0.22))


def test_downwards_the_step_is_the_same() -> None:
    row = hold((0.0, 0.0, 0.10), (0.0, 0.0, 0.20))

    assert suggested(row) == pytest.approx((0.0, 0.0, 0.17))


def test_a_first_suggestion_is_not_held_to_steps() -> None:
    row = hold((2.0, 0.1, 0.3), (0.0, 0.06, 0.06), how="as quoted", in_force_from=None)

    assert not row["is_step_limited"]
    assert suggested(row) == (2.0, 0.1, 0.3)


def test_no_step_is_held_that_would_charge_less_than_a_roof_holds() -> None:
    # a fifth of the way from -.10 to .05 is -.07: 46.5 charged on 50, where 50 are needed
    far, poured = (
        hold((0.0, 0.05, 0.05), (0.0, -0.10, -0.10), least_charge=least) for least in (None, 50.0)
    )

    assert suggested(far) == pytest.approx((0.0, -0.07, -0.07))
    assert suggested(poured) == (0.0, 0.05, 0.05)


def test_what_was_decided_this_month_rests_until_the_next() -> None:
    row = hold((1.0, 0.1, 0.2), (1.0, 0.09, 0.18), in_force_from=AS_OF)

    assert row["why_keep"] == "decided on 2026-06-01: the next suggestion comes in the month after"


def test_where_nothing_is_in_force_there_is_nothing_to_keep() -> None:
    row = hold((1.0, 0.1, 0.2), None, tried([0.1]))

    assert row["why_keep"] is None
    assert suggested(row) == (1.0, 0.1, 0.2)
    assert row["change_ratio"] is None
