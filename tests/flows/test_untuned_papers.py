"""Papers of other trades as their programs write them, brought in by mappings alone."""

import shutil
from decimal import Decimal
from pathlib import Path

import pytest
import xlsxwriter

from pipelines.month.run import run_month
from tests.support.small_firm import make_firm

PAPERS = Path(__file__).parent / "other_trades"

COUNTER = r"""
name = "heating counter"
files = ["heating*"]
kind = "table"
record = "purchases"
date_order = "mdy"
header = ["Ticket", "What", "Ext. Amt"]
repeats = ["Ticket", "Date"]
credits = "negative"
[columns]
"Ticket" = "document_no"
"Date" = "document_on"
"Ext. Amt" = "line_net_gbp"
"Tax %" = "vat_pct"
"PO" = "order_no"
[constants]
supplier = "Copperdale Heating Counter"
[split."What"]
patterns = [
    '(?P<packs>-?\d+) @ (?P<pack_price_gbp>[\d.]+) - (?P<description>.+)',
    '(?P<description>.+)',
]
[[skip]]
where = { "Flag" = "void" }
why = "void"
[[skip]]
where = { "Ticket" = "carried forward" }
why = "carried over to the next page"
[totals]
where = { "Date" = "*total" }
sums = ["Ext. Amt"]
[[kinds]]
like = "delivery*"
line_kind = "carriage"
"""
for _wording in ("copper pipe*", "elbow*", "cylinder*", "pipe clip*", "restocking*"):
    COUNTER += f'[[kinds]]\nlike = "{_wording}"\nline_kind = "other"\n'
HIRE = r"""
name = "scaffold hire"
files = ["hire*"]
kind = "table"
record = "purchases"
header = ["Doc", "Details", "Net"]
date_order = "dmy"
repeats = ["Doc"]
credits = "negative"
[columns]
"Net" = "line_net_gbp"
"Code" = "vat_pct"
"Details" = "description"
"Weeks" = "packs"
[words.vat_pct]
"t1" = "20"
[constants]
supplier = "Ledgerpole Hire"
[split."Doc"]
patterns = ['(?:INV|CRN) (?P<document_no>\d+) of (?P<document_on>.+)']
[[skip]]
where = { "Net" = "", "Details" = "?*" }
why = "a note"
[[skip]]
where = { "Net" = "", "Doc" = "?*" }
why = "begins a document"
begins = true
[totals]
where = { "Details" = "total*" }
sums = ["Net", "VAT", "Gross"]
[[kinds]]
like = "*hire*"
line_kind = "hire"
[[kinds]]
like = "*collection*"
line_kind = "carriage"
"""
ELECTRONIC = """
name = "other trades"
files = ["joinery*.xml", "wiring*.xml"]
kind = "invoice"
"""
for _wording in (
    "cable*",
    "goods in transit*",
    "catalogue",
    "oak*",
    "screws*",
    "insul*",
    "pallets*",
):
    ELECTRONIC += f'[[kinds]]\nlike = "{_wording}"\nline_kind = "other"\n'
UNEVEN = """
    SELECT file_name FROM receipt.file
    WHERE rows_read_count <> accepted_count + rejected_count + already_held_count + skipped_count
"""
LINES = """
    SELECT document_no, document_type, document_on::VARCHAR, description, packs::DOUBLE,
        pack_price_gbp::DOUBLE, line_net_gbp::VARCHAR
    FROM ledger.purchases ORDER BY row_no
"""
TICKETS = [
    ("T-9001", "invoice", "2026-03-04", "Copper pipe 22 mm x 3 m", 4, 12.5, "50.00"),
    ("T-9001", "invoice", "2026-03-04", "Elbow 22 mm", 12, 1.15, "13.80"),
    ("T-9001", "invoice", "2026-03-04", "Delivery same day", None, None, "9.95"),
    ("T-9003", "invoice", "2026-03-14", "Cylinder jacket", 2, 30.5, "61.00"),
    ("T-9003", "invoice", "2026-03-14", "Pipe clip (bag of 10)", 3, 0.99, "2.97"),
    ("C-310", "credit", "2026-04-02", "Cylinder jacket", -1, 30.5, "-30.50"),
    ("C-310", "credit", "2026-04-02", "Restocking fee", None, None, "4.58"),
]


@pytest.fixture
def firm(tmp_path):
    root = make_firm(tmp_path / "firm", {})
    (root / "settings" / "mappings" / "counter.toml").write_text(COUNTER, encoding="utf-8")
    (root / "settings" / "mappings" / "hire.toml").write_text(HIRE, encoding="utf-8")
    (root / "settings" / "mappings" / "electronic.toml").write_text(ELECTRONIC, encoding="utf-8")
    return root


def test_a_counters_tickets_with_numbers_written_once_and_void_lines(firm, ask):
    """Month first, no line numbers, quantity and price in one cell, a page break in a ticket."""
    shutil.copyfile(PAPERS / "heating lines.csv", firm / "inbox" / "heating lines.csv")

    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(firm, LINES) == TICKETS
    # the paper's own total: 73.75 + 63.97 - 25.92
    assert ask(firm, "SELECT sum(line_net_gbp) FROM ledger.purchases") == [(Decimal("111.80"),)]
    assert ask(firm, UNEVEN) == []
    filled = "SELECT row_no, column_name, value_after, rule FROM receipt.repair ORDER BY ALL"
    assert (14, "document_no", "T-9003", "written once for its rows, in row 11") in ask(
        firm, filled
    )


def test_the_same_tickets_in_a_workbook_with_merged_cells(firm, ask):
    with xlsxwriter.Workbook(firm / "inbox" / "heating.xlsx") as book:
        sheet = book.add_worksheet("tickets")
        day = book.add_format({"num_format": "m/d/yyyy"})
        sheet.write_row(2, 0, ("Ticket", "Date", "What", "Flag", "Ext. Amt", "Tax %", "PO"))
        sheet.merge_range(3, 0, 5, 0, "T-9001")
        sheet.merge_range(3, 1, 5, 1, 46085, day)  # the day number of 4 March 2026
        lines = ((50.0, "4 @ 12.50 - Copper pipe 22 mm x 3 m"), (13.8, "12 @ 1.15 - Elbow 22 mm"))
        for at, (amount, words) in enumerate((*lines, (9.95, "Delivery same day")), 3):
            sheet.write_row(at, 2, (words, None, amount, 20))
        sheet.write_row(6, 0, (None, "Total", None, None, 73.75))

    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(firm, LINES) == TICKETS[:3]


def test_a_hire_firms_documents_each_under_a_row_of_its_own(firm, ask):
    """Tabs, days with named months, notes between lines, codes of VAT, a bookkeeper's minus."""
    shutil.copyfile(PAPERS / "hire april.txt", firm / "inbox" / "hire april.txt")

    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(firm, LINES) == [
        ("501", "invoice", "2026-03-04", "Tower hire 04/03/26 - 17/03/26", 2, None, "1140.00"),
        ("501", "invoice", "2026-03-04", "Collection", 1, None, "45.00"),
        ("77", "credit", "2026-04-09", "Tower hire off early", -1, None, "-570.00"),
    ]
    assert ask(firm, "SELECT DISTINCT vat_pct::INT FROM ledger.purchases") == [(20,)]
    assert ask(firm, UNEVEN) == []


def test_a_first_row_that_leaves_a_cell_blank_takes_nothing_from_the_ticket_before(firm, ask):
    text = (
        "Ticket,Date,What,Flag,Ext. Amt,Tax %,PO\n"
        "T-1,3/14/2026,1 @ 5.00 - Elbow,,5.00,20,\n"
        "T-2,,1 @ 6.00 - Elbow,,6.00,20,\n"
    )
    (firm / "inbox" / "heating lines.csv").write_text(text, encoding="utf-8")

    run_month(firm)

    assert ask(firm, "SELECT document_no FROM ledger.purchases") == [("T-1",)]
    assert ask(firm, "SELECT row_no, column_name, reason FROM receipt.reject") == [
        (3, "document_on", "is blank, and it is needed")
    ]


def test_electronic_papers_of_other_trades(firm, ask):
    """Allowances on lines and below, three rates, prices by the hundred, a deposit, rounding."""
    for paper in PAPERS.glob("*.xml"):
        shutil.copyfile(paper, firm / "inbox" / paper.name)

    summary = run_month(firm)

    assert (summary.rejected_count, summary.not_read) == (0, ())
    assert ask(firm, UNEVEN) == []
    totals = """
        SELECT supplier, document_no, document_type, sum(line_net_gbp)::VARCHAR, count(*)
        FROM ledger.purchases GROUP BY ALL ORDER BY ALL
    """
    assert ask(firm, totals) == [
        ("Brightmere Electrical Ltd", "00088123", "invoice", "102.64", 4),
        ("Hollowdene Joinery Supplies", "HW/26-0417", "invoice", "709.11", 7),  # 709.45 - 0.34
        ("Hollowdene Joinery Supplies", "HW/26-C31", "credit", "-14.18", 2),
    ]
    lines = """
        SELECT description, line_kind, packs::DOUBLE, pack_price_gbp::DOUBLE,
            line_net_gbp::VARCHAR, vat_pct::DOUBLE, order_no
        FROM ledger.purchases WHERE document_type = 'invoice' ORDER BY supplier, row_no
    """
    assert ask(firm, lines) == [
        ("Cable 2.5 mm², grey, on a reel", "other", 150, None, "96.62", 20, None),
        ("Goods in transit insured", "other", 1, 5, "5.00", 0, None),
        ("Catalogue", "other", 2, 0, "0.00", 20, None),
        ("Charge of reason code ABL", "other", None, None, "1.02", 20, None),
        ("Oak board, planed, 27 mm & square edged", "other", 12.5, None, "644.40", 20,
         "yard-77"),
        ("Screws 4 x 40", "other", 1500, 0.0315, "47.25", 20, "yard-77"),
        ("Insulating board, energy saving", "other", 3, 17.333, "52.00", 5, "yard-77"),
        ("Pallets returned", "other", -2, 12, "-24.00", 0, "yard-77"),
        ("Allowance of reason code 102", "discount", None, None, "-34.58", 20, "yard-77"),
        ("Lorry with crane", "carriage", None, None, "24.38", 20, "yard-77"),
        ("Rounding of the amount due", "rounding", None, None, "-0.34", 0, "yard-77"),
    ]  # fmt: skip
    assert ask(
        firm,
        "SELECT DISTINCT credits_document_no FROM ledger.purchases WHERE document_type = 'credit'",
    ) == [("HW/26-0417",)]
    assert [warning for warning in summary.warnings if "C31" in warning] == []
