"""What trim to load for the booked jobs."""

from datetime import date

import polars as pl

from pipelines.cutting.booked_loads import plan_loads
from schemas.tables import TABLES


def runs(rows: list[tuple[str, date | None, int, int]]) -> pl.DataFrame:
    schema = {"job_ref": pl.String, "planned_on": pl.Date, "edge_no": pl.Int64, "run_mm": pl.Int64}
    return pl.DataFrame(rows, schema=schema, orient="row").with_columns(
        material=pl.lit("drip trim"),
        stock_length_mm=pl.lit(3000, dtype=pl.Int64),
        lap_mm=pl.lit(50, dtype=pl.Int64),
        kerf_mm=pl.lit(0, dtype=pl.Int64),
        keep_from_mm=pl.lit(600, dtype=pl.Int64),
        least_piece_mm=pl.lit(200, dtype=pl.Int64),
        joint_rule=pl.lit("forced_only"),
        joint_price_mm=pl.lit(0, dtype=pl.Int64),
    )


def rack(*pieces: tuple[int, int]) -> pl.DataFrame:
    schema = {"length_mm": pl.Int64, "pieces": pl.Int64}
    return pl.DataFrame(pieces, schema=schema, orient="row").with_columns(
        material=pl.lit("drip trim")
    )


def test_a_rack_piece_goes_to_the_first_day_that_it_serves_and_only_once() -> None:
    asked = runs(
        [
            ("2026-003", None, 1, 1150),
            ("2026-002", date(2026, 6, 9), 1, 1150),
            ("2026-001", date(2026, 6, 2), 1, 1200),
        ]
    )

    loads = plan_loads(asked, rack((1200, 1), (1180, 1)))

    TABLES["result.cut_load"].validate(loads)
    shown = loads.select("job_ref", "lengths_count", "rack_count", "rack_pieces_mm", "gap_mm")
    assert shown.rows() == [
        ("2026-001", 0, 1, "1200", 0),
        ("2026-002", 0, 1, "1180", 0),
        ("2026-003", 1, 0, None, 0),
    ]


def test_a_run_that_can_not_be_fitted_says_so_and_takes_nothing() -> None:
    loads = plan_loads(
        runs([("2026-001", date(2026, 6, 2), 4, 30), ("2026-002", date(2026, 6, 3), 1, 900)]),
        rack((900, 1)),
    )

    assert loads["problem"][0].startswith("edge 4: a run of 30 mm")
    assert loads["rack_pieces_mm"].to_list() == [None, "900"]


def test_nothing_booked_is_an_empty_frame_of_the_same_shape() -> None:
    TABLES["result.cut_load"].validate(plan_loads(runs([]), rack()))


def test_of_plans_that_cost_the_same_the_one_with_fewer_rack_pieces_is_loaded() -> None:
    day = date(2026, 6, 2)
    asked = runs([("2026-001", day, 1, 820), ("2026-001", day, 2, 820)])

    loads = plan_loads(asked, rack((2698, 3)))

    assert loads["rack_pieces_mm"].to_list() == ["2698"]
