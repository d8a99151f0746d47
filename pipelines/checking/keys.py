"""Rows of one key, column by column: the newest filled value is in force."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from pipelines.checking.verdicts import FREE_TEXT, Resolved, Row, rows_by_batch


def resolve_key(group: Sequence[Row], resolved: Resolved) -> None:
    """
    Say what becomes of rows of one key, in the order of receipt.

    A row that repeats what its own document said, or what is in force, is already held. Rows of
    one batch that differ are rejected unless they are versions of one document; a later batch
    stands over an earlier one.
    """
    if len(group) == 1:
        resolved.keep(group[0])
        return
    key = _Key(resolved)
    for batch in rows_by_batch(group):
        key.add(batch)


class _Key:
    """What is in force for one key, and what each document has said of it."""

    def __init__(self, resolved: Resolved) -> None:
        self._resolved = resolved
        self._in_force: dict[str, tuple[Any, Row]] = {}
        self._said: dict[str, dict[str, Any]] = defaultdict(dict)

    def add(self, batch: Sequence[Row]) -> None:
        """Take in the rows of one batch."""
        fresh = [row for row in batch if not self._repeats(row)]
        against = _contradictions(fresh)
        for row in fresh:
            if row.row_id in against:
                self._resolved.contradict(row, *against[row.row_id])
            else:
                self._fold(row)

    def _repeats(self, row: Row) -> bool:
        """Hold a row that tells what its document, or an equal sheet, has told before."""
        said = self._said[row.document]
        if self._resolved.hold_as_twin(row):
            said |= row.filled
            return True
        if not said or not row.filled.items() <= said.items():
            return False
        self._resolved.hold(row, self._holder(row))
        return True

    def _holder(self, row: Row) -> Row:
        holders = (self._in_force[name][1] for name in row.filled)
        return next(holders, row)

    def _fold(self, row: Row) -> None:
        self._said[row.document] |= row.filled
        news = {
            name: (value, row)
            for name, value in row.filled.items()
            if name not in self._in_force or self._in_force[name][0] != value
        }
        if not news:
            self._resolved.hold(row, self._holder(row))
            return
        self._in_force |= news
        self._resolved.keep(row)


def _contradictions(rows: Sequence[Row]) -> dict[int, tuple[Row, str]]:
    """Return, by row, the row of the same batch that it contradicts, and in which column."""
    against: dict[int, tuple[Row, str]] = {}
    if len(rows) == 1:
        return against
    for name, others in _standing(rows).items():
        for row in others:
            other = next(one for one in others if one.filled[name] != row.filled[name])
            against.setdefault(row.row_id, (other, name))
    return against


def _standing(rows: Sequence[Row]) -> dict[str, list[Row]]:
    """Return, for columns in which rows differ, those that no later version has replaced."""
    latest = {(row.document, name): row.receipt_no for row in rows for name in row.filled}
    columns: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        for name, value in row.filled.items():
            stands = latest[row.document, name] == row.receipt_no
            if stands and value is not None and name not in FREE_TEXT:
                columns[name].append(row)
    return {
        name: others
        for name, others in columns.items()
        if len({other.filled[name] for other in others}) > 1
    }
