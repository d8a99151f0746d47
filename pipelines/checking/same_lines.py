"""Which lines of two copies of one document are the same line, a blank saying nothing."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Any

from pipelines.checking.verdicts import FREE_TEXT, Row

LINE = "line_no"
_NOT_COMPARED = FREE_TEXT | {LINE}
_OF_GOODS = frozenset({"packs", "pack_size", "unit", "pack_price_gbp", "quantity"})
"""What a line of carriage or the like may say and need not: one of it, at its own price."""
_MOST_ALIKE = 100
"""Lines of one sum; of more than these only equal ones are paired."""

Lines = Sequence[Row]
Pairs = list[tuple[Row, Row]]
_Facts = Mapping[str, Any]


def pair_lines(lines: Lines, held: Lines) -> Pairs | None:
    """
    Pair each of `lines` with one of `held` that says nothing else; None where one has no match.

    Two lines say different things where a column is filled in both and differs; free text and
    numbers of lines are left out, and of lines that are no goods packs and their price too.
    """
    if len(lines) != len(held):
        return None
    theirs = _by_sum(held)
    pairs: Pairs = []
    for net, own in _by_sum(lines).items():
        found = _pair_alike(own, theirs.get(net, []))
        if found is None:
            return None
        pairs += found
    return pairs


def say_nothing_new(pairs: Pairs) -> bool:
    """Return whether all that the first of each pair fills stands in the second too."""
    return all(_facts(line).items() <= _facts(same).items() for line, same in pairs)


def content_of(row: Row) -> Hashable:
    """Return what a line says, to be compared whole."""
    return frozenset(_facts(row).items())


def _facts(row: Row) -> _Facts:
    is_goods = row.filled.get("material") is not None or row.filled.get("line_kind") == "goods"
    left_out = _NOT_COMPARED if is_goods else _NOT_COMPARED | _OF_GOODS
    return {name: value for name, value in row.filled.items() if name not in left_out}


def _by_sum(lines: Iterable[Row]) -> dict[Hashable, list[Row]]:
    groups: dict[Hashable, list[Row]] = defaultdict(list)
    for row in lines:
        groups[row.filled.get("line_net_gbp")].append(row)
    return groups


def _pair_alike(lines: Lines, held: Lines) -> Pairs | None:
    """Pair lines of one sum: equal ones first, the rest by trying each against each."""
    if len(lines) != len(held):
        return None
    left: dict[Hashable, list[Row]] = defaultdict(list)
    for row in held:
        left[content_of(row)].append(row)
    pairs: Pairs = []
    rest = []
    for row in lines:
        same = left[content_of(row)]
        if same:
            pairs.append((row, same.pop(0)))
        else:
            rest.append(row)
    others = [row for rows in left.values() for row in rows]
    matched = _match(rest, others) if len(rest) <= _MOST_ALIKE else None
    return None if matched is None else pairs + matched


def _match(lines: Lines, held: Lines) -> Pairs | None:
    """Return a pairing of all lines, found along paths that free a line for another."""
    taken: dict[int, int] = {}
    alike = [
        [at for at, other in enumerate(held) if _agree(_facts(row), _facts(other))] for row in lines
    ]
    if not all(_place(at, alike, taken, set()) for at in range(len(lines))):
        return None
    return [(lines[own], held[at]) for at, own in taken.items()]


def _place(own: int, alike: Sequence[Sequence[int]], taken: dict[int, int], seen: set[int]) -> bool:
    for at in alike[own]:
        if at in seen:
            continue
        seen.add(at)
        if at not in taken or _place(taken[at], alike, taken, seen):
            taken[at] = own
            return True
    return False


def _agree(one: _Facts, other: _Facts) -> bool:
    return all(one[name] == other[name] for name in one.keys() & other.keys())
