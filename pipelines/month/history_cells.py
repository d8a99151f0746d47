"""Single values of the history: which row is in force, column by column, and what it replaced."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Any

import polars as pl

from pipelines.month.traced import Mended, Older, Source
from pipelines.warehouse.connection import Connection
from pipelines.warehouse.tables import EMPTIED, fetch
from schemas.records import RECORDS

_ORIGIN = ("receipt_no", "sheet", "row_no", "part_no")
_TOLD_ELSEWHERE = {"job_ref", "material"}
"""Key columns that the job or the material in hand says already."""
_EMPTIED_VALUE = "none"
Row = Mapping[str, Any]


class HistoryCells:
    """The history of a published warehouse, read record by record as it is asked for."""

    def __init__(self, published: Connection) -> None:
        """Read the names of the received files and what was mended in them."""
        self._published = published
        self._history: dict[str, pl.DataFrame] = {}
        files = fetch(published, "receipt.file", ["receipt_no", "file_name", "batch_at"])
        self._file_names: dict[int, str] = dict(files.select("receipt_no", "file_name").iter_rows())
        self._came_at: dict[int, datetime] = dict(
            files.select("receipt_no", "batch_at").iter_rows()
        )
        self._mended: dict[tuple[Any, ...], list[Mended]] = defaultdict(list)
        for repair in fetch(published, "receipt.repair").iter_rows(named=True):
            place = (repair["record"], repair["column_name"], *_place(repair))
            self._mended[place].append(
                Mended(repair["value_before"], repair["value_after"], repair["rule"])
            )

        self._gone: dict[tuple[Any, ...], Row] = {
            (gone["record"], *_place(gone)): gone
            for gone in fetch(published, "receipt.withdrawn_row").iter_rows(named=True)
        }

    def sources(self, record: str, where: pl.Expr, columns: Sequence[str]) -> tuple[Source, ...]:
        """
        Return the values in force in `columns` of the rows of `record` that meet `where`.

        In force is, column by column, the newest row of a key that fills or empties it; the rows
        before it follow, newest first, as what it replaced, and rows taken back after these. A
        column that no row fills has none; where all were taken back it is "none", from the
        withdrawal's own row.
        """
        versions = self._versions(record, where)
        return tuple(
            source
            for rows in versions
            for column in columns
            for source in self._in_force(record, rows, column)
        )

    def _versions(self, record: str, where: pl.Expr) -> list[list[Row]]:
        """Return rows by key, each key's newest first."""
        keys: dict[tuple[Any, ...], list[Row]] = defaultdict(list)
        rows = self._rows(record).filter(where).sort(_ORIGIN, descending=True)
        for row in rows.iter_rows(named=True):
            keys[_key_of(record, row)].append(row)
        return [keys[key] for key in sorted(keys, key=lambda key: [str(part) for part in key])]

    def _rows(self, record: str) -> pl.DataFrame:
        if record not in self._history:
            rows = fetch(self._published, f"history.{record}")
            if record == "purchases":
                rows = self._without_replaced_documents(rows)
            self._history[record] = rows
        return self._history[record]

    def _without_replaced_documents(self, rows: pl.DataFrame) -> pl.DataFrame:
        """Leave out lines without a number that stand in the ledger no more."""
        stands = fetch(self._published, "ledger.purchases", _ORIGIN)
        numbered = rows.filter(pl.col("line_no").is_not_null())
        unnumbered = rows.filter(pl.col("line_no").is_null())
        return pl.concat([numbered, unnumbered.join(stands, on=_ORIGIN, how="semi")])

    def _in_force(self, record: str, rows: Sequence[Row], column: str) -> Iterator[Source]:
        speaking = [
            row for row in rows if row[column] is not None or column in (row[EMPTIED] or ())
        ]
        standing = [row for row in speaking if (record, *_place(row)) not in self._gone]
        gone = [row for row in speaking if (record, *_place(row)) in self._gone]
        if not standing:
            if gone:
                yield self._taken_back(record, gone, column)
            return
        newest = standing[0]
        yield Source(
            record=record,
            key=_told_key(record, newest),
            column=column,
            value=_as_text(newest[column]),
            file=self._file_names[newest["receipt_no"]],
            sheet=newest["sheet"],
            row=newest["row_no"],
            mended=tuple(self._mended[record, column, *_place(newest)]),
            replaced=(*self._replaced(standing, column), *self._taken(gone, record, column)),
        )

    def _taken_back(self, record: str, rows: Sequence[Row], column: str) -> Source:
        gone = self._gone[record, *_place(rows[0])]
        return Source(
            record=record,
            key=_told_key(record, rows[0]),
            column=column,
            value=_EMPTIED_VALUE,
            file=self._file_names[gone["withdrawn_receipt_no"]],
            sheet=gone["withdrawn_sheet"],
            row=gone["withdrawn_row_no"],
            replaced=tuple(self._taken(rows, record, column)),
        )

    def _replaced(self, rows: Sequence[Row], column: str) -> Iterator[Older]:
        """Yield the values that newer rows replaced; `rows` newest first."""
        for newer, row in pairwise(rows):
            place = (newer["receipt_no"], newer["sheet"], newer["row_no"])
            yield self._older(row, column, place, None)

    def _taken(self, rows: Sequence[Row], record: str, column: str) -> Iterator[Older]:
        """Yield the values of rows that were taken back."""
        for row in rows:
            gone = self._gone[record, *_place(row)]
            place = tuple(gone[f"withdrawn_{name}"] for name in ("receipt_no", "sheet", "row_no"))
            yield self._older(row, column, place, _say_taken_back(gone))

    def _older(self, row: Row, column: str, by: tuple[Any, ...], taken_back: str | None) -> Older:
        receipt_no, sheet, row_no = by
        where = f", sheet {sheet}" if sheet else ""
        return Older(
            value=_as_text(row[column]),
            file=self._file_names[row["receipt_no"]],
            sheet=row["sheet"],
            row=row["row_no"],
            replaced_on=self._came_at[receipt_no].date(),
            replaced_by=f"{self._file_names[receipt_no]}{where}, row {row_no}",
            taken_back=taken_back,
        )


def _place(row: Row) -> tuple[Any, ...]:
    return tuple(row[name] for name in _ORIGIN)


def _say_taken_back(gone: Row) -> str:
    by = f" by {gone['by']}" if gone["by"] else ""
    why = f": {gone['why']}" if gone["why"] else ""
    return f"taken back on {gone['withdrawn_on']}{by}{why}"


def _key_of(record: str, row: Row) -> tuple[Any, ...]:
    key = tuple(row[name] for name in RECORDS[record].key)
    if record == "purchases" and row["line_no"] is None:
        return (*key, *(row[name] for name in _ORIGIN))
    return key


def _told_key(record: str, row: Row) -> dict[str, str]:
    told = _TOLD_ELSEWHERE if record != "materials" else set()
    names = [name for name in RECORDS[record].key if name not in told]
    return {name: str(row[name]) for name in names if row[name] is not None}


def _as_text(value: object) -> str:
    return _EMPTIED_VALUE if value is None else str(value)
