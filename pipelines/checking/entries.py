"""Rows of one key that add up: entries told apart by a typed word, or document, sheet, number."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from pipelines.checking.keys import resolve_key
from pipelines.checking.verdicts import Resolved, Row, rows_by_batch, rows_by_columns

_EQUAL_OVER_ENTRIES = ("quoted_net_quantity", "estimated_quantity", "fitted_net_quantity")

Sheet = tuple[str, str]
"""A document and one of its sheets."""


def resolve_entries(group: Sequence[Row], resolved: Resolved) -> None:
    """
    Say what becomes of rows of one key but for their entry, in the order of receipt.

    Entries whose quoted, estimated or fitted quantities differ cannot be added: those of the
    batch that brought the difference are rejected, and the rest is judged without them.
    """
    if len(group) == 1:
        row = group[0]
        resolved.keep(row, row.filled.get("entry") or _entry(_sheet(row), 1))
        return
    against: dict[int, tuple[Row, str]] = {}
    while True:
        attempt = _Entries()
        found = attempt.add([row for row in group if row.row_id not in against])
        if not found:
            break
        against |= found
    resolved.take_in(attempt.resolved)
    for row in group:
        if row.row_id in against:
            resolved.contradict(row, *against[row.row_id])


def _sheet(row: Row) -> Sheet:
    return row.document, row.sheet


def _entry(sheet: Sheet, number: int) -> str:
    return "/".join((*(part for part in sheet if part), str(number)))


class _Entries:
    """The entries of one key in force, and where each came from."""

    def __init__(self) -> None:
        self.resolved = Resolved()
        self._held: dict[str, Row] = {}
        self._sheet_of: dict[str, Sheet] = {}
        self._said_by: dict[tuple[str, str], Row] = {}
        self._numbers: Counter[Sheet] = Counter()
        self._entries_of: dict[str, list[str]] = {}

    def add(self, group: Sequence[Row]) -> Mapping[int, tuple[Row, str]]:
        """Take in rows batch by batch; return those that stop it: what each differs from."""
        for rows in rows_by_columns([row for row in group if "entry" in row.filled], ("entry",)):
            resolve_key(rows, self.resolved)
        for batch in rows_by_batch(group):
            for rows in self._versions(batch):
                self._add_version(rows)
            unequal = dict(self._unequal(batch))
            if unequal:
                return unequal
        return {}

    def _versions(self, batch: Sequence[Row]) -> Iterator[list[Row]]:
        """Stand the rows of a batch that have a typed entry; yield the others sheet by sheet."""
        versions: dict[tuple[int, str], list[Row]] = {}
        for row in batch:
            if "entry" not in row.filled:
                versions.setdefault((row.receipt_no, row.sheet), []).append(row)
            elif row.row_id in self.resolved.kept:
                self._stand(row, row.filled["entry"])
        yield from versions.values()

    def _add_version(self, rows: Sequence[Row]) -> None:
        sheet = _sheet(rows[0])
        left = [entry for entry, of_sheet in self._sheet_of.items() if of_sheet == sheet]
        new = [row for row in rows if not self._is_held(row, left, exactly=True)]
        new = [row for row in new if not self.resolved.hold_as_twin(row)]
        new = [row for row in new if not self._is_held(row, left, exactly=False)]
        for row, entry in zip(new, left, strict=False):
            self._keep(row, entry)
        for row in new[len(left) :]:
            self._add_entry(row, sheet)

    def _is_held(self, row: Row, left: list[str], *, exactly: bool) -> bool:
        """Hold a row that an entry of an earlier version of its sheet tells; it is left no more."""
        for entry in left:
            held = self._held[entry]
            if row.filled == held.filled or (not exactly and _tells_no_more(row, held)):
                left.remove(entry)
                self.resolved.hold(row, held)
                return True
        return False

    def _add_entry(self, row: Row, sheet: Sheet) -> None:
        if (twin := self._find_twin(row)) is not None:
            reason = f"looks like {twin.place}: every filled column is the same"
            remedy = "type an entry (a word or number of its own) if it is a second one"
            self.resolved.reject(row, None, reason, remedy)
            return
        self._numbers[sheet] += 1
        while (entry := _entry(sheet, self._numbers[sheet])) in self._held:
            self._numbers[sheet] += 1
        self._sheet_of[entry] = sheet
        self._keep(row, entry)

    def _find_twin(self, row: Row) -> Row | None:
        """Return the entry of another document that tells all that `row` does."""
        for document, entries in self._entries_of.items():
            for entry in entries if document != row.document else ():
                if _tells_no_more(row, self._held[entry]):
                    return self._held[entry]
        return None

    def _keep(self, row: Row, entry: str) -> None:
        self.resolved.keep(row, entry)
        self._stand(row, entry)

    def _stand(self, row: Row, entry: str) -> None:
        before = self._held[entry].filled if entry in self._held else {}
        if entry not in self._held:
            self._entries_of.setdefault(row.document, []).append(entry)
        self._held[entry] = row._replace(filled={**before, **row.filled})
        for name in _EQUAL_OVER_ENTRIES:
            if name in row.filled:
                self._said_by[entry, name] = row

    def _unequal(self, batch: Sequence[Row]) -> Iterator[tuple[int, tuple[Row, str]]]:
        """Yield rows of `batch` whose quoted, estimated or fitted figure differs from others'."""
        here = {row.row_id for row in batch}
        for name in _EQUAL_OVER_ENTRIES:
            rows = [row for (_, said), row in self._said_by.items() if said == name]
            rows = [row for row in rows if row.filled[name] is not None]
            older = [row for row in rows if row.row_id not in here]
            for row in rows:
                others = older or rows
                other = next((one for one in others if one.filled[name] != row.filled[name]), None)
                if row.row_id in here and other is not None:
                    yield row.row_id, (other, name)


def _tells_no_more(row: Row, held: Row) -> bool:
    """Return whether every column that `row` fills is the same in `held`."""
    return row.filled.items() <= held.filled.items()
