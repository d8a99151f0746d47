"""Plans of past jobs, as one frame."""

import polars as pl
from polars.testing import assert_frame_equal

from pipelines.cutting.past_plans import plan_jobs
from schemas.tables import TABLES


def runs(rows: list[tuple[str, str, int | None]], lap_mm: list[int | None]) -> pl.DataFrame:
    return pl.DataFrame(
        rows,
        schema={"job_ref": pl.String, "stage": pl.String, "run_mm": pl.Int64},
        orient="row",
    ).with_columns(
        material=pl.lit("drip trim"),
        stock_length_mm=pl.lit(3000, dtype=pl.Int64),
        lap_mm=pl.Series(lap_mm, dtype=pl.Int64),
        kerf_mm=pl.lit(3, dtype=pl.Int64),
        keep_from_mm=pl.lit(600, dtype=pl.Int64),
    )


def test_the_runs_of_one_trim_on_one_job_share_lengths() -> None:
    given = runs([("2025-002", "fitted", 2000), ("2025-002", "fitted", 900)], [50, 50])

    planned = plan_jobs(given)

    TABLES["plan.best_plan"].validate(planned)
    assert planned.to_dicts() == [
        {
            "job_ref": "2025-002",
            "material": "drip trim",
            "stage": "fitted",
            "lengths_count": 1,
            "joints_count": 0,
            "run_m": 2.9,
            "lap_m": 0.0,
            "kept_m": 0.0,
            "base_m": 3.0,
            "problem": None,
        }
    ]


def test_a_job_that_can_not_be_planned_says_why_and_the_others_are() -> None:
    given = runs(
        [
            ("2025-001", "quoted", 40),
            ("2025-002", "quoted", None),
            ("2025-003", "quoted", 2000),
            ("2025-003", "quoted", 2000),
            ("2025-004", "quoted", 2000),
            ("2025-005", "quoted", 2000),
        ],
        [50, 50, 50, 25, None, 50],
    )

    planned = plan_jobs(given)

    problems = planned["problem"].to_list()
    assert problems[0].startswith("a run of 40 mm")
    assert problems[1] == "the length of a run is not recorded"
    assert problems[2] == "lap_mm: the runs of one trim name more than one: 25, 50"
    assert problems[3] == "lap_mm is not recorded for the material"
    assert problems[4] is None
    assert planned["lengths_count"].to_list() == [None, None, None, None, 1]


def test_rows_come_sorted_whatever_their_order() -> None:
    given = runs([("2025-002", "quoted", 2000), ("2025-001", "fitted", 6000)], [50, 50])

    assert_frame_equal(plan_jobs(given), plan_jobs(given.reverse()))


def test_no_runs_give_an_empty_frame_of_the_same_shape() -> None:
    TABLES["plan.best_plan"].validate(plan_jobs(runs([], [])))
