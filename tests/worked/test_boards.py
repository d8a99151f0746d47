"""Geometry and common practice (installers' guides): boards of roofs counted by hand."""

from fractions import Fraction
from typing import Any

import pytest

from pipelines.cutting.board_plans import BoardPlan, BoardRules
from pipelines.cutting.boards import (
    DeckedRows,
    count_rows,
    plan_boards,
    plan_boards_without_reuse,
)
from pipelines.cutting.outlines import Outline, Rectangle
from pipelines.errors import QuantityError

TONGUED = {"length_mm": 2400, "width_mm": 600, "cover_width_mm": 590}
SQUARE = {"length_mm": 2440, "width_mm": 1220}
WHOLE = Fraction(1)


def plan(width_mm: int, depth_mm: int, rules: BoardRules) -> BoardPlan:
    return plan_boards(decked(rules, (width_mm, depth_mm)), rules)


def decked(rules: BoardRules, *sizes: tuple[int, int], share: Fraction = WHOLE) -> DeckedRows:
    return count_rows(Outline(tuple(Rectangle(*size) for size in sizes)), rules, share)


def lengths(found: BoardPlan) -> list[list[int]]:
    return [[piece.piece_mm for piece in row] for row in found.rows]


@pytest.mark.parametrize("joist_mm", [None, 400, 600])
def test_a_roof_of_6_by_3_and_a_half_metres_takes_15_boards(joist_mm: int | None):
    # 6 rows of 6.0 m are 36 m, 15 whole boards: two boards and a half, the half starts the next
    found = plan(6000, 3500, BoardRules(**TONGUED, joist_mm=joist_mm))

    assert (found.boards_count, found.is_proven) == (15, True)


def test_the_board_plan_of_that_roof_adds_up_in_square_millimetres():
    found = plan(6000, 3500, BoardRules(**TONGUED))

    assert found.opened_mm2 == 15 * 1_440_000
    assert found.net_mm2 == 21_000_000
    assert found.lap_mm2 == 36_000 * 10
    assert found.binned_mm2 == 6000 * (6 * 590 - 3500)
    assert (found.kept_mm2, found.used_up_mm2) == (0, 21_600_000)


def test_rows_of_5_6_metres_on_600_mm_joists_take_15_boards():
    # the 1.6 m left of a row reaches a joist at 1.2 m, so that two rows take five boards, though
    # 33.6 m would be 14: that 15 is least is not proven by length alone
    found = plan(5600, 3500, BoardRules(**TONGUED, joist_mm=600))

    assert (found.boards_count, found.is_proven) == (15, False)
    assert lengths(found)[:2] == [[2400, 2400, 800], [1200, 2400, 2000]]


def test_boards_with_a_joint_in_the_middle_are_staggered_at_no_cost():
    # rows of two boards: every second one starts with part of a board and ends with its rest
    found = plan(4800, 1180, BoardRules(**TONGUED))

    assert found.boards_count == 4
    first, second = lengths(found)
    assert sum(first) == sum(second) == 4800
    assert first[0] != second[0]


def test_an_offcut_of_400_mm_is_not_used_again():
    # rows of 4.4 m leave 400 mm of two boards; no limit, and it starts a row
    rows = DeckedRows((4400,) * 6, 4400 * 6 * 590)

    assert plan_boards(rows, BoardRules(**TONGUED)).boards_count == 12
    free = BoardRules(**TONGUED, reuse_from_mm=0, stagger_mm=0)
    assert plan_boards(rows, free).boards_count == 11


def test_a_rest_that_is_too_short_to_go_on_does_not_close_its_own_row_either():
    # rows of 4.8 m that may start with 1.3 m at least leave rests of 1.1 m at most
    rules = BoardRules(**TONGUED, reuse_from_mm=1300)

    assert plan_boards(DeckedRows((4800,) * 2, 4800 * 2 * 590), rules).boards_count == 5


def test_sheets_of_2440_by_1220_without_reuse_are_a_grid_of_3_by_3():
    rules = BoardRules(**SQUARE)

    found = plan_boards_without_reuse(decked(rules, (6000, 3500)), rules)

    assert (found.boards_count, found.lap_mm2) == (9, 0)
    assert found.binned_mm2 == 9 * 2440 * 1220 - 21_000_000


def test_sheets_with_reuse_along_the_rows_are_eight():
    # 3 rows of 6.0 m are 18 m of 2.44 m: 7.4 sheets
    assert plan(6000, 3500, BoardRules(**SQUARE)).boards_count == 8


@pytest.mark.parametrize(
    ("width_mm", "boards_count"), [(6000, 18), (4800, 12), (4801, 18), (2400, 6), (700, 6)]
)
def test_without_reuse_a_row_takes_its_length_over_a_board_rounded_up(
    width_mm: int, boards_count: int
):
    rules = BoardRules(**TONGUED)

    found = plan_boards_without_reuse(decked(rules, (width_mm, 3500)), rules)

    assert found.boards_count == boards_count


def test_offcuts_are_kept_from_the_shortest_length_worth_keeping():
    # one row of 1.8 m leaves 600 mm of full width
    row = DeckedRows((1800,), 1800 * 590)

    kept = plan_boards(row, BoardRules(**TONGUED, keep_from_mm=600))
    assert (kept.kept_mm2, kept.binned_mm2) == (600 * 600, 0)
    binned = plan_boards(row, BoardRules(**TONGUED, keep_from_mm=601))
    assert (binned.kept_mm2, binned.binned_mm2) == (0, 600 * 600)
    own = plan_boards_without_reuse(row, BoardRules(**TONGUED, keep_from_mm=600))
    assert (own.kept_mm2, own.used_up_mm2) == (0, 2400 * 600)


def test_a_rectangle_takes_its_depth_over_the_cover_rounded_up():
    rules = BoardRules(**TONGUED)

    found = decked(rules, (6000, 1500), (2400, 1770))

    assert found == DeckedRows((6000, 6000, 6000, 2400, 2400, 2400), 6000 * 1500 + 2400 * 1770)


def test_part_of_a_deck_takes_its_share_of_rows_rounded_up():
    found = decked(BoardRules(**TONGUED), (6000, 3500), share=Fraction(2, 5))

    assert (found.rows_mm, found.net_mm2) == ((6000,) * 3, 8_400_000)
    assert found.how == "part of the roof is decked: 3 of 6 rows, the longest ones"


def test_more_than_the_roof_is_the_roof_and_said():
    found = decked(BoardRules(**TONGUED), (6000, 3500), share=Fraction(3, 2))

    assert found.net_mm2 == 21_000_000
    assert found.how == "more is to be decked than the roof has; the whole roof was taken"


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"length_mm": 0}, "length_mm: 0 mm is not above 0"),
        ({"width_mm": -600}, "width_mm: -600 mm"),
        ({"cover_width_mm": 0}, "cover_width_mm: 0 mm"),
        ({"cover_width_mm": 610}, "cover_width_mm: 610 mm is more than the width of 600 mm"),
        ({"joist_mm": 0}, "joist_mm: 0 mm"),
        ({"joist_mm": 2500}, "joist_mm: boards of 2400 mm do not reach over 2500 mm"),
        ({"stagger_mm": -1}, "stagger_mm: -1 mm is below 0"),
        ({"reuse_from_mm": -1}, "reuse_from_mm: -1 mm is below 0"),
        ({"keep_from_mm": -1}, "keep_from_mm: -1 mm is below 0"),
    ],
)
def test_a_board_that_can_not_be_is_refused_by_name(changes: dict[str, Any], says: str):
    with pytest.raises(QuantityError, match=says):
        BoardRules(**(TONGUED | changes))


def test_joints_that_can_not_be_staggered_are_refused():
    rules = BoardRules(**TONGUED, joist_mm=2400)

    with pytest.raises(QuantityError, match=r"stagger_mm: joints of boards of 2400 mm can't lie"):
        plan_boards(decked(rules, (6000, 3500)), rules)


def test_nothing_to_deck_is_refused():
    with pytest.raises(QuantityError, match="net_quantity"):
        decked(BoardRules(**TONGUED), (6000, 3500), share=Fraction(0))
