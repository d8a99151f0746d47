"""Groups of runs laid out on lengths: which piece is cut from which length, in order."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from pipelines.cutting.plans import CutLength, LengthRules, Piece, joints_cost_mm
from pipelines.cutting.remainders import Remainder, cost_groups

MOST_STEPS = 2000
"""Half-laid groups given up before the search is: it keeps the search short."""


@dataclass(frozen=True)
class LaidOut:
    """A group of runs, its lengths, and what they cost in mm, whole lengths not in it."""

    group: tuple[Remainder, ...]
    lengths: tuple[CutLength, ...]
    cost_mm: int


@dataclass(frozen=True)
class _Step:
    """One run cut: its piece of the open length, its other lengths, its piece of the next one."""

    remainder: Remainder
    here_mm: int
    closed_mm: tuple[int, ...] = ()
    next_mm: int = 0
    wasted_mm: int = 0
    is_anew: bool = False


def lay_out(group: Sequence[Remainder], rules: LengthRules) -> LaidOut | None:
    """
    Lay a group of runs out on the lengths that it shares, one open length after the other.

    A run ends in the open length if it fits, else it fills it and goes on in the next one. A
    piece that would be shorter than the least one is made longer and a neighbour of its run
    shorter by as much; that is wasted at the neighbour, or made long enough to keep. Orders of the
    runs are tried, first those that waste nothing that could be kept; of the first that can be
    cut with waste, and with a rest made long enough, the cheaper stands.

    Returns:
        None where no order was found in which every joined piece has the least length.

    """
    if not rules.least_piece_mm:
        return _cost(_cut(_take_in_order(group, rules), rules), group, rules)
    takes = np.array([sum(each.rest_mm + rules.kerf_mm for each in group)], dtype=np.int64)
    costs = cost_groups(takes, rules)
    served = int(costs.lengths_count[0]) * (rules.stock_length_mm - rules.lap_mm)
    slack_mm = served + rules.lap_mm + rules.kerf_mm - int(takes[0])
    if costs.leftover_mm[0] < rules.keep_from_mm or not slack_mm:
        return _lay_out(group, rules, slack_mm)
    exact = _lay_out(group, rules, 0)
    if exact is not None:
        return exact
    ways = (_lay_out(group, rules, slack_mm), _lay_out(group, rules, slack_mm, keep_more=True))
    return min((way for way in ways if way), key=lambda way: way.cost_mm, default=None)


def _lay_out(
    group: Sequence[Remainder], rules: LengthRules, slack_mm: int, *, keep_more: bool = False
) -> LaidOut | None:
    kept_mm = rules.keep_from_mm + rules.kerf_mm if keep_more else 0
    steps = _Search(rules, kept_mm).cut(tuple(group), rules.stock_length_mm, slack_mm)
    return None if steps is None else _cost(_cut(steps, rules), group, rules)


def _take_in_order(group: Sequence[Remainder], rules: LengthRules) -> Iterator[_Step]:
    room_mm = rules.stock_length_mm
    for remainder in group:
        step = next(_list_steps(remainder, room_mm, rules))
        room_mm = _room_after(step, room_mm, rules)
        yield step


def _room_after(step: _Step, room_mm: int, rules: LengthRules) -> int:
    room = rules.stock_length_mm if step.next_mm or step.is_anew else room_mm
    return room - (step.next_mm or step.here_mm) - rules.kerf_mm


@dataclass
class _Search:
    """Orders of runs tried one after the other; what failed once is not tried again."""

    rules: LengthRules
    kept_mm: int
    failed: set[tuple[tuple[tuple[int, int], ...], int, int]] = field(default_factory=set)

    def cut(self, left: tuple[Remainder, ...], room_mm: int, slack_mm: int) -> list[_Step] | None:
        """Cut what is left of a group, of which the open length takes a piece of `room_mm`."""
        if not left:
            return []
        state = (tuple((each.whole_count, each.rest_mm) for each in left), room_mm, slack_mm)
        if state in self.failed:
            return None
        for position, remainder in enumerate(left):
            others = (*left[:position], *left[position + 1 :])
            for step in _list_steps(remainder, room_mm, self.rules, self.kept_mm):
                if step.wasted_mm > slack_mm or len(self.failed) > MOST_STEPS:
                    continue
                room = _room_after(step, room_mm, self.rules)
                after = self.cut(others, room, slack_mm - step.wasted_mm)
                if after is not None:
                    return [step, *after]
        self.failed.add(state)
        return None


def _list_steps(
    remainder: Remainder, room_mm: int, rules: LengthRules, kept_mm: int = 0
) -> Iterator[_Step]:
    """List the ways to cut a run; `kept_mm` is a rest that a length is shortened to leave."""
    stock, least, rest = rules.stock_length_mm, rules.least_piece_mm, remainder.rest_mm
    whole = (stock,) * remainder.whole_count
    ends = max(rest, least) if whole else rest
    if whole and ends > rest and max(least, rest) <= room_mm <= stock + rest - least:
        yield _Step(remainder, room_mm, whole[1:], stock + rest - room_mm)
    if ends > rest and rest + kept_mm > ends and kept_mm <= min(room_mm - rest, stock - least):
        yield _Step(remainder, rest + kept_mm, _shorten(whole, kept_mm), wasted_mm=kept_mm)
    if ends <= room_mm:
        yield _Step(remainder, ends, _shorten(whole, ends - rest), wasted_mm=ends - rest)
    elif rules.joint_rule == "priced" and room_mm > rules.lap_mm:
        yield from _join_on(remainder, room_mm, rules)
    elif rules.joint_rule == "priced":
        yield _Step(remainder, ends, _shorten(whole, ends - rest), 0, ends - rest, is_anew=True)


def _join_on(remainder: Remainder, room_mm: int, rules: LengthRules) -> Iterator[_Step]:
    """Fill the open length with a remainder that does not fit, and go on in the next one."""
    whole = (rules.stock_length_mm,) * remainder.whole_count
    far_mm = remainder.rest_mm - room_mm + rules.lap_mm
    wasted_mm = max(0, rules.least_piece_mm - far_mm)
    near_mm = room_mm if whole else room_mm - wasted_mm
    if far_mm > rules.lap_mm and near_mm > rules.lap_mm and near_mm >= rules.least_piece_mm:
        yield _Step(remainder, near_mm, _shorten(whole, wasted_mm), far_mm + wasted_mm, wasted_mm)


def _shorten(lengths_mm: tuple[int, ...], by_mm: int) -> tuple[int, ...]:
    return (lengths_mm[0] - by_mm, *lengths_mm[1:]) if lengths_mm else ()


def _cut(steps: Iterable[_Step], rules: LengthRules) -> tuple[CutLength, ...]:
    lengths: list[CutLength] = []
    open_pieces: tuple[Piece, ...] = ()
    for step in steps:
        edge_no = step.remainder.edge_no
        here = Piece(edge_no, step.here_mm)
        if step.is_anew:
            lengths.append(CutLength(rules.stock_length_mm, open_pieces))
            open_pieces = ()
        lengths += [
            CutLength(rules.stock_length_mm, (Piece(edge_no, piece),)) for piece in step.closed_mm
        ]
        open_pieces = (*open_pieces, here)
        if step.next_mm:
            lengths.append(CutLength(rules.stock_length_mm, open_pieces))
            open_pieces = (Piece(edge_no, step.next_mm),)
    return (*lengths, CutLength(rules.stock_length_mm, open_pieces))


def _cost(
    lengths: tuple[CutLength, ...], group: Sequence[Remainder], rules: LengthRules
) -> LaidOut:
    lefts = [length.left_mm(rules) for length in lengths]
    kept = sum(left for left in lefts if left >= rules.keep_from_mm)
    whole = sum(remainder.whole_count for remainder in group)
    joints = sum(len(length.pieces) for length in lengths) - len(group) - whole
    opened = (len(lengths) - whole) * rules.stock_length_mm
    return LaidOut(tuple(group), lengths, opened - kept + joints_cost_mm(rules, joints))
