"""What the counts must find: a delivery note gone missing, a count misread, what went silently."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from sample_data.books import CsvPage, SheetPage
from sample_data.days import end_month
from sample_data.faults import set_totals
from sample_data.firm import BY_NAME, format_thousandths
from sample_data.sheets import write_table
from sample_data.work import LOST

LOST_NOTE = "delivery note gone missing"
MISCOUNT = "counted wrong"
LOST_GOODS = "lost without a word"


@dataclass(frozen=True)
class Difference:
    """
    What a count shows that the papers do not know, in packs; above 0 there is less.

    `counted_on` is the first count that shows it; `order_no` is blank but for a missing note.
    """

    what: str
    material: str
    packs: int
    counted_on: date
    order_no: str = ""


NOTE = Difference(LOST_NOTE, "raised edge trim", -12, date(2026, 3, 31), "yard-0294")
NOTE_FILE = "thornwick invoices 2026-03.csv"
OVERLOOKED = Difference(MISCOUNT, "deck board", 3, date(2026, 4, 30))
COUNT_FILE = "count 2026-04.xlsx"


def plant_differences(folder: Path) -> list[Difference]:
    """
    Take an invoice out and overlook three boards in finished files; return all there is to find.

    The invoice is that of a delivered order: its goods lie in the yard, and no paper of it came.
    The boards come back at the next count. Raises ValueError where the files do not hold them.
    """
    _lose_invoice(folder / NOTE_FILE, NOTE)
    _overlook(folder / COUNT_FILE, OVERLOOKED)
    next_count = end_month(OVERLOOKED.counted_on + timedelta(1))
    found_again = Difference(MISCOUNT, OVERLOOKED.material, -OVERLOOKED.packs, next_count)
    silent = [
        Difference(LOST_GOODS, material, packs, end_month(day))
        for day, material, packs, cause in LOST
        if not cause
    ]
    return [*silent, NOTE, OVERLOOKED, found_again]


def _lose_invoice(path: Path, note: Difference) -> None:
    page = CsvPage(path)
    header = next(row for row in page.rows if "Order" in row)
    number, order = header.index("Invoice no"), header.index("Order")
    lines = [row for row in page.rows if len(row) > order and row[order] == note.order_no]
    if [row[header.index("Lengths or pieces")] for row in lines] != [str(-note.packs)]:
        raise ValueError(f"{path.name}: {note.order_no} is not one line of {-note.packs} packs")
    page.rows = [row for row in page.rows if len(row) <= order or row[number] != lines[0][number]]
    set_totals(page, header)
    page.save()


def _overlook(path: Path, overlooked: Difference) -> None:
    page = SheetPage(path, "stock_counts")
    rows = page.read_rows()
    header = rows[1]
    material, packs = header.index("material"), header.index("full_packs")
    places = [row_no for row_no, row in rows.items() if row[material] == overlooked.material]
    if len(places) != 1:
        raise ValueError(f"{path.name}: {overlooked.material} does not stand in one row")
    left = Decimal(rows[places[0]][packs]) - overlooked.packs
    page.set_cell(places[0], packs, format(left, "f"))
    page.save()


def write_differences(folder: Path, differences: list[Difference]) -> None:
    """Write what the counts must find beside the truth."""
    header = ("what", "material", "base_unit", "quantity", "packs", "counted_on", "order_no")
    rows = [
        (
            each.what, each.material, BY_NAME[each.material].base_unit,
            format_thousandths(each.packs * BY_NAME[each.material].pack), each.packs,
            each.counted_on, each.order_no,
        )
        for each in sorted(differences, key=lambda each: (each.counted_on, each.material))
    ]  # fmt: skip
    write_table(folder / "differences.csv", header, rows)
