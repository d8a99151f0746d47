"""The entry: one received file, whatever it is, to what the reader hands over."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pipelines.receiving import canonical, counting
from pipelines.receiving.csv_files import decode_text, find_delimiter, read_csv_text
from pipelines.receiving.documents import name_document
from pipelines.receiving.file_kinds import FileKind, tell_kind
from pipelines.receiving.forms import note_missing_labels, read_form
from pipelines.receiving.handed_over import (
    FaultSort,
    FileFault,
    RawSheet,
    ReadFile,
    ReadSheet,
    RecordKinds,
    Unreadable,
    fold,
)
from pipelines.receiving.headings import Heading, find_heading
from pipelines.receiving.invoice_counting import count_invoice
from pipelines.receiving.invoices import SOURCE, read_invoice
from pipelines.receiving.limits import (
    SAVE_AGAIN,
    check_archive,
    check_size,
    check_worked_out,
    damage_told,
    measure_sheets,
    note_hidden,
    note_links,
)
from pipelines.receiving.mappings import SourceMapping, fit_mapping
from pipelines.receiving.pdf_invoices import read_pdf
from pipelines.receiving.plain_csv import read_plain_csv
from pipelines.receiving.tables import read_table
from pipelines.receiving.wide import read_wide
from pipelines.receiving.workbooks import read_workbook


def read_file(
    path: Path, name: str, mappings: Sequence[SourceMapping], records: RecordKinds
) -> ReadFile:
    """
    Return what a received file holds, as text with sheet and row.

    `name` is the file's own name, which a mapping is chosen by. Never raises for what the file
    holds: a file or sheet that can't be read is told in `faults`, the other sheets stand.
    """
    version = name_document(name)
    blank = ReadFile(name, version.document, version.rank, canonical.SOURCE, (), ())
    try:
        mapping = fit_mapping(name, mappings)
        if mapping is not None:
            document = (mapping.document or "{stem}").replace("{stem}", version.document)
            blank = replace(blank, source=mapping.name, document=document)
        return _read(path, blank, mapping, records)
    except Unreadable as unreadable:
        return replace(blank, faults=(unreadable.fault,))
    except OSError as error:
        fault = FileFault(f"the file can't be opened: {error.strerror}", "check the copy")
        return replace(blank, faults=(fault,))


def _read(
    path: Path, blank: ReadFile, mapping: SourceMapping | None, records: RecordKinds
) -> ReadFile:
    check_size(path)
    kind = tell_kind(path, blank.name)
    if kind is FileKind.TEXT:
        return _read_csv(path, blank, mapping, records)
    if kind is FileKind.WORKBOOK:
        return _read_workbook(path, blank, mapping, records)
    if kind is FileKind.INVOICE:
        return _read_invoice(path, blank, mapping, records)
    if kind is FileKind.PDF:
        read, notes = read_pdf(path, mapping, records)
        return replace(blank, sheets=(read,), notes=notes, is_proved=True)
    is_paper = kind is FileKind.PICTURE
    sort = FaultSort.TO_TYPE_IN if is_paper else FaultSort.ANOTHER_KIND
    raise Unreadable(kind.what, kind.mend, sort=sort)


def _read_csv(
    path: Path, blank: ReadFile, mapping: SourceMapping | None, records: RecordKinds
) -> ReadFile:
    content = path.read_bytes()
    if mapping is None and (plain := _read_plain(content, blank, records)) is not None:
        return plain
    text = decode_text(content)
    named = mapping.headings if mapping else _canonical_headings(records)
    delimiter = find_delimiter(text, named)
    sheet = read_csv_text(text, delimiter)
    if not sheet.rows:
        raise Unreadable("the file is empty", "hand in the file with its rows")
    mapping = mapping or _choose_mapping(sheet, blank.name, records)
    read, notes = _read_sheet(sheet, blank.name, mapping, records)
    counted = replace(read, units_counted=counting.count_csv(text, delimiter, mapping))
    return replace(blank, sheets=(counted,), notes=notes)


def _read_plain(content: bytes, blank: ReadFile, records: RecordKinds) -> ReadFile | None:
    found = read_plain_csv(content, blank.name, records)
    if found is None:
        return None
    read, delimiter = found
    units = counting.count_lines(content, delimiter)
    return None if units is None else replace(blank, sheets=(replace(read, units_counted=units),))


def _read_invoice(
    path: Path, blank: ReadFile, mapping: SourceMapping | None, records: RecordKinds
) -> ReadFile:
    read, notes = read_invoice(path, mapping, records)
    counted = replace(read, units_counted=count_invoice(path))
    source = SOURCE if mapping is None else mapping.name
    return replace(blank, source=source, sheets=(counted,), notes=notes, is_proved=True)


def _read_workbook(
    path: Path, blank: ReadFile, mapping: SourceMapping | None, records: RecordKinds
) -> ReadFile:
    check_archive(path)
    size = measure_sheets(path)
    sheets: list[ReadSheet] = []
    faults: list[FileFault] = []
    notes = list(note_links(size))
    used: dict[str, SourceMapping | None] = {}
    for sheet in read_workbook(path):
        if not sheet.rows:
            used[sheet.name] = None
            continue
        if _passes_over(sheet, mapping):
            notes.append(f'sheet "{sheet.name}" passed over')
            continue
        try:
            check_worked_out(size, sheet.name)
            chosen = mapping or _choose_mapping(sheet, blank.name, records)
            read, said = _read_sheet(sheet, blank.name, chosen, records)
        except Unreadable as unreadable:
            faults.append(unreadable.fault)
            continue
        used[sheet.name] = chosen
        sheets.append(read)
        notes.extend((*note_hidden(size, sheet.name), *said))
    if not sheets and not faults:
        raise Unreadable("no sheet to read holds a row", "hand in the workbook with its rows")
    counted = _count_units(path, sheets, used)
    return replace(blank, sheets=counted, faults=tuple(faults), notes=tuple(notes))


def _count_units(
    path: Path, sheets: Sequence[ReadSheet], used: dict[str, SourceMapping | None]
) -> tuple[ReadSheet, ...]:
    with damage_told():
        units = counting.count_workbook(path, used)
        counted = tuple(replace(sheet, units_counted=units[sheet.sheet]) for sheet in sheets)
    for name, mapping in used.items():
        if mapping is None and units.get(name):
            raise Unreadable(f'the rows of sheet "{name}" can not be read', SAVE_AGAIN, name)
    return counted


def _passes_over(sheet: RawSheet, mapping: SourceMapping | None) -> bool:
    if fold(sheet.name) in canonical.PASSED_OVER:
        return True
    return mapping is not None and not mapping.reads_sheet(sheet.name)


def _choose_mapping(sheet: RawSheet, name: str, records: RecordKinds) -> SourceMapping:
    return canonical.map_canonical(canonical.choose_record(sheet, name, records), records)


def _read_sheet(
    sheet: RawSheet, name: str, mapping: SourceMapping, records: RecordKinds
) -> tuple[ReadSheet, tuple[str, ...]]:
    if mapping.kind == "form":
        return read_form(sheet, name, mapping, records), note_missing_labels(sheet, mapping)
    if mapping.kind in {"invoice", "pdf"}:
        meant = "electronic invoices" if mapping.kind == "invoice" else "PDFs"
        raise Unreadable(
            f'the mapping "{mapping.name}" fits this file\'s name, and is for {meant}',
            "narrow its files patterns, or write a mapping for tables",
            sheet.name,
        )
    heading = find_heading(sheet, mapping.header)
    _check_required(heading, mapping, sheet)
    heading.places(mapping.taken, sheet.name)
    if mapping.name == canonical.SOURCE:
        canonical.refuse_second_table(sheet, heading, records)
    read = read_table if mapping.kind == "table" else read_wide
    return read(sheet, heading, mapping, records), _note_ignored(heading, mapping, sheet)


def _check_required(heading: Heading, mapping: SourceMapping, sheet: RawSheet) -> None:
    missing = [name for name in mapping.required if fold(name) not in heading.folded]
    if missing:
        names = ", ".join(f'"{name}"' for name in missing)
        found = ", ".join(f'"{name}"' for name in heading.shown)
        raise Unreadable(
            f"the required column {names} is missing; the heading has {found}",
            "name the column so, or change the mapping",
            sheet.name,
            FaultSort.COLUMN_MISSING,
        )


def _note_ignored(heading: Heading, mapping: SourceMapping, sheet: RawSheet) -> tuple[str, ...]:
    where = f' of sheet "{sheet.name}"' if sheet.name else ""
    return tuple(
        f'column "{shown}"{where} is not used'
        for folded, shown in zip(heading.folded, heading.shown, strict=True)
        if folded and folded not in mapping.taken | canonical.AIDS
    )


def _canonical_headings(records: RecordKinds) -> frozenset[str]:
    return frozenset(fold(column) for kind in records.values() for column in kind.columns)
