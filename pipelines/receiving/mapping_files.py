"""The firm's mappings, read from settings/mappings/*.toml and checked."""

import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import RecordKinds, fold
from pipelines.receiving.mapping_values import MappingValues, Said, under
from pipelines.receiving.mappings import Part, SourceMapping, Texts, Totals

_SHARED_KEYS = {
    "name", "files", "sheets", "kind", "date_order", "document", "header", "required", "words",
    "descriptions", "totals",
}  # fmt: skip
_KEYS_OF_KIND = {"table": {"record", "columns", "constants"}, "wide": {"records"}}
_PART_KEYS = {"record", "list", "keys", "cells", "constants"}
_TOTALS_KEYS = {"where", "sums"}
_DATE_ORDERS = ("dmy", "mdy", "ymd")


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
class _Parser(MappingValues):
    """Reads one mapping; every fault names the file."""

    records: RecordKinds

    def parse(self, said: Said) -> SourceMapping:
        kind = self.one_of(said, "kind", ("table", "wide"))
        self.allow(said, _SHARED_KEYS | _KEYS_OF_KIND[kind], "")
        parts = self.table(said) if kind == "table" else self.wide(said)
        header = self.texts(said, "header")
        columns = {column for part in parts for column in self.records[part.record].columns}
        return SourceMapping(
            name=self.text(said, "name"),
            files=self.texts(said, "files"),
            kind="table" if kind == "table" else "wide",
            header=header,
            required=self.texts(said, "required", header),
            parts=parts,
            sheets=self.texts(said, "sheets", ("*",)),
            date_order=self.one_of(said, "date_order", _DATE_ORDERS)
            if "date_order" in said
            else None,
            document=self.text(said, "document") if "document" in said else None,
            words=self.words(said, columns),
            descriptions=self.descriptions(said, columns),
            totals=self.totals(said),
        )

    def table(self, said: Said) -> tuple[Part, ...]:
        record = self.one_of(said, "record", self.records)
        columns = self.columns(said, "columns", record)
        if not columns:
            raise self.fault("columns", "at least one heading", "nothing")
        return (Part(record, columns, constants=self.constants(said, "", record)),)

    def wide(self, said: Said) -> tuple[Part, ...]:
        parts = said.get("records")
        if not isinstance(parts, list) or not parts:
            raise self.fault("records", "one [[records]] or more", parts)
        return tuple(self.part(part, f"records {number}") for number, part in enumerate(parts, 1))

    def part(self, said: Said, at: str) -> Part:
        self.allow(said, _PART_KEYS, at)
        record = self.one_of(said, "record", self.records, at)
        cells = self.columns(said, "cells", record, at)
        if not cells:
            raise self.fault(under(at, "cells"), "at least one heading", "nothing")
        listed = fold(self.text(said, "list", at)) if "list" in said else None
        if listed is not None and listed not in cells:
            raise self.fault(under(at, "list"), f"one of its cells: {', '.join(cells)}", listed)
        keys = self.columns(said, "keys", record, at)
        return Part(record, cells, keys, self.constants(said, at, record), listed)

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

    def descriptions(self, said: Said, columns: Collection[str]) -> dict[str, Texts]:
        descriptions: dict[str, Texts] = {}
        for description in self.map_of_maps(said, "descriptions"):
            fills = self.map_of_texts(said["descriptions"], description, "descriptions")
            for column in fills:
                self.check_column(column, columns, f'descriptions."{description}"')
            descriptions[fold(description)] = fills
        return descriptions

    def totals(self, said: Said) -> Totals | None:
        if "totals" not in said:
            return None
        totals = self.map_of(said, "totals")
        self.allow(totals, _TOTALS_KEYS, "totals")
        where = self.map_of_texts(totals, "where", "totals")
        if not where:
            raise self.fault("totals.where", "a heading and the pattern of its cell", "nothing")
        sums = tuple(fold(heading) for heading in self.texts(totals, "sums", (), "totals"))
        return Totals({fold(h): fold(pattern) for h, pattern in where.items()}, sums)
