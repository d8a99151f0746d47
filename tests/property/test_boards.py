"""What holds for any deck: its rules, its sums, and that re-use never takes more."""

from collections import defaultdict
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.cutting.board_plans import BoardPlan, BoardRules
from pipelines.cutting.boards import count_rows, plan_boards, plan_boards_without_reuse
from pipelines.cutting.outlines import Outline, Rectangle

few = settings(max_examples=40, deadline=None)
sizes = st.tuples(st.integers(300, 9000), st.integers(200, 3000))
roofs = st.lists(sizes, min_size=1, max_size=2)
boards = st.fixed_dictionaries(
    {
        "length_mm": st.sampled_from([2400, 2440, 1830]),
        "width_mm": st.just(600),
        "cover_width_mm": st.sampled_from([None, 590]),
        "joist_mm": st.sampled_from([None, 400, 450, 600]),
        "stagger_mm": st.sampled_from([0, 200, 400]),
        "reuse_from_mm": st.sampled_from([0, 400, 600]),
        "keep_from_mm": st.sampled_from([None, 600, 1200]),
    }
)


def lay(roof: list[tuple[int, int]], board: dict[str, Any], by: int = 1) -> tuple[BoardPlan, ...]:
    rules = BoardRules(**{name: value and value * by for name, value in board.items()})
    outline = Outline(tuple(Rectangle(width * by, depth * by) for width, depth in roof))
    decked = count_rows(outline, rules, Fraction(1))
    return plan_boards(decked, rules), plan_boards_without_reuse(decked, rules)


def figures(plan: BoardPlan) -> tuple[int, ...]:
    return (plan.opened_mm2, plan.net_mm2, plan.lap_mm2, plan.kept_mm2, plan.binned_mm2)


@given(roof=roofs, board=boards)
@few
def test_every_plan_keeps_the_rules(roof: list[tuple[int, int]], board: dict[str, Any]) -> None:
    cover_mm = board["cover_width_mm"] or board["width_mm"]
    rows_mm = [width for width, depth in roof for _ in range(-(-depth // cover_mm))]

    for plan in lay(roof, board):
        rows = [[piece.piece_mm for piece in row] for row in plan.rows]
        assert [sum(row) for row in rows] == rows_mm
        assert all(piece > 0 for row in rows for piece in row)
        joints = [list(accumulate(row))[:-1] for row in rows]
        assert all(
            abs(one - other) >= board["stagger_mm"]
            for row, after in pairwise(joints)
            for one in row
            for other in after
        )
        assert not board["joist_mm"] or all(
            joint % board["joist_mm"] == 0 for row in joints for joint in row
        )
        assert all(row[0] >= min(board["reuse_from_mm"], sum(row)) for row in rows)


@given(roof=roofs, board=boards)
@few
def test_a_board_goes_on_only_as_the_rules_let_it(
    roof: list[tuple[int, int]], board: dict[str, Any]
) -> None:
    for plan, reuses in zip(lay(roof, board), (True, False), strict=True):
        uses = defaultdict(list)
        for row_no, row in enumerate(plan.rows):
            for place, piece in enumerate(row):
                uses[piece.board_no].append((row_no, place, piece.piece_mm))
        assert sorted(uses) == list(range(1, plan.boards_count + 1))
        for cuts in uses.values():
            rest_mm = board["length_mm"] - cuts[0][2]
            for (row_no, place, _), (next_row, next_place, cut_mm) in pairwise(cuts):
                starts_next = reuses and next_row == row_no + 1 and next_place == 0
                closes_own = (
                    next_row == row_no and place == 0 and next_place == len(plan.rows[row_no]) - 1
                )
                assert starts_next or closes_own
                assert rest_mm > board["reuse_from_mm"]
                rest_mm -= cut_mm
            assert rest_mm >= 0


@given(roof=roofs, board=boards)
@few
def test_sums_are_left_and_reuse_never_takes_more(
    roof: list[tuple[int, int]], board: dict[str, Any]
) -> None:
    best, own = lay(roof, board)

    for plan in (best, own):
        opened, *parts = figures(plan)
        assert opened == sum(parts)
        assert min(parts) >= 0
        assert plan.bound_mm2 <= plan.used_up_mm2 == opened - plan.kept_mm2
    assert own.kept_mm2 == 0
    assert best.boards_count <= own.boards_count
    assert best.used_up_mm2 <= own.used_up_mm2


@given(roof=roofs, board=boards)
@few
def test_without_joists_a_row_of_its_own_is_its_length_in_whole_boards(
    roof: list[tuple[int, int]], board: dict[str, Any]
) -> None:
    plain = board | {"joist_mm": None, "reuse_from_mm": 400}
    _, own = lay(roof, plain)

    rows = [sum(piece.piece_mm for piece in row) for row in own.rows]
    assert own.boards_count == sum(-(-row // board["length_mm"]) for row in rows)


@given(roof=roofs, board=boards)
@few
def test_ten_times_as_long_is_the_same_plan(
    roof: list[tuple[int, int]], board: dict[str, Any]
) -> None:
    small, large = lay(roof, board), lay(roof, board, by=10)

    for one, ten in zip(small, large, strict=True):
        assert figures(ten) == tuple(100 * figure for figure in figures(one))
