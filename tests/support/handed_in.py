"""Files handed in, batch by batch, as the reader hands their rows to judging."""

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import zip_longest
from typing import Self

import polars as pl

from schemas.records import RECORDS

Cells = Mapping[str, str | None]

_ORIGIN = {
    "receipt_no": pl.Int64(),
    "batch_no": pl.Int64(),
    "document": pl.String(),
    "file_name": pl.String(),
    "sheet": pl.String(),
    "row_no": pl.Int64(),
    "part_no": pl.Int64(),
    "date_order": pl.String(),
    "fault": pl.String(),
    "row_text": pl.String(),
}

MATERIALS = """
    material     | kind    | unit | pack_size | stock_length_mm | g_per_m2 | pieces_per_kg | tare_kg
    resin        | resin   | kg   | 20        |                 |          |               | 1.2
    catalyst     | catalyst| kg   | 1         |                 |          |               |
    mat 450      | mat     | m2   | 75        |                 | 450      |               |
    drip trim    | trim    | m    |           | 3000            |          |               |
    gutter trim  | trim    | m    |           |                 |          |               |
    nails        | fixing  | each |           |                 |          | 350           |
    board        | board   | m2   |           |                 |          |               |
    adhesive     | adhesive| ml   | 310       |                 |          |               |
    acetone      | solvent | l    | 5         |                 |          |               |
    bandage      | bandage | m    |           |                 |          |               |
"""


def table(text: str) -> list[dict[str, str | None]]:
    """Return the rows of a table drawn with bars; the first line names the columns."""
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    header, *rows = lines
    return [
        {name: cell or None for name, cell in zip_longest(header, row, fillvalue="")}
        for row in rows
    ]


class HandedIn:
    """Files of one or more batches."""

    def __init__(self, *, materials: str | None = MATERIALS, jobs: Sequence[str] = ()) -> None:
        """Begin with a batch that brings the list of materials and some jobs."""
        self._rows: dict[str, list[dict[str, object]]] = defaultdict(list)
        self._receipt_no = 0
        self._batch_no = 1
        if materials is not None:
            self.add("materials", materials)
        if jobs:
            self.add("jobs", "job_ref|job_type\n" + "\n".join(f"{job}|garage" for job in jobs))
        self.next_batch()

    def next_batch(self) -> Self:
        """Begin another batch."""
        self._batch_no += 1
        return self

    def add(
        self,
        record: str,
        rows: str | Sequence[Cells],
        *,
        document: str | None = None,
        sheet: str = "",
        date_order: str | None = None,
    ) -> Self:
        """Hand in a file: a new version of `document`, by default one that was not there before."""
        self._receipt_no += 1
        name = document or f"file {self._receipt_no}"
        cells = table(rows) if isinstance(rows, str) else rows
        for row_no, row in enumerate(cells, start=2):
            origin = {
                "receipt_no": self._receipt_no,
                "batch_no": self._batch_no,
                "document": name,
                "file_name": f"{name}.csv",
                "sheet": sheet,
                "row_no": row_no,
                "part_no": 1,
                "date_order": date_order,
                "row_text": json.dumps(row),
            }
            self._rows[record].append({**row, **origin})
        return self

    def received(self) -> dict[str, pl.DataFrame]:
        """Return all rows of all files as text, by record."""
        return {
            record: pl.DataFrame(rows, schema=_schema(record))
            for record, rows in self._rows.items()
        }


def _schema(record: str) -> dict[str, pl.DataType]:
    return {**dict.fromkeys(RECORDS[record].columns, pl.String()), **_ORIGIN}
