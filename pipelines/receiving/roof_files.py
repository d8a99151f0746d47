"""A roof to be estimated, from a TOML file or a workbook, as the rows that a quote is made of."""

import json
import re
import tomllib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import polars as pl

from pipelines.errors import RoofError
from pipelines.quantities import MM2_IN_M2, round_quantity
from pipelines.receiving.documents import name_document
from pipelines.receiving.handed_over import ReadFile, ReadSheet, RecordKinds
from pipelines.receiving.reading import read_file
from pipelines.receiving.record_rows import frame_schema
from pipelines.receiving.row_texts import tell_sheet

Said = Mapping[str, Any]

_TOP = (
    "reference", "job_type", "work", "lay_up", "length_mm", "width_mm", "edge", "needs",
    "materials",
)  # fmt: skip
_EDGE = ("no", "kind", "trim", "start_end", "finish_end")
_SIDES = {1: "length_mm", 2: "width_mm", 3: "length_mm", 4: "width_mm"}
"""Which side of the rectangle each edge runs along, clockwise from the gutter."""

NO_TRIM = "none"
_NEED = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([a-z]\w*)\s*", re.IGNORECASE)

_TAKEN = {
    "jobs": ("job_ref", "job_type", "work", "quoted_area_m2", "lay_up"),
    "edges": (
        "job_ref", "edge_no", "material", "quoted_mm", "kind", "start_end", "finish_end",
        "upstand_mm",
    ),
    "job_materials": ("job_ref", "material", "unit", "quoted_net_quantity", "entry"),
}  # fmt: skip
"""What an estimate takes of a roof: its drawing. Days, prices and what was allowed stay out."""


def read_roof(path: Path, records: RecordKinds) -> ReadFile:
    """
    Return the roof at `path` as rows of jobs, edges and job_materials as quoted.

    A file that ends in .toml is read as a rectangle; any other as a workbook or CSV in our own
    columns. Columns that are no part of a drawing are blanked.

    Raises:
        RoofError: a file, key or value that cannot be read, with what is allowed; not one job.

    """
    if not path.is_file():
        raise RoofError(f"{path}: there is no such file")
    if path.suffix.lower() == ".toml":
        return _read_toml(path, records)
    file = read_file(path, path.name, (), records)
    for fault in file.faults:
        raise RoofError(f"{path}: {fault.why}: {fault.mend}")
    for sheet in file.sheets:
        for record in sheet.rows.keys() - _TAKEN.keys():
            raise RoofError(
                f"{path}: rows of {record} are no part of a roof; allowed: {', '.join(_TAKEN)}"
            )
    return replace(file, sheets=tuple(_keep_drawing(tell_sheet(sheet)) for sheet in file.sheets))


def name_roof(file: ReadFile, job_ref: str) -> tuple[str, ReadFile]:
    """
    Return the roof's own reference, and the same roof under the reference `job_ref`.

    Raises RoofError where the file does not hold exactly one job.
    """
    frames = [(record, rows) for sheet in file.sheets for record, rows in sheet.rows.items()]
    jobs = [ref for record, rows in frames if record == "jobs" for ref in rows["job_ref"]]
    named = {ref for _, rows in frames for ref in rows["job_ref"]}
    if len(jobs) != 1 or len(named) != 1 or jobs[0] is None:
        raise RoofError(
            f"{file.name}: an estimate is of one roof: one row of jobs, its job_ref on every row"
        )
    sheets = tuple(
        replace(
            sheet,
            rows={
                record: rows.with_columns(pl.lit(job_ref).alias("job_ref"))
                for record, rows in sheet.rows.items()
            },
        )
        for sheet in file.sheets
    )
    return jobs[0], replace(file, sheets=sheets)


def _keep_drawing(sheet: ReadSheet) -> ReadSheet:
    rows = {}
    for record, frame in sheet.rows.items():
        blanked = [
            pl.lit(None, pl.String).alias(name)
            for name in frame.columns
            if frame.schema[name] == pl.String
            and name not in {*_TAKEN[record], "sheet", "row_text", "date_order", "fault"}
        ]
        rows[record] = frame.with_columns(blanked)
    return replace(sheet, rows=rows)


def _read_toml(path: Path, records: RecordKinds) -> ReadFile:
    try:
        said = tomllib.loads(path.read_text(encoding="utf-8-sig"), parse_float=Decimal)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise RoofError(f"{path}: cannot be read as TOML: {fault}") from None
    _allow(path, said, _TOP, "")
    reference = _needed(path, said, "reference")
    sizes = {name: _side(path, said, name) for name in ("length_mm", "width_mm")}
    area_m2 = round_quantity(Decimal(sizes["length_mm"] * sizes["width_mm"]) / MM2_IN_M2)
    job = {
        "job_type": _needed(path, said, "job_type"),
        "work": _needed(path, said, "work"),
        "lay_up": _text(path, said, "lay_up"),
        "quoted_area_m2": str(area_m2),
    }
    found: dict[str, list[Said]] = {
        "jobs": [job],
        "edges": _edges(path, said, sizes),
        "job_materials": _needs(path, said),
    }
    sheets = tuple(
        ReadSheet(record, {record: _frame(record, rows, reference, records)}, (), len(rows))
        for record, rows in found.items()
        if rows
    )
    version = name_document(path.name)
    return ReadFile(path.name, version.document, version.rank, "roof", sheets, ())


def _frame(record: str, rows: Iterable[Said], reference: str, records: RecordKinds) -> pl.DataFrame:
    placed = [
        {
            "sheet": record,
            "row_no": at,
            "part_no": 1,
            "row_text": json.dumps(row, ensure_ascii=False),
            "job_ref": reference,
            **row,
        }
        for at, row in enumerate(rows, 1)
    ]
    return pl.DataFrame(placed, schema=frame_schema(records[record]))


def _edges(path: Path, said: Said, sizes: Mapping[str, int]) -> list[Said]:
    edges = said.get("edge", [])
    if not isinstance(edges, list) or not all(isinstance(edge, dict) for edge in edges):
        raise _fault(path, "edge", "a list of tables: [[edge]]", edges)
    found = []
    for edge in edges:
        _allow(path, edge, _EDGE, "edge.")
        no = edge.get("no")
        if type(no) is not int or no not in _SIDES:
            raise _fault(path, "edge.no", "1, 2, 3 or 4, clockwise from the gutter", no)
        at = f"edge {no}: "
        row = {
            "edge_no": str(no),
            "kind": _text(path, edge, "kind", at),
            "material": _needed(path, edge, "trim", at),
            "quoted_mm": str(sizes[_SIDES[no]]),
            "start_end": _text(path, edge, "start_end", at),
            "finish_end": _text(path, edge, "finish_end", at),
        }
        found.append(row)
    _refuse_gaps(path, found)
    return [row for row in found if row["material"] != NO_TRIM]


def _refuse_gaps(path: Path, edges: Collection[Said]) -> None:
    named = {row["edge_no"] for row in edges}
    missing = [str(no) for no in _SIDES if str(no) not in named]
    if missing:
        raise RoofError(
            f"{path}: edge {', '.join(missing)} is missing; a rectangle has four, clockwise from "
            f'the gutter, and one without a trim says trim = "{NO_TRIM}"'
        )
    pairs = [(row["edge_no"], row["material"]) for row in edges]
    for no, trim in pairs:
        if pairs.count((no, trim)) > 1:
            raise RoofError(f"{path}: edge {no} names the trim {trim!r} twice; name it once")


def _needs(path: Path, said: Said) -> list[Said]:
    needs = said.get("needs", {})
    if not isinstance(needs, dict):
        raise _fault(path, "needs", "a table of material and quantity", needs)
    found: list[Said] = []
    for material, need in needs.items():
        parts = _NEED.fullmatch(need) if isinstance(need, str) else None
        if parts is None:
            raise _fault(path, f"needs.{material}", 'a quantity and its unit, as "10.5 kg"', need)
        found.append({"material": material, "quoted_net_quantity": parts[1], "unit": parts[2]})
    materials = said.get("materials", [])
    if not isinstance(materials, list) or not all(isinstance(name, str) for name in materials):
        raise _fault(path, "materials", "a list of the firm's own names", materials)
    return [*found, *({"material": name} for name in materials if name not in needs)]


def _allow(path: Path, said: Said, allowed: Collection[str], at: str) -> None:
    for key in said:
        if key not in allowed:
            raise RoofError(
                f"{path}: key '{at}{key}' is not known; known here are: {', '.join(allowed)}"
            )


def _text(path: Path, said: Said, key: str, at: str = "") -> str | None:
    return None if said.get(key) is None else _needed(path, said, key, at)


def _needed(path: Path, said: Said, key: str, at: str = "") -> str:
    value = said.get(key)
    if not isinstance(value, str) or not value.strip():
        raise _fault(path, f"{at}{key}", "a text in quotes", value)
    return value


def _side(path: Path, said: Said, key: str) -> int:
    value = said.get(key)
    if type(value) is not int or value <= 0:
        raise _fault(path, key, "a whole number of mm above 0", value)
    return value


def _fault(path: Path, key: str, wanted: str, value: object) -> RoofError:
    found = "is missing" if value is None else f"is {str(value)!r}"
    return RoofError(f"{path}: key '{key}' {found}; it must be {wanted}")
