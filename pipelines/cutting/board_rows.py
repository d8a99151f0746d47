"""Rows of boards in running bond: a search over where each row starts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from pipelines.cutting.board_plans import BoardPiece, BoardRow, BoardRules
from pipelines.errors import QuantityError

STARTS_FOLLOWED = 12
"""How many ways to lay the rows so far are followed at once: the ones that waste least."""


@dataclass(frozen=True)
class _Offcut:
    board_no: int
    length_mm: int


@dataclass(frozen=True)
class _Laid:
    """Rows so far: joints of the last one, what it leaves to start the next one, what is kept."""

    rows: tuple[BoardRow, ...] = ()
    joints: tuple[int, ...] = ()
    offcuts: tuple[_Offcut, ...] = ()
    boards_count: int = 0
    pieces_count: int = 0
    kept_mm: int = 0

    def rank(self, rules: BoardRules) -> tuple[int, int, int]:
        """Order ways to lay the same rows: least opened less what goes on, most kept, pieces."""
        on_mm = sum(each.length_mm for each in self.offcuts if each.length_mm > rules.reuse_from_mm)
        return self.boards_count * rules.length_mm - on_mm, -self.kept_mm, self.pieces_count

    def cost(self, keep_from_mm: int | None) -> tuple[int, int, int]:
        """Order finished decks: fewest boards, most kept, fewest pieces."""
        kept_mm = self.kept_mm + _kept(self.offcuts, keep_from_mm)
        return self.boards_count, -kept_mm, self.pieces_count


@lru_cache(maxsize=8192)
def lay_rows(rows_mm: tuple[int, ...], rules: BoardRules, *, reuses: bool) -> tuple[BoardRow, ...]:
    """
    Lay rows one after the other from the same side, with the fewest boards that are found.

    The rules are those of installers' guides (common practice): boards run on in whole lengths;
    joints lie on joists, where these are given, and at least the stagger away from those of the
    row before; an offcut starts the next row, and no later one, if it is longer than the limit.
    The rest of the board that a row starts with may close the same row. A starting piece is not
    shorter than the limit, unless the row is. Nothing is asked of the piece that ends a row.

    Args:
        rows_mm: lengths of the rows in the order in which they are laid.
        rules: the board, joists and limits.
        reuses: whether offcuts start the next row; without it each row opens its own boards.

    Raises:
        QuantityError: where joints can't be staggered as asked.

    """
    ways = [_Laid()]
    for row_mm in rows_mm:
        found: dict[tuple[tuple[int, ...], tuple[int, ...]], _Laid] = {}
        for laid in (
            longer for way in ways for longer in _lay_row(way, row_mm, rules, reuses=reuses)
        ):
            key = (laid.joints, tuple(offcut.length_mm for offcut in laid.offcuts))
            if key not in found or laid.rank(rules) < found[key].rank(rules):
                found[key] = laid
        if not found:
            raise QuantityError(
                f"stagger_mm: joints of boards of {rules.length_mm} mm can't lie "
                f"{rules.stagger_mm} mm apart from row to row"
            )
        ways = sorted(found.values(), key=lambda laid: laid.rank(rules))[:STARTS_FOLLOWED]
    return min(ways, key=lambda laid: laid.cost(rules.keep_from_mm)).rows


def _lay_row(way: _Laid, row_mm: int, rules: BoardRules, *, reuses: bool) -> Iterator[_Laid]:
    new = _Offcut(way.boards_count + 1, rules.length_mm)
    usable = [each for each in way.offcuts if each.length_mm > rules.reuse_from_mm]
    for source in (new, *usable):
        for start_mm in _starts(source.length_mm, row_mm, way.joints, rules):
            for closes in (True, False):
                row = _fill_row(way, source, start_mm, row_mm, rules, closes=closes)
                if row is not None:
                    yield _add_row(way, row, rules, reuses=reuses)


def _starts(source_mm: int, row_mm: int, before: tuple[int, ...], rules: BoardRules) -> list[int]:
    """Lengths that a row may start with: whole, or cut so that joints fall as they must."""
    if source_mm >= row_mm:
        return [row_mm]
    if rules.joist_mm is not None:
        cuts = set(range(rules.joist_mm, source_mm + 1, rules.joist_mm))
    else:
        step = rules.step_mm
        moved = {(joint + by) % step for joint in before for by in _both_ways(rules.stagger_mm)}
        cuts = {source_mm, rules.reuse_from_mm, row_mm % step, *moved}
    cuts = {cut for cut in cuts if rules.reuse_from_mm <= cut <= source_mm and cut > 0}
    return sorted(cut for cut in cuts if _is_staggered(_joints(cut, row_mm, rules), before, rules))


def _both_ways(stagger_mm: int) -> tuple[int, int]:
    return stagger_mm, -stagger_mm


def _joints(start_mm: int, row_mm: int, rules: BoardRules) -> tuple[int, ...]:
    joints = []
    while start_mm < row_mm:
        joints.append(start_mm)
        if row_mm - start_mm <= rules.length_mm:
            break
        start_mm += rules.step_mm
    return tuple(joints)


def _is_staggered(joints: tuple[int, ...], before: tuple[int, ...], rules: BoardRules) -> bool:
    return all(abs(one - other) >= rules.stagger_mm for one in joints for other in before)


def _fill_row(
    way: _Laid, source: _Offcut, start_mm: int, row_mm: int, rules: BoardRules, *, closes: bool
) -> BoardRow | None:
    """Fill a row from its start; None where its own start can't close it though it should."""
    joints = _joints(start_mm, row_mm, rules)
    ends = (*joints[1:], row_mm)
    lengths = [end - joint for joint, end in zip(joints, ends, strict=True)] if joints else []
    rest_mm = source.length_mm - start_mm
    board_no = max(way.boards_count, source.board_no)
    numbers = [board_no + more for more in range(1, len(lengths) + 1)]
    if closes:
        if not lengths or rest_mm <= rules.reuse_from_mm or rest_mm < lengths[-1]:
            return None
        numbers[-1] = source.board_no
    rest = tuple(BoardPiece(*each) for each in zip(numbers, lengths, strict=True))
    return (BoardPiece(source.board_no, start_mm), *rest)


def _add_row(way: _Laid, row: BoardRow, rules: BoardRules, *, reuses: bool) -> _Laid:
    before = {offcut.board_no: offcut.length_mm for offcut in way.offcuts}
    lefts: dict[int, int] = {}
    for piece in row:
        had_mm = lefts.get(piece.board_no, before.get(piece.board_no, rules.length_mm))
        lefts[piece.board_no] = had_mm - piece.piece_mm
    passed = [offcut for offcut in way.offcuts if offcut.board_no not in lefts]
    offcuts = [_Offcut(number, left) for number, left in lefts.items() if left > 0]
    if not reuses:
        passed, offcuts = offcuts, []
    return _Laid(
        rows=(*way.rows, row),
        joints=tuple(accumulate(piece.piece_mm for piece in row[:-1])),
        offcuts=tuple(sorted(offcuts, key=lambda each: (each.length_mm, each.board_no))),
        boards_count=max(way.boards_count, *lefts),
        pieces_count=way.pieces_count + len(row),
        kept_mm=way.kept_mm + _kept(passed, rules.keep_from_mm),
    )


def _kept(offcuts: Sequence[_Offcut], keep_from_mm: int | None) -> int:
    if keep_from_mm is None:
        return 0
    return sum(each.length_mm for each in offcuts if each.length_mm >= keep_from_mm)
