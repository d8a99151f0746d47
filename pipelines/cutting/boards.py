"""Deck boards of a roof: its rows, laid with the fewest boards, and without re-use."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from pipelines.cutting.board_plans import BoardPlan, BoardRow, BoardRules
from pipelines.cutting.board_rows import lay_rows
from pipelines.cutting.outlines import Outline
from pipelines.errors import QuantityError

WITHIN = Fraction(2, 100)


@dataclass(frozen=True)
class DeckedRows:
    """
    The rows of boards that a roof takes.

    Attributes:
        rows_mm: their lengths along the gutter.
        net_mm2: the area that they deck.
        how: what was assumed, in words; None where nothing was.

    """

    rows_mm: tuple[int, ...]
    net_mm2: int
    how: str | None = None


def count_rows(outline: Outline, rules: BoardRules, decked_share: Fraction) -> DeckedRows:
    """
    Give the rows of boards along the gutter that deck an outline, or a share of it.

    A rectangle takes ceil(depth / cover width) rows. Where only a share is decked, that share of
    all rows, rounded up, is; the longest ones are taken, as the record doesn't say which. A share
    within 2 in 100 of the whole is the whole.

    Args:
        outline: the roof as rectangles.
        rules: the board.
        decked_share: area decked over area of the roof; above 1 counts as 1, said in `how`.

    Raises:
        QuantityError: a share of 0 or less.

    """
    if decked_share <= 0:
        raise QuantityError("net_quantity: the area to be decked is not above 0")
    rows_mm = [
        rectangle.width_mm
        for rectangle in outline.rectangles
        for _ in range(ceil(Fraction(rectangle.depth_mm, rules.cover_mm)))
    ]
    if decked_share >= 1 - WITHIN:
        how = "more is to be decked than the roof has; the whole roof was taken"
        return DeckedRows(
            tuple(rows_mm), outline.area_mm2, how if decked_share > 1 + WITHIN else None
        )
    decked_count = ceil(len(rows_mm) * decked_share)
    longest_mm = sorted(rows_mm, reverse=True)[:decked_count]
    how = f"part of the roof is decked: {decked_count} of {len(rows_mm)} rows, the longest ones"
    return DeckedRows(tuple(longest_mm), int(outline.area_mm2 * decked_share), how)


def plan_boards(decked: DeckedRows, rules: BoardRules) -> BoardPlan:
    """
    Lay the rows with the fewest boards that a search finds, offcuts starting the next row.

    Of plans with as many boards the one that keeps most stands, then the one with fewest joints.
    It never takes more boards than the plan without re-use.

    Raises:
        QuantityError: where joints can't be staggered as asked.

    """
    own = _to_plan(plan_boards_without_reuse(decked, rules).rows, decked, rules)
    reused = _to_plan(lay_rows(decked.rows_mm, rules, reuses=True), decked, rules)
    return min(reused, own, key=lambda plan: (plan.boards_count, plan.used_up_mm2))


def plan_boards_without_reuse(decked: DeckedRows, rules: BoardRules) -> BoardPlan:
    """
    Lay each row from boards of its own; all offcuts are binned.

    Where joists don't cost length, a row takes ceil(row / board length) boards.

    Raises:
        QuantityError: where joints can't be staggered as asked.

    """
    bins = replace(rules, keep_from_mm=None)
    return _to_plan(lay_rows(decked.rows_mm, bins, reuses=False), decked, bins)


def _to_plan(rows: tuple[BoardRow, ...], decked: DeckedRows, rules: BoardRules) -> BoardPlan:
    return BoardPlan(rules, rows, decked.net_mm2, _bound(decked.rows_mm, rules))


def _bound(rows_mm: Sequence[int], rules: BoardRules) -> int:
    """Rows end to end in whole boards; where offcuts are kept, no more than the rows themselves."""
    keeps = rules.keep_from_mm is not None and rules.keep_from_mm < rules.length_mm
    if keeps:
        return sum(rows_mm) * rules.width_mm
    return ceil(Fraction(sum(rows_mm), rules.length_mm)) * rules.length_mm * rules.width_mm
