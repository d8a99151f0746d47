"""The firm's mappings, read from settings/mappings/*.toml and checked."""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import RecordKinds, fold
from pipelines.receiving.mapping_rules import AMOUNT_KEYS, MappingRules
from pipelines.receiving.mapping_values import Said, under
from pipelines.receiving.mappings import Kind, Part, SourceMapping, Texts
from pipelines.receiving.pdf_rules import AMOUNT_OF

_SHARED_KEYS = {
    "name", "files", "sheets", "kind", "date_order", "document", "required", "words",
    "descriptions", "descriptions_like", "kinds",
}  # fmt: skip
_ROW_KEYS = AMOUNT_KEYS | {"header", "totals", "skip"}
_TABLE_KEYS = {
    "record", "columns", "constants", "split", "title", "several_tables", "ends_at", "repeats",
}  # fmt: skip
_KEYS_OF_KIND: dict[Kind, Collection[str]] = {
    "table": _ROW_KEYS | _TABLE_KEYS,
    "wide": _ROW_KEYS | {"records"},
    "form": AMOUNT_KEYS | {"records", "labels", "file_name", "tab_name"},
    "invoice": {"constants"},
    "pdf": {
        "record",
        "header",
        "columns",
        "constants",
        "labels",
        "find",
        "lines",
        "proof",
        "charges",
        "decimal_mark",
        "credits",
        "credits_under",
        "skip",
    },
}
_PART_KEYS: dict[Kind, Collection[str]] = {
    "wide": ("record", "list", "keys", "cells", "constants"),
    "form": ("record", "labels", "header", "columns", "ends_at", "constants"),
}
_DATE_ORDERS = ("dmy", "mdy", "ymd")
_BLANK_ROW = "blank row"


def load_mappings(folder: Path, records: RecordKinds) -> tuple[SourceMapping, ...]:
    """
    Return the mappings of a folder, in the order of their file names.

    Raises MappingError naming file, key and what is allowed.
    """
    return tuple(
        parse_mapping(path.read_text("utf-8"), path.name, records)
        for path in sorted(folder.glob("*.toml"))
    )


def parse_mapping(text: str, file: str, records: RecordKinds) -> SourceMapping:
    """Return the mapping that a TOML text says; raises MappingError."""
    try:
        said = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise MappingError(f"{file}: not readable as TOML: {error}") from error
    return _Parser(file, records).parse(said)


@dataclass(frozen=True)
class _Parser(MappingRules):
    """Reads one mapping; every fault names the file."""

    def parse(self, said: Said) -> SourceMapping:
        kind: Kind = self.choice(said, "kind", tuple(_KEYS_OF_KIND), "", None)
        self.allow(said, {*_SHARED_KEYS, *_KEYS_OF_KIND[kind]}, "")
        parts = self.parts(said, kind)
        has_header = kind in {"table", "wide"} or (kind == "pdf" and "lines" not in said)
        header = self.texts(said, "header") if has_header else ()
        columns = {column for part in parts for column in self.records[part.record].columns}
        several = kind == "table" and self.flag(said, "several_tables", "", default=False)
        return SourceMapping(
            name=self.text(said, "name"),
            files=self.texts(said, "files"),
            kind=kind,
            header=header,
            required=self.texts(said, "required", header),
            parts=parts,
            sheets=self.texts(said, "sheets", ("*",)),
            date_order=self.one_of(said, "date_order", _DATE_ORDERS)
            if "date_order" in said
            else None,
            document=self.text(said, "document") if "document" in said else None,
            words=self.words(said, columns),
            described=self.described(said, columns),
            totals=self.totals(said),
            skips=self.skips(said),
            amounts=self.amounts(said),
            shared=self.labels(said, "labels" if kind in {"form", "pdf"} else "title", columns),
            several=several,
            ends_at_blank_row=self.ends_at_blank_row(said, header, kind),
            repeats=self.repeats(said, parts) if kind == "table" else (),
            file_name=self.name_pattern(said, "file_name", columns),
            tab_name=self.name_pattern(said, "tab_name", columns),
            pdf=self.pdf_rules(said, columns) if kind == "pdf" else None,
        )

    def parts(self, said: Said, kind: Kind) -> tuple[Part, ...]:
        if kind == "table":
            return self.table(said)
        if kind == "pdf":
            return self.pdf_part(said)
        if kind == "invoice":
            return (Part("purchases", {}, constants=self.constants(said, "", "purchases")),)
        parts = self.list_of_maps(said, "records")
        if not parts:
            raise self.fault("records", "one [[records]] or more", said.get("records"))
        read = self.wide_part if kind == "wide" else self.form_part
        for at, part in parts:
            self.allow(part, _PART_KEYS[kind], at)
        return tuple(
            read(part, at, self.one_of(part, "record", self.records, at)) for at, part in parts
        )

    def table(self, said: Said) -> tuple[Part, ...]:
        record = self.one_of(said, "record", self.records)
        columns = self.columns(said, "columns", record)
        if not columns:
            raise self.fault("columns", "at least one heading", "nothing")
        splits = self.splits(said, self.records[record].columns)
        constants = self.constants(said, "", record)
        return (Part(record, columns, constants=constants, splits=splits),)

    def pdf_part(self, said: Said) -> tuple[Part, ...]:
        """Return the record of a PDF: under a heading, or told by patterns of its lines."""
        record = self.one_of(said, "record", AMOUNT_OF)
        columns = self.columns(said, "columns", record)
        if bool(columns) == ("lines" in said):
            raise self.fault("columns", "headings, or lines in their place", ", ".join(said))
        self.refuse_of_other_record(said, record)
        return (Part(record, columns, constants=self.constants(said, "", record)),)

    def wide_part(self, said: Said, at: str, record: str) -> Part:
        cells = self.columns(said, "cells", record, at)
        if not cells:
            raise self.fault(under(at, "cells"), "at least one heading", "nothing")
        listed = fold(self.text(said, "list", at)) if "list" in said else None
        if listed is not None and listed not in cells:
            raise self.fault(under(at, "list"), f"one of its cells: {', '.join(cells)}", listed)
        keys = self.columns(said, "keys", record, at)
        return Part(record, cells, keys, self.constants(said, at, record), listed)

    def form_part(self, said: Said, at: str, record: str) -> Part:
        """Return a record of a form: in labelled cells, or in rows under a small heading."""
        labels = self.labels(said, "labels", self.records[record].columns, at)
        cells = self.columns(said, "columns", record, at)
        header = self.texts(said, "header", (), at)
        if bool(labels) == bool(cells) or bool(header) != bool(cells):
            raise self.fault(at, "labels, or header and columns", ", ".join(said))
        ends_at = fold(self.text(said, "ends_at", at)) if "ends_at" in said else None
        constants = self.constants(said, at, record)
        return Part(
            record, cells, constants=constants, labels=labels, header=header, ends_at=ends_at
        )

    def ends_at_blank_row(self, said: Said, header: tuple[str, ...], kind: Kind) -> bool:
        if kind != "table" or "ends_at" not in said:
            return False
        self.one_of(said, "ends_at", (_BLANK_ROW,))
        if len(header) == 1:
            raise self.fault("header", "two headings or more where a table ends", list(header))
        return True

    def repeats(self, said: Said, parts: tuple[Part, ...]) -> tuple[str, ...]:
        """Return the headings whose cell stands once for several rows, each of them mapped."""
        repeats = tuple(fold(heading) for heading in self.texts(said, "repeats", ()))
        split = [split.heading for part in parts for split in part.splits]
        known = {*split}.union(*(part.columns for part in parts))
        for heading in repeats:
            if heading not in known:
                raise self.fault(
                    "repeats", f"headings of columns: {', '.join(sorted(known))}", heading
                )
        return repeats

    def constants(self, said: Said, at: str, record: str) -> Texts:
        constants = self.map_of_texts(said, "constants", at)
        for column in constants:
            self.check_column(column, self.records[record].columns, under(at, "constants"))
        return constants

    def columns(self, said: Said, key: str, record: str, at: str = "") -> Texts:
        columns = self.map_of_texts(said, key, at)
        for column in columns.values():
            self.check_column(column, self.records[record].columns, under(at, key))
        return {fold(heading): column for heading, column in columns.items()}

    def words(self, said: Said, columns: Collection[str]) -> dict[str, Texts]:
        words: dict[str, Texts] = {}
        for column in self.map_of_maps(said, "words"):
            self.check_column(column, columns, "words")
            theirs = self.map_of_texts(said["words"], column, "words")
            words[column] = {fold(word): ours for word, ours in theirs.items()}
        return words
