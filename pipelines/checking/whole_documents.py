"""Documents that are compared and replaced as a whole: those that print no line numbers."""

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence

from pipelines.checking.verdicts import (
    FREE_TEXT,
    RIGHT_ONE,
    Resolved,
    Row,
    rows_by_batch,
    rows_by_columns,
    rows_by_receipt,
)

LINE = "line_no"
_NOT_COMPARED = FREE_TEXT | {LINE}

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
        elif _line_content(first) == _line_content(row):
            resolved.hold(row, first)
        else:
            reason = f"the row that it brings mended was answered by {first.place}"
            resolved.reject(row, None, reason, "hand in the whole document anew")


def _in_one_shape(receipts: Sequence[Lines], resolved: Resolved) -> list[Lines]:
    """
    Return the receipts that print line numbers as the document's first one does, or does not.

    Lines with and without numbers cannot be held against each other one by one. One of the other
    shape is already held where all its lines are equal; else it is rejected, and in one batch
    both are.
    """
    shape = _is_numbered(receipts[0])
    first = [lines for lines in receipts if _is_numbered(lines) == shape]
    refused: list[Lines] = []
    for lines in (lines for lines in receipts if _is_numbered(lines) != shape):
        same = next((held for held in first if _content(held) == _content(lines)), None)
        if same is not None:
            _hold(lines, same, resolved)
            continue
        beside = [held for held in first if held[0].batch_no == lines[0].batch_no]
        _refuse(lines, first[0][0], resolved)
        for held in (held for held in beside if held not in refused):
            refused.append(held)
            _refuse(held, lines[0], resolved)
    return [lines for lines in first if lines not in refused]


def _is_numbered(lines: Lines) -> bool:
    return any(LINE in row.filled for row in lines)


def _content(lines: Iterable[Row]) -> Counter[Hashable]:
    """Return what the lines say, as a set that counts: free text and numbers of lines left out."""
    return Counter(map(_line_content, lines))


def _line_content(row: Row) -> Hashable:
    return frozenset(item for item in row.filled.items() if item[0] not in _NOT_COMPARED)


def _hold(lines: Lines, held: Lines, resolved: Resolved) -> None:
    """Hold each line against its equal."""
    ordered = (sorted(rows, key=lambda row: hash(_line_content(row))) for rows in (lines, held))
    for row, same in zip(*ordered, strict=True):
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
            said = _content(newest[lines[0].document])
            other = next((held for held in newest.values() if _content(held) != said), None)
            if other is not None:
                _refuse(lines, other[0], self._resolved)
            elif not self._is_held(lines):
                self._stand(lines)

    def _is_held(self, lines: Lines) -> bool:
        document = lines[0].document
        for held in (self._said.get(document, []), self._stands, self._resolved.twins_of(lines)):
            if held and _content(held) == _content(lines):
                _hold(lines, held, self._resolved)
                self._said[document] = lines
                return True
        return False

    def _stand(self, lines: Lines) -> None:
        self._stands = self._said[lines[0].document] = lines
        for row in lines:
            self._resolved.keep(row)
