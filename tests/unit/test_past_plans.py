"""Plans of past jobs, as frames."""

from decimal import Decimal

import polars as pl
from polars.testing import assert_frame_equal

from pipelines.cutting.past_plans import plan_jobs
from schemas.tables import TABLES


def runs(rows: list[tuple[str, int, int | None]], lap_mm: list[int | None]) -> pl.DataFrame:
    return pl.DataFrame(
        rows,
        schema={"job_ref": pl.String, "edge_no": pl.Int64, "run_mm": pl.Int64},
        orient="row",
    ).with_columns(
        stage=pl.lit("fitted"),
        material=pl.lit("drip trim"),
        kind=pl.lit("trim"),
        stock_length_mm=pl.lit(3000, dtype=pl.Int64),
        lap_mm=pl.Series(lap_mm, dtype=pl.Int64),
        kerf_mm=pl.lit(3, dtype=pl.Int64),
        keep_from_mm=pl.lit(600, dtype=pl.Int64),
        least_piece_mm=pl.lit(200, dtype=pl.Int64),
        joint_rule=pl.lit("forced_only"),
        joint_price_mm=pl.lit(0, dtype=pl.Int64),
    )


def test_a_length_serves_two_edges_in_the_best_plan_and_one_in_the_other() -> None:
    planned = plan_jobs(runs([("2025-002", 1, 2000), ("2025-002", 2, 997)], [50, 50]))

    TABLES["result.cut_job"].validate(planned.cut_job)
    TABLES["result.cut_piece"].validate(planned.cut_piece)
    best, plain = planned.cut_job.iter_rows(named=True)
    # 3 000 = 2 000 + a cut of 3 + 997; the last cut falls off the end
    assert best == {
        "job_ref": "2025-002",
        "material": "drip trim",
        "stage": "fitted",
        "plan": "best",
        "kind": "trim",
        "lengths_count": 1,
        "joints_count": 0,
        "net_quantity": Decimal("2.997"),
        "lap_quantity": Decimal(0),
        "kerf_quantity": Decimal("0.003"),
        "kept_quantity": Decimal(0),
        "binned_quantity": Decimal(0),
        "used_up_quantity": Decimal(3),
        "bound_quantity": Decimal(3),
        "is_proven": True,
        "how": None,
        "problem": None,
    }
    assert (plain["plan"], plain["lengths_count"], plain["used_up_quantity"]) == ("no re-use", 2, 6)
    assert planned.cut_piece.select("length_no", "piece_no", "edge_no", "piece_mm").rows() == [
        (1, 1, 1, 2000),
        (1, 2, 2, 997),
    ]


def test_a_job_that_can_not_be_planned_says_why_and_the_others_are() -> None:
    planned = plan_jobs(
        runs(
            [
                ("2025-001", 4, 40),
                ("2025-002", 1, None),
                ("2025-003", 1, 2000),
                ("2025-003", 2, 2000),
                ("2025-004", 1, 2000),
                ("2025-005", 1, 2000),
            ],
            [50, 50, 50, 25, None, 50],
        )
    ).cut_job.filter(plan="best")

    problems = planned["problem"].to_list()
    assert problems[0].startswith("edge 4: a run of 40 mm")
    assert problems[1] == "edge 1: the length of its run is not recorded"
    assert problems[2] == "lap_mm: the runs of one material name more than one: 25, 50"
    assert problems[3] == "lap_mm is not recorded for the material"
    assert problems[4] is None
    assert planned["lengths_count"].to_list() == [None, None, None, None, 1]


def test_rows_come_sorted_whatever_their_order() -> None:
    given = runs([("2025-002", 1, 2000), ("2025-001", 2, 6000), ("2025-001", 1, 900)], [50] * 3)

    first, then = plan_jobs(given), plan_jobs(given.reverse())

    assert_frame_equal(first.cut_job, then.cut_job)
    assert_frame_equal(first.cut_piece, then.cut_piece)


def test_no_runs_give_empty_frames_of_the_same_shape() -> None:
    planned = plan_jobs(runs([], []))

    TABLES["result.cut_job"].validate(planned.cut_job)
    TABLES["result.cut_piece"].validate(planned.cut_piece)
