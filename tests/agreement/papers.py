"""
The invented firm's papers, read by plain Python: csv, openpyxl and Decimal.

Nothing of the program is used, so that a figure worked out from here is a second opinion. What
the planted faults spoil is left out by name, as a person would who reads the papers.
"""

import csv
import io
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl

from tests.agreement.own_papers import read_own_paper

FIRM = Path(__file__).parents[2] / "sample_data" / "firm"
Row = dict[str, Any]

LONGER_THAN_A_LENGTH_MM = 3400
TWICE_INVOICED = "5959"
NO_DAY = "31/02/2026"


def exact(cell: object) -> Decimal | None:
    """Return a cell's number, currency sign, thousands and unit aside; None where blank."""
    text = str(cell if cell is not None else "").replace("£", "").replace(",", "").split(" ")[0]
    return Decimal(text) if text else None


def round_to(value: Decimal | Fraction, places: int) -> Decimal:
    """Round half away from zero, exactly."""
    scaled = abs(Fraction(value)) * 10**places
    whole = int(scaled + Fraction(1, 2))
    return Decimal(whole if value >= 0 else -whole).scaleb(-places)


def day(cell: object, order: str = "ymd") -> date | None:
    """Return the day of a cell, None where blank."""
    if isinstance(cell, datetime):
        return cell.date()
    if not cell:
        return None
    parts = [int(part) for part in str(cell).replace("/", "-").split("-")]
    by_letter = dict(zip(order, parts, strict=True))
    return date(by_letter["y"], by_letter["m"], by_letter["d"])


def _table(lines: list[list[Any]]) -> Iterator[Row]:
    """Turn lines into rows by the first line with three cells or more filled in its start."""
    head_at = next(at for at, line in enumerate(lines) if len(line) > 2 and all(line[:3]))
    head = [str(cell).strip() for cell in lines[head_at] if cell is not None]
    for line in lines[head_at + 1 :]:
        cells = [cell if cell != "" else None for cell in line]
        if any(cell is not None for cell in cells):
            yield dict(zip(head, cells, strict=False))


def read_csv(path: Path) -> list[Row]:
    """Return the rows of a CSV, its head found below any title."""
    raw = path.read_bytes()
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252")
    mark = ";" if text.count(";") > text.count(",") else ","
    return list(_table(list(csv.reader(io.StringIO(text), delimiter=mark))))


def read_workbook(path: Path) -> dict[str, list[Row]]:
    """Return the rows of each sheet."""
    book = openpyxl.load_workbook(path, data_only=True)
    return {
        sheet.title: list(_table([list(line) for line in sheet.iter_rows(values_only=True)]))
        for sheet in book
    }


def _all_sheets(pattern: str, sheet: str) -> Iterator[Row]:
    for path in sorted((FIRM / "inbox").glob(pattern)):
        yield from read_workbook(path).get(sheet, [])


@dataclass(frozen=True)
class Papers:
    """What came in. Quantities in base units, money in pounds, lengths in mm."""

    settings: Row
    materials: dict[str, Row]
    jobs: dict[str, Row]
    edges: dict[str, list[Row]]
    quoted: dict[tuple[str, str], Row]
    cards: list[Row]
    offcuts: list[Row]
    extras: list[Row]
    prices: list[Row]
    purchases: list[Row]
    counts: list[Row]


def read_papers() -> Papers:
    """Read every paper of the invented firm."""
    settings = tomllib.loads((FIRM / "settings" / "settings.toml").read_text("utf-8"))
    materials = {row["material"]: row for row in _all_sheets("materials.xlsx", "materials")}
    jobs, edges, quoted = _read_quotes(materials)
    cards, offcuts = _read_job_sheets(jobs, materials)
    return Papers(
        settings=settings,
        materials=materials,
        jobs=jobs,
        edges=edges,
        quoted=quoted,
        cards=cards,
        offcuts=offcuts,
        extras=_read_extras(),
        prices=list(_all_sheets("prices*.xlsx", "prices")),
        purchases=_read_purchases(materials),
        counts=list(_read_counts(materials)),
    )


def to_base(quantity: object, unit: str, material: Row) -> Decimal | None:
    """Bring a quantity to the material's base unit, rounded once to thousandths."""
    number = exact(quantity)
    if number is None:
        return None
    if unit in {"lengths", "sheets", "cartridges", "packs", "rolls"}:
        number *= Decimal(str(material["pack_size"]))
    elif unit == "kg" and material["kind"] == "mat":
        number = number * 1000 / Decimal(material["g_per_m2"])
    elif unit == "kg" and material["kind"] == "fixing":
        number *= Decimal(material["pieces_per_kg"])
    return round_to(number, 3)


def _read_quotes(materials: dict[str, Row]) -> tuple[Any, Any, Any]:
    jobs = {row["job_ref"]: row for row in _all_sheets("quotes*.xlsx", "jobs")}
    fitted = {
        (row["job_ref"], row["edge_no"]): int(row["fitted_mm"])
        for path in (FIRM / "inbox").glob("edges fitted*.csv")
        for row in read_csv(path)
        if row.get("fitted_mm")
    }
    edges: dict[str, list[Row]] = {}
    for row in _all_sheets("quotes*.xlsx", "edges"):
        mm = fitted.get((row["job_ref"], str(row["edge_no"])))
        edges.setdefault(row["job_ref"], []).append(row | {"fitted_mm": mm})
    quoted = {
        (row["job_ref"], row["material"]): {
            name: to_base(row[name], row["unit"], materials[row["material"]])
            for name in ("quoted_net_quantity", "estimated_quantity")
        }
        for row in _all_sheets("quotes*.xlsx", "job_materials")
    }
    return jobs, edges, quoted


def _read_job_sheets(jobs: dict[str, Row], materials: dict[str, Row]) -> tuple[Any, Any]:
    layout = tomllib.loads((FIRM / "settings/mappings/job sheets.toml").read_text("utf-8"))
    cards: list[Row] = []
    offcuts: list[Row] = []
    for row in _all_sheets("jobs 20*.xlsx", "finished"):
        for part in layout["records"]:
            named = {ours: row.get(theirs) for theirs, ours in part["cells"].items()}
            named = {ours: cell for ours, cell in named.items() if cell is not None}
            fixed = part.get("constants", {}) | {"job_ref": row["Job"]}
            if not named:
                continue
            if part["record"] == "jobs":
                jobs[row["Job"]] |= {k: v for k, v in named.items() if k != "job_type"}
            elif part["record"] == "job_materials":
                item = materials[fixed["material"]]
                held = {k: to_base(v, fixed["unit"], item) for k, v in named.items()}
                how = row["How"] if fixed.get("how") is None else fixed["how"]
                cards.append(fixed | held | {"how": how})
            elif part["record"] == "offcuts":
                offcuts += _pieces(fixed, str(named["length_mm"]))
    return cards, offcuts


def _pieces(fixed: Row, cell: str) -> Iterator[Row]:
    for length in cell.split(","):
        if int(length) != LONGER_THAN_A_LENGTH_MM:
            yield fixed | {"length_mm": int(length)}


def _read_extras() -> list[Row]:
    return [
        row | {"job_ref": row["job_ref"].replace(" ", "-")}
        for row in read_csv(FIRM / "inbox/extras.csv")
        if row["agreed_on"] != NO_DAY
    ]


def _read_purchases(materials: dict[str, Row]) -> list[Row]:
    lines: list[Row] = []
    for layout_path in sorted((FIRM / "settings/mappings").glob("*.toml")):
        layout = tomllib.loads(layout_path.read_text("utf-8"))
        if layout["kind"] == "wide":
            continue
        for path in sorted((FIRM / "inbox").glob(layout["files"][0])):
            is_export = layout["kind"] == "table"
            named = _export_lines(path, layout) if is_export else read_own_paper(path)
            order = layout["date_order"] if is_export else "ymd"
            lines += _invoice_lines(named, layout, order, materials)
    seen: set[tuple[Any, ...]] = set()
    kept = []
    for line in lines:
        mark = (line["document_no"], line["line_no"], line["material"], line["packs"])
        if line["document_no"] == TWICE_INVOICED and mark in seen:
            continue
        seen.add(mark)
        kept.append(line)
    return kept


def _export_lines(path: Path, layout: Row) -> Iterator[Row]:
    for row in read_csv(path):
        yield {ours: row.get(theirs) for theirs, ours in layout["columns"].items()}


def _invoice_lines(
    lines: Iterable[Row], layout: Row, order: str, materials: dict[str, Row]
) -> Iterator[Row]:
    for named in lines:
        said = layout["descriptions"].get(named["description"])
        if said is None:
            continue
        item = materials.get(said.get("material", ""))
        net, packs = exact(named["line_net_gbp"]), exact(named.get("packs"))
        size = to_base(said["pack_size"], said["unit"], item) if item and packs else None
        yield {
            "supplier": _supplier(layout),
            "document_no": named["document_no"],
            "line_no": named.get("line_no"),
            "material": said.get("material"),
            "packs": packs,
            "quantity": packs * size if packs and size else None,
            "line_net_gbp": net,
            "on": day(named.get("delivered_on"), order) or day(named["document_on"], order),
            "document_on": day(named["document_on"], order),
            "credits_document_no": named.get("credits_document_no"),
        }


def _supplier(layout: Row) -> str:
    """Return the name of the mapping's supplier; an electronic invoice says it, a mapping not."""
    if "constants" in layout:
        return str(layout["constants"]["supplier"])
    stem = layout["name"].split(" ")[0]
    names = {str(row["supplier"]) for row in _all_sheets("prices*.xlsx", "prices")}
    return next(name for name in names if name.lower().startswith(stem))


def _read_counts(materials: dict[str, Row]) -> Iterator[Row]:
    for row in _all_sheets("count*.xlsx", "stock_counts"):
        item = materials[row["material"]]
        size = Decimal(str(item["pack_size"]))
        opened = Decimal(0)
        if row.get("quantity") is not None:
            if str(row["quantity"]).startswith("#"):
                continue
            words = str(row["quantity"]).split(" ")
            unit = words[1] if len(words) > 1 else row["unit"]
            quantity = to_base(words[0], unit or item["unit"], item)
        elif row.get("length_mm") is not None:
            quantity = Decimal(row["length_mm"]) * row["pieces"] / 1000
        else:
            tare = Decimal(str(item["tare_kg"] or 0))
            gross = exact(row["part_gross_kg"])
            opened = size * (exact(row["part"]) or 0)
            opened += gross - tare if gross is not None else 0
            quantity = size * (exact(row["full_packs"]) or 0) + opened
        stood = {"quantity": quantity, "sealed": quantity - opened}
        yield row | stood | {"counted_on": day(row["counted_on"])}
