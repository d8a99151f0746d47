"""Common practice and geometry: least lengths of trim from 3 m lengths, by hand."""

from dataclasses import asdict

import pytest

from pipelines.cutting.least_lengths import LeastLengths, least_lengths
from pipelines.errors import QuantityError


def plan(*runs_mm: int, lap_mm: int = 50, kerf_mm: int = 3, stock_mm: int = 3000) -> LeastLengths:
    return least_lengths(
        runs_mm, stock_length_mm=stock_mm, lap_mm=lap_mm, kerf_mm=kerf_mm, keep_from_mm=600
    )


@pytest.mark.parametrize(
    ("run_mm", "lap_mm", "kerf_mm", "lengths_count"),
    [
        (6000, 50, 3, 3),
        (5950, 50, 3, 2),
        (6000, 0, 0, 2),
        (5800, 50, 3, 2),  # a 6.00 m edge between two corner pieces that cover 100 mm each
        (9000, 50, 3, 4),
        (8850, 50, 3, 3),
    ],
)
def test_a_straight_run_takes_run_less_lap_over_length_less_lap_rounded_up(
    run_mm: int, lap_mm: int, kerf_mm: int, lengths_count: int
) -> None:
    assert plan(run_mm, lap_mm=lap_mm, kerf_mm=kerf_mm).lengths_count == lengths_count


def test_a_run_of_one_length_needs_no_join_and_leaves_nothing() -> None:
    assert asdict(plan(3000)) == {
        "lengths_count": 1,
        "joints_count": 0,
        "joints_forced_count": 0,
        "run_mm": 3000,
        "lap_mm": 0,
        "leftover_mm": 0,
        "kept_mm": 0,
        "base_mm": 3000,
    }


def test_the_saw_decides_whether_two_runs_come_from_one_length() -> None:
    assert plan(1997, 1000).lengths_count == 1
    assert plan(1998, 1000).lengths_count == 2


def test_a_run_and_its_lap_and_cut_leave_a_rest_to_keep() -> None:
    found = plan(4000)

    # two lengths, one join of 50, one cut of 3: 6000 - 4000 - 50 - 3
    assert (found.lengths_count, found.joints_count, found.lap_mm) == (2, 1, 50)
    assert (found.leftover_mm, found.kept_mm, found.base_mm) == (1947, 1947, 4053)


@pytest.mark.parametrize(("run_mm", "kept_mm"), [(2397, 600), (2398, 0)])
def test_a_rest_is_kept_from_the_shortest_length_worth_keeping(run_mm: int, kept_mm: int) -> None:
    assert plan(run_mm).kept_mm == kept_mm


def test_lengths_may_serve_several_runs_only_by_joins() -> None:
    # 3 x 2.0 m would be 6.0 m of two lengths but for the join, its lap and the cuts
    assert plan(2000, 2000, 2000).lengths_count == 3
    two = plan(1960, 1960, 1960)
    assert (two.lengths_count, two.joints_count, two.joints_forced_count) == (2, 0, 0)


def test_no_run_takes_nothing() -> None:
    assert set(asdict(plan()).values()) == {0}


@pytest.mark.parametrize(
    ("runs_mm", "changes", "says"),
    [
        ((0,), {}, "a run of 0 mm"),
        ((2000, -5), {}, "a run of -5 mm"),
        ((50,), {}, "a run of 50 mm .* not longer than the lap of 50 mm"),
        ((2000,), {"lap_mm": 3000}, "lap_mm: 3000 mm .* new length of 3000 mm"),
        ((2000,), {"lap_mm": -1}, "lap_mm: -1 mm"),
        ((2000,), {"kerf_mm": -1}, "kerf_mm: -1 mm"),
        ((2000,), {"stock_length_mm": 0}, "stock_length_mm: 0 mm"),
        ((2000,), {"keep_from_mm": -600}, "keep_from_mm: -600 mm"),
    ],
)
def test_what_can_not_be_cut_is_refused_by_name(
    runs_mm: tuple[int, ...], changes: dict[str, int], says: str
) -> None:
    trade = {"stock_length_mm": 3000, "lap_mm": 50, "kerf_mm": 3, "keep_from_mm": 600}

    with pytest.raises(QuantityError, match=says):
        least_lengths(runs_mm, **(trade | changes))
