"""What a mapping changed in the cells of a row, kept to go on record."""

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from pipelines.receiving.handed_over import Cells

Change = tuple[str, str | None, str | None, str]
"""Column, text before, text after, and why."""


class Mends:
    """Changes of cells by row."""

    def __init__(self, row_count: int) -> None:
        """Begin without a change in that many rows."""
        self._row_count = row_count
        self._by_row: dict[int, list[Change]] = defaultdict(list)

    def note(self, row: int, changes: Sequence[Change]) -> None:
        """Note what was changed in a row before it was gathered."""
        self._by_row[row].extend(changes)

    @contextmanager
    def noting(self, cells: Mapping[str, Cells], rule: str, *, when: bool) -> Iterator[None]:
        """Note what is changed in `cells` meanwhile, each change with its rule; only `when`."""
        if not when:
            yield
            return
        before = {name: list(column) for name, column in cells.items()}
        yield
        for name, column in cells.items():
            was = before.get(name)
            if was == column or (was is None and not any(column)):
                continue
            for row, cell in enumerate(column):
                old = was[row] if was is not None else None
                if old != cell:
                    self._by_row[row].append((name, old, cell, rule))

    def as_texts(self) -> list[str | None]:
        """Return each row's changes as JSON, null where there is none."""
        told: list[str | None] = [None] * self._row_count
        for row, changes in self._by_row.items():
            told[row] = json.dumps(changes, ensure_ascii=False)
        return told
