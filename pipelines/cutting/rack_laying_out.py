"""A group of runs laid out on rack pieces and new lengths: which piece is cut from which."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, permutations, product

from pipelines.cutting.laying_out import lay_out
from pipelines.cutting.plans import CutLength, CutPlan, LengthRules, Offcut, Piece, Run
from pipelines.cutting.remainders import take_whole_lengths

MOST_ORDERS = 120
"""Orders of rack pieces and runs that are tried where a least piece bars the way."""

Cut = tuple[CutLength, ...]


@dataclass(frozen=True)
class RackGroup:
    """Runs, and the rack pieces and new lengths that they are to be cut from."""

    runs: tuple[Run, ...]
    offcuts: tuple[Offcut, ...]
    new_count: int
    rules: LengthRules
    ratio: float

    def lay_out(self) -> Cut | None:
        """
        Cut the runs: the cheapest of the orders tried.

        Returns:
            None where in no order that was tried every joined piece has the least length.

        """
        if not self.offcuts:
            laid = lay_out([take_whole_lengths(run, self.rules) for run in self.runs], self.rules)
            return None if laid is None else laid.lengths
        most = MOST_ORDERS if self.rules.least_piece_mm else 1
        cut = _cut_alone if self.rules.joint_rule == "forced_only" else _cut_in_turn
        laid_out = [
            each
            for lengths, runs in islice(self._list_orders(), most)
            if (each := cut(lengths, runs, self.rules)) is not None
        ]
        return min(laid_out, key=self.cost_mm, default=None)

    def cost_mm(self, lengths: Cut) -> int:
        """Give what the lengths cost, as in a plan of this group alone."""
        return CutPlan(self.rules, self.runs, lengths, 0, self.ratio).cost_mm

    def _list_orders(self) -> Iterator[tuple[Cut, tuple[Run, ...]]]:
        racked = [CutLength(each.length_mm, (), each.label) for each in self.offcuts]
        new = (CutLength(self.rules.stock_length_mm, ()),) * self.new_count
        for lengths, runs in product(permutations(racked), permutations(self.runs)):
            yield (*lengths, *new), runs


def _cut_alone(lengths: Cut, runs: Sequence[Run], rules: LengthRules) -> Cut | None:
    """Give each length but the last to one long run; the last takes what all runs still lack."""
    *alone, last = lengths
    cut: list[CutLength] = []
    for run in runs:
        lacks_mm = run.run_mm
        joins = take_whole_lengths(run, rules).whole_count
        for length in [alone.pop(0) for _ in range(joins)]:
            piece_mm = min(length.length_mm, lacks_mm + rules.lap_mm - rules.least_piece_mm)
            cut.append(replace(length, pieces=(Piece(run.edge_no, piece_mm),)))
            lacks_mm += rules.lap_mm - piece_mm
        last = replace(last, pieces=(*last.pieces, Piece(run.edge_no, lacks_mm)))
    return _check((*cut, last), rules)


def _cut_in_turn(lengths: Cut, runs: Sequence[Run], rules: LengthRules) -> Cut | None:
    """Fill one length after the other; a run that does not fit goes on in the next one."""
    waiting, cut = list(lengths), []
    open_one = waiting.pop(0)
    for run in runs:
        lacks_mm = run.run_mm
        while lacks_mm > (room_mm := _room_mm(open_one, rules)):
            piece_mm = min(room_mm, lacks_mm + rules.lap_mm - rules.least_piece_mm)
            if piece_mm > rules.lap_mm and piece_mm >= rules.least_piece_mm:
                open_one = _add_piece(open_one, run, piece_mm)
                lacks_mm += rules.lap_mm - piece_mm
            cut.append(open_one)
            if not waiting:
                return None
            open_one = waiting.pop(0)
        open_one = _add_piece(open_one, run, lacks_mm)
    return _check(tuple(each for each in (*cut, open_one) if each.pieces), rules)


def _add_piece(length: CutLength, run: Run, piece_mm: int) -> CutLength:
    return replace(length, pieces=(*length.pieces, Piece(run.edge_no, piece_mm)))


def _room_mm(length: CutLength, rules: LengthRules) -> int:
    return length.length_mm - sum(piece.piece_mm + rules.kerf_mm for piece in length.pieces)


def _check(lengths: Cut, rules: LengthRules) -> Cut | None:
    """Give the lengths if none is cut beyond its end and no joined piece is too short."""
    edges = [piece.edge_no for length in lengths for piece in length.pieces]
    is_cut = all(_room_mm(length, rules) + rules.kerf_mm >= 0 for length in lengths)
    is_long_enough = all(
        piece.piece_mm >= rules.least_piece_mm or edges.count(piece.edge_no) == 1
        for length in lengths
        for piece in length.pieces
    )
    return lengths if is_cut and is_long_enough else None
