"""Twelve faults as such files really have them, planted into finished files."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from decimal import Decimal
from fnmatch import fnmatchcase
from pathlib import Path

from sample_data.books import CsvPage, SheetPage, open_page
from sample_data.sheets import write_table

Cells = dict[str, str]
Change = Callable[[Cells], Cells]


@dataclass(frozen=True)
class Fault:
    """
    One fault: where it goes, how it is made, what must become of its row.

    `where` holds patterns by column; the first row that fits all is changed. `column` is the
    one that carries the planted value; `words` stand in the reason that a person reads.
    """

    name: str
    file: str
    sheet: str
    where: tuple[tuple[str, str], ...]
    column: str
    change: Change
    outcome: str
    words: tuple[str, ...]
    make: Callable[[Path, "Fault"], "list[Planted]"]


@dataclass(frozen=True)
class Planted:
    """One row that carries a fault, by its true row number; several for a whole invoice."""

    name: str
    file: str
    sheet: str
    row_no: int
    column: str
    value: str
    outcome: str
    words: tuple[str, ...]


def plant(folder: Path, names: Collection[str] | None = None) -> list[Planted]:
    """
    Edit the files of a folder in place; return the rows that now carry a fault.

    All twelve are planted where no names are given. Raises ValueError where a fault finds no
    row that fits it.
    """
    chosen = [fault for fault in PLANTED if names is None or fault.name in names]
    return [planted for fault in chosen for planted in fault.make(folder, fault)]


def write_planted(folder: Path, planted: list[Planted]) -> None:
    """Write the list of planted rows beside the truth."""
    header = ("fault", "file", "sheet", "row_no", "column", "value", "outcome", "words")
    rows = [
        (each.name, each.file, each.sheet, each.row_no, each.column, each.value, each.outcome,
         " | ".join(each.words))
        for each in planted
    ]  # fmt: skip
    write_table(folder / "planted.csv", header, rows)


def _change_row(folder: Path, fault: Fault) -> list[Planted]:
    page = open_page(folder / fault.file, fault.sheet)
    header, row_no, cells = _find_row(page, fault)
    changed = fault.change(cells)
    for column, text in changed.items():
        page.set_cell(row_no, header.index(column), text)
    page.save()
    return [_name_planted(fault, row_no, changed[fault.column])]


def _find_row(page: CsvPage | SheetPage, fault: Fault) -> tuple[list[str], int, Cells]:
    header: list[str] = []
    for row_no, row in page.read_rows().items():
        if not header:
            header = row if fault.column in row else []
            continue
        cells = dict(zip(header, row + [""] * (len(header) - len(row)), strict=True))
        if all(fnmatchcase(cells[column], pattern) for column, pattern in fault.where):
            return header, row_no, cells
    raise ValueError(f"{fault.file}: no row for the fault '{fault.name}'")


def _name_planted(fault: Fault, row_no: int, value: str) -> Planted:
    return Planted(
        fault.name, fault.file, fault.sheet, row_no, fault.column, value, fault.outcome,
        fault.words,
    )  # fmt: skip


def _add_invoice(folder: Path, fault: Fault) -> list[Planted]:
    """Add an invoice of one line, dated as the row found, and put the total right."""
    page = CsvPage(folder / fault.file)
    header, row_no, cells = _find_row(page, fault)
    changed = cells | fault.change(cells)
    page.insert(row_no, [changed[column] for column in header])
    set_totals(page, header)
    page.save()
    return [_name_planted(fault, row_no, changed[fault.column])]


def _repeat_invoice(folder: Path, fault: Fault) -> list[Planted]:
    """Repeat the first invoice of a month's file at the top of the next month's."""
    page = CsvPage(folder / fault.file)
    header, _, cells = _find_row(page, fault)
    number = cells[fault.column]
    at = header.index(fault.column)
    rows = [row for row in page.rows if len(row) > at and row[at] == number]
    later = CsvPage(folder / fault.change(cells)["file"])
    later_header, top, _ = _find_row(later, fault)
    for n, row in enumerate(rows):
        later.insert(top + n, row)
    set_totals(later, later_header)
    later.save()
    return [
        Planted(
            fault.name, later.path.name, "", top + n, fault.column, number, fault.outcome,
            fault.words,
        )
        for n in range(len(rows))
    ]  # fmt: skip


def _add_subtotal(folder: Path, fault: Fault) -> list[Planted]:
    """Put a total of the lines so far above the row found; the foot then sums the rest."""
    page = CsvPage(folder / fault.file)
    header, row_no, cells = _find_row(page, fault)
    changed = dict.fromkeys(header, "") | fault.change(cells)
    page.insert(row_no, [changed[column] for column in header])
    set_totals(page, header)
    page.save()
    return [_name_planted(fault, row_no, changed[fault.column])]


def set_totals(page: CsvPage, header: list[str]) -> None:
    """Make every totals row the sum of the lines since the one before it."""
    words, net = _find_totals(header)
    total = Decimal(0)
    started = False
    for row_no, row in page.read_rows().items():
        if started and row[words].startswith("Total"):
            page.set_cell(row_no, net, f"{total:.2f}")
            total = Decimal(0)
        elif started:
            total += Decimal(row[net])
        started = started or row == header


def _find_totals(header: list[str]) -> tuple[int, int]:
    words = next(n for n, name in enumerate(header) if name in ("Item", "Product", "Description"))
    net = next(n for n, name in enumerate(header) if name in ("Goods total", "Amount", "Net £"))
    return words, net


def _use_resin(cells: Cells, kg_per_m2: str, column: str) -> Cells:
    """Set out or back so that the card shows so much resin on a square metre."""
    used = (Decimal(cells["Measured m2"]) * Decimal(kg_per_m2)).quantize(Decimal("0.1"))
    if column == "Resin out kg":
        return {column: str(Decimal(cells["Resin back kg"]) + used)}
    return {column: str(Decimal(cells["Resin out kg"]) - used)}


PLANTED = (
    Fault(
        "lengths written with the number", "count 2025-02.xlsx", "stock_counts",
        (("material", "drip trim"), ("length_mm", "3000"), ("pieces", "?*")), "quantity",
        lambda row: {"quantity": f"{row['pieces']} lengths", "length_mm": "", "pieces": ""},
        "repaired", ("unit",), _change_row,
    ),
    Fault(
        "thousand comma", "quotes 2025 q3.xlsx", "jobs",
        (("planned_on", "?*"), ("quoted_price_gbp", "????")), "quoted_price_gbp",
        lambda row: {"quoted_price_gbp": f"{Decimal(row['quoted_price_gbp']):,.2f}"},
        "repaired", ("comma",), _change_row,
    ),
    Fault(
        "currency sign", "saltbarrow history 2025-03.csv", "", (("Product", "Trim adhesive*"),),
        "Amount", lambda row: {"Amount": f"£{row['Amount']}"},
        "repaired", ("pound",), _change_row,
    ),
    Fault(
        "job reference with a blank", "extras.csv", "", (("job_ref", "2025-*"),),
        "job_ref", lambda row: {"job_ref": row["job_ref"].replace("-", " ")},
        "repaired", ("match",), _change_row,
    ),
    Fault(
        "date that is no day", "extras.csv", "", (("agreed_on", "2026-*"),),
        "agreed_on", lambda _: {"agreed_on": "31/02/2026"},
        "rejected", ("day",), _change_row,
    ),
    Fault(
        "formula error", "count 2025-08.xlsx", "stock_counts",
        (("material", "drip corner"), ("quantity", "?*")),
        "quantity", lambda _: {"quantity": "#REF!"},
        "rejected", ("number",), _change_row,
    ),
    Fault(
        "offcut longer than its length", "jobs 2025-11.xlsx", "finished",
        (("Raised edge to rack mm", "?*"),), "Raised edge to rack mm",
        lambda row: {"Raised edge to rack mm": f"{row['Raised edge to rack mm']}, 3400"},
        "rejected", ("longer",), _change_row,
    ),
    Fault(
        "description that nobody mapped", "thornwick invoices 2025-05.csv", "",
        (("Kind", "Invoice"),), "Item",
        lambda _: {
            "Invoice no": "70111", "Item": "Edge sundries as agreed", "Lengths or pieces": "1",
            "Each": "18.40", "Goods total": "18.40", "Order": "",
        },
        "rejected", ("description",), _add_invoice,
    ),
    Fault(
        "more resin than a roof can take", "jobs 2024-10.xlsx", "finished",
        (("Type", "garage"), ("Measured m2", "1?*"), ("Resin out kg", "?*")), "Resin out kg",
        lambda row: _use_resin(row, "6.5", "Resin out kg"),
        "held back", ("resin",), _change_row,
    ),
    Fault(
        "less resin than the laminate holds", "jobs 2025-07.xlsx", "finished",
        (("Type", "extension"), ("Measured m2", "1?*"), ("Resin out kg", "?*")), "Resin back kg",
        lambda row: _use_resin(row, "0.4", "Resin back kg"),
        "held back", ("resin",), _change_row,
    ),
    Fault(
        "invoice in two months' files", "saltbarrow history 2025-09.csv", "",
        (("Ref", "?*"),), "Ref", lambda _: {"file": "saltbarrow history 2025-10.csv"},
        "already held", ("saltbarrow history 2025-09",), _repeat_invoice,
    ),
    Fault(
        "total between the lines", "thornwick invoices 2025-12.csv", "",
        (("Item", "Delivery by our lorry"),), "Item", lambda _: {"Item": "Total to here"},
        "skipped", ("total",), _add_subtotal,
    ),
)  # fmt: skip
