"""Documents that are compared and replaced as a whole: those that print no line numbers."""

from collections.abc import Sequence

from pipelines.checking.same_lines import LINE, Pairs, content_of, pair_lines, say_nothing_new
from pipelines.checking.verdicts import (
    RIGHT_ONE,
    Resolved,
    Row,
    rows_by_batch,
    rows_by_columns,
    rows_by_receipt,
)

Lines = list[Row]
"""The lines that one received file has of one document."""


def resolve_whole(rows: Sequence[Row], key: Sequence[str], resolved: Resolved) -> list[Row]:
    """Resolve documents without line numbers; return the lines that have one, unresolved."""
    numbered: list[Row] = []
    _keep_mended(rows, resolved)
    unmended = [row for row in rows if row.answers is None or LINE in row.filled]
    for group in rows_by_columns(unmended, [name for name in key if name != LINE]):
        in_one_shape = _in_one_shape(rows_by_receipt(group), resolved)
        numbered += [row for lines in in_one_shape for row in lines if LINE in row.filled]
        whole = [row for lines in in_one_shape for row in lines if LINE not in row.filled]
        _Document(resolved).add_all(whole)
    return numbered


def _keep_mended(rows: Sequence[Row], resolved: Resolved) -> None:
    """
    Keep lines that came back mended: they stand with the lines of the file that they came from.

    They are no new version of their document, which would end its other lines.
    """
    answered: dict[str, Row] = {}
    for row in (row for row in rows if row.answers is not None and LINE not in row.filled):
        first = answered.setdefault(str(row.answers), row)
        if first is row:
            resolved.keep(row)
        elif content_of(first) == content_of(row):
            resolved.hold(row, first)
        else:
            reason = f"the row that it brings mended was answered by {first.place}"
            resolved.reject(row, None, reason, "hand in the whole document anew")


def _in_one_shape(receipts: Sequence[Lines], resolved: Resolved) -> list[Lines]:
    """
    Return the receipts that print line numbers as the document's first one does, or does not.

    Lines with and without numbers cannot stand beside each other. One of the other shape is
    already held where no line of it says something else; else it is rejected, and in one batch
    both are.
    """
    shape = _is_numbered(receipts[0])
    first = [lines for lines in receipts if _is_numbered(lines) == shape]
    refused: list[Lines] = []
    for lines in (lines for lines in receipts if _is_numbered(lines) != shape):
        pairs = next(filter(None, (pair_lines(lines, held) for held in reversed(first))), None)
        if pairs is not None:
            _hold(pairs, resolved)
            continue
        beside = [held for held in first if held[0].batch_no == lines[0].batch_no]
        _refuse(lines, first[0][0], resolved)
        for held in (held for held in beside if held not in refused):
            refused.append(held)
            _refuse(held, lines[0], resolved)
    return [lines for lines in first if lines not in refused]


def _is_numbered(lines: Lines) -> bool:
    return any(LINE in row.filled for row in lines)


def _hold(pairs: Pairs, resolved: Resolved) -> None:
    for row, same in pairs:
        resolved.hold(row, same)


def _refuse(lines: Lines, other: Row, resolved: Resolved) -> None:
    for row in lines:
        reason = f"this document stands with other lines in {other.place}"
        resolved.reject(row, "document_no", reason, RIGHT_ONE)


class _Document:
    """One document without line numbers: the lines in force, and what each file has said."""

    def __init__(self, resolved: Resolved) -> None:
        self._resolved = resolved
        self._stands: Lines = []
        self._said: dict[str, Lines] = {}

    def add_all(self, rows: Sequence[Row]) -> None:
        """Take in the document's lines, batch by batch."""
        for batch in rows_by_batch(rows):
            self._add(rows_by_receipt(batch))

    def _add(self, receipts: Sequence[Lines]) -> None:
        fresh = [lines for lines in receipts if not self._is_held(lines)]
        newest = {lines[0].document: lines for lines in fresh}
        for lines in fresh:
            said = newest[lines[0].document]
            others = (held for held in newest.values() if held is not said)
            other = next((held for held in others if pair_lines(said, held) is None), None)
            if other is not None:
                _refuse(lines, other[0], self._resolved)
            elif not self._is_held(lines):
                self._stand(lines)

    def _is_held(self, lines: Lines) -> bool:
        document = lines[0].document
        for held in (self._said.get(document, []), self._stands, self._resolved.twins_of(lines)):
            pairs = pair_lines(lines, held) if held else None
            if pairs and say_nothing_new(pairs):
                _hold(pairs, self._resolved)
                self._said[document] = lines
                return True
        return False

    def _stand(self, lines: Lines) -> None:
        self._stands = self._said[lines[0].document] = lines
        for row in lines:
            self._resolved.keep(row)
