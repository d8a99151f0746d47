"""Forms: values beside their labels, and small tables under headings of their own, on one sheet."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fnmatch import fnmatchcase
from pathlib import PurePath

import polars as pl

from pipelines.receiving.handed_over import (
    FaultSort,
    RawRow,
    RawSheet,
    ReadSheet,
    RecordKinds,
    Unreadable,
    fold,
)
from pipelines.receiving.headings import Heading, fold_row, read_heading
from pipelines.receiving.labels import Label, LabelledCell, fold_label, read_labels
from pipelines.receiving.mappings import Part, SourceMapping, Texts
from pipelines.receiving.record_rows import RecordRows
from pipelines.receiving.splitting import match_groups
from pipelines.receiving.tables import place_columns, take_cells


def read_form(
    sheet: RawSheet, file_name: str, mapping: SourceMapping, records: RecordKinds
) -> ReadSheet:
    """
    Return a form's records, a frame for each kind; `units_counted` is left 0 for the counter.

    Raises Unreadable where a label or heading stands twice, or a required label nowhere.
    """
    form = _Form(sheet, mapping)
    form.check_required()
    shared = {**_from_names(sheet, file_name, mapping), **form.read_shared()}
    frames: dict[str, list[pl.DataFrame]] = {}
    for part in mapping.parts:
        record = records[part.record]
        own = {name: value for name, value in shared.items() if name in record.columns}
        whole = replace(part, constants={**part.constants, **own})
        gathered = form.gather(part)
        frame = gathered.frame(sheet.name, record, mapping, whole, typed=not sheet.delimiter)
        frames.setdefault(part.record, []).append(frame)
    rows = {record: pl.concat(found).sort("row_no", "part_no") for record, found in frames.items()}
    return ReadSheet(sheet.name, rows, (), units_counted=0)


def note_missing_labels(sheet: RawSheet, mapping: SourceMapping) -> tuple[str, ...]:
    """Return, in words, the labels of the mapping that the sheet does not hold."""
    form = _Form(sheet, mapping)
    where = f'sheet "{sheet.name}"' if sheet.name else "the file"
    return tuple(
        f'{where} has no label "{label.text}"' for label in form.labels if not form.find([label])
    )


@dataclass
class _Form:
    """A sheet with one form on it; numbers its records row by row."""

    sheet: RawSheet
    mapping: SourceMapping
    _numbers: Counter[int] = field(default_factory=Counter)

    @property
    def labels(self) -> list[Label]:
        return [
            *self.mapping.shared,
            *(label for part in self.mapping.parts for label in part.labels),
        ]

    def find(self, labels: Sequence[Label]) -> list[LabelledCell]:
        rows, others = self.sheet.rows, self.mapping.label_texts
        return read_labels(rows, labels, self.sheet.name, others)

    def check_required(self) -> None:
        there = {fold_label(cell) for row in self.sheet.rows for cell in row.cells}
        there |= {
            fold((cell or "").partition(":")[0]) for row in self.sheet.rows for cell in row.cells
        }
        missing = [name for name in self.mapping.required if fold_label(name) not in there]
        if missing:
            names = ", ".join(f'"{name}"' for name in missing)
            raise Unreadable(
                f"the required label {names} is missing from the form",
                "write the label so, or change the mapping",
                self.sheet.name,
                FaultSort.COLUMN_MISSING,
            )

    def read_shared(self) -> Texts:
        found = self.find(self.mapping.shared)
        return {cell.label.column: cell.value for cell in found if cell.value is not None}

    def gather(self, part: Part) -> RecordRows:
        """Return the rows of one record, each from the cells that the mapping names."""
        return self._gather_block(part) if part.header else self._gather_labelled(part)

    def _gather_labelled(self, part: Part) -> RecordRows:
        found = [cell for cell in self.find(part.labels) if cell.value is not None]
        gathered = RecordRows(tuple(dict.fromkeys(cell.label.column for cell in found)))
        if found:
            values = {cell.label.column: cell.value for cell in found}
            text = {cell.label.text: cell.value for cell in found}
            row_no = min(cell.row_no for cell in found)
            self._add(gathered, row_no, values.values(), text)
        return gathered

    def _gather_block(self, part: Part) -> RecordRows:
        heading = self._find_block(part)
        if heading is None:
            return RecordRows(())
        places = place_columns(heading, part, self.sheet.name)
        gathered = RecordRows(tuple(places))
        for row in _walk_block(self.sheet.rows, heading, part, places):
            self._add(
                gathered, row.row_no, take_cells(row, tuple(places.values())), heading.tell(row)
            )
        return gathered

    def _find_block(self, part: Part) -> Heading | None:
        wanted = {fold(name) for name in part.header}
        rows = self.sheet.rows
        found = [at for at, row in enumerate(rows) if wanted <= {*fold_row(row)}]
        if len(found) > 1:
            raise Unreadable(
                f"the heading {', '.join(part.header)} stands in rows {rows[found[0]].row_no} "
                f"and {rows[found[1]].row_no}",
                "name a heading that stands once, or part the forms into sheets",
                self.sheet.name,
            )
        return read_heading(self.sheet, found[0]) if found else None

    def _add(
        self,
        gathered: RecordRows,
        row_no: int,
        values: Iterable[str | None],
        text: Mapping[str, str | None] | str,
    ) -> None:
        self._numbers[row_no] += 1
        told = text if isinstance(text, str) else json.dumps(text, ensure_ascii=False)
        gathered.add(row_no, self._numbers[row_no], values, told, None)


def _walk_block(
    rows: Sequence[RawRow], heading: Heading, part: Part, places: Mapping[str, int]
) -> Iterator[RawRow]:
    """Yield the rows of a block: down to one that is blank in its columns or ends it."""
    columns = tuple(places.values())
    for row in rows[heading.at + 1 :]:
        cells = take_cells(row, columns)
        filled = [fold(cell) for cell in cells if cell is not None]
        if not filled or (part.ends_at and any(fnmatchcase(cell, part.ends_at) for cell in filled)):
            return
        yield row


def _from_names(sheet: RawSheet, file_name: str, mapping: SourceMapping) -> Texts:
    """Return our column -> what the names of file and tab say; Unreadable where nothing."""
    stem = PurePath(file_name).stem
    found: dict[str, str] = {}
    names = ((stem, mapping.file_name, "file's"), (sheet.name, mapping.tab_name, "tab's"))
    for name, pattern, whose in names:
        told = match_groups(name, pattern) if pattern else {}
        if told is None:
            raise Unreadable(
                f'the {whose} name "{name}" does not fit the pattern of the mapping',
                "name it as the others, or change the mapping",
                sheet.name,
            )
        found |= told
    return found
