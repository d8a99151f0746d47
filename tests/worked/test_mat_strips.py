"""Geometry and common practice: strips of mat along the gutter, counted by hand."""

import pytest

from pipelines.cutting.mat_strips import MatPlan, MatRules, plan_mat, plan_mat_without_reuse
from pipelines.cutting.outlines import Outline, Rectangle
from pipelines.errors import QuantityError

ROLL = MatRules(roll_width_mm=950, lap_mm=50, layer_count=1)


def roof(*sizes: tuple[int, int]) -> Outline:
    return Outline(tuple(Rectangle(*size) for size in sizes))


@pytest.mark.parametrize(
    ("depth_mm", "strips_count"), [(950, 1), (951, 2), (1850, 2), (3500, 4), (40, 1)]
)
def test_strips_are_depth_less_lap_over_cover_rounded_up(depth_mm: int, strips_count: int):
    assert plan_mat_without_reuse(roof((6000, depth_mm)), 0, ROLL).strips_count == strips_count


def test_a_roof_without_upstands_takes_whole_strips():
    # 4 strips of 950 mm with 3 laps of 50 mm cover 3650 mm, 150 mm more than the roof is deep
    found = plan_mat(roof((6000, 3500)), 0, ROLL)

    assert found == MatPlan(4, 3, 21_000_000, 6000 * 150, 6000 * 150)
    assert found.used_up_mm2 == 4 * 950 * 6000
    assert not found.is_proven


def test_what_is_ripped_off_goes_on_the_upstands():
    # 150 mm ripped off 6.0 m are 0.9 m2; an upstand of 150 mm along 9.5 m is 1.425 m2
    upstand_mm2 = 150 * 9500
    strips_mm2 = 4 * 950 * 6000

    assert plan_mat_without_reuse(roof((6000, 3500)), upstand_mm2, ROLL).used_up_mm2 == (
        strips_mm2 + upstand_mm2
    )
    best = plan_mat(roof((6000, 3500)), upstand_mm2, ROLL)
    assert best.used_up_mm2 == strips_mm2 + upstand_mm2 - 900_000
    assert (best.binned_mm2, best.is_proven) == (0, True)


def test_a_small_upstand_saves_no_more_than_itself():
    best = plan_mat(roof((6000, 3500)), 150 * 2000, ROLL)

    assert best.used_up_mm2 == 4 * 950 * 6000
    assert best.binned_mm2 == 900_000 - 300_000


def test_every_layer_is_laid_alike():
    double = MatRules(roll_width_mm=950, lap_mm=50, layer_count=2)

    one, two = (plan_mat(roof((6000, 3500)), 600_000, rules) for rules in (ROLL, double))

    assert two == MatPlan(8, 6, 2 * one.net_mm2, 2 * one.lap_mm2, 2 * one.binned_mm2)


def test_each_rectangle_has_strips_of_its_own():
    # 6.0 x 1.5 m: 2 strips; 2.4 x 2.0 m: 3 strips
    found = plan_mat_without_reuse(roof((6000, 1500), (2400, 2000)), 0, ROLL)

    assert found.strips_count == 5
    assert found.used_up_mm2 == 950 * (2 * 6000 + 3 * 2400)


@pytest.mark.parametrize(
    ("roll", "says"),
    [
        ((0, 50, 1), "width_mm: 0 mm is not above 0"),
        ((950, 950, 1), "lap_mm: 950 mm is not allowed"),
        ((950, -1, 1), "lap_mm: -1 mm is not allowed"),
        ((950, 50, 0), "layer_count: 0 is not above 0"),
    ],
)
def test_a_roll_that_can_not_be_is_refused_by_name(roll: tuple[int, int, int], says: str):
    with pytest.raises(QuantityError, match=says):
        MatRules(*roll)


def test_an_upstand_below_0_is_refused():
    with pytest.raises(QuantityError, match="upstand_mm"):
        plan_mat(roof((6000, 3500)), -1, ROLL)
