"""Statements of account as PDFs: taken where they prove themselves, to name what is missing."""

from pathlib import Path

import pytest

from pipelines.errors import MappingError
from pipelines.month.run import run_month
from pipelines.receiving.mapping_files import parse_mapping
from schemas.records import RECORDS
from tests.support.pdf_papers import new_pdf, write_line
from tests.support.small_firm import make_firm

MAPPING = r"""
name = "peatmoor account"
files = ["peatmoor account*.pdf"]
kind = "pdf"
record = "statements"
header = ["Date", "Ref", "Kind", "Debit", "Credit"]
date_order = "dmy"
find = ['Statement of (?P<statement_on>\S+)']
credits_under = ["Credit"]
[columns]
"Date" = "document_on"
"Ref" = "document_no"
"Debit" = "gross_gbp"
"Credit" = "gross_gbp"
[constants]
supplier = "Peatmoor"
[[skip]]
where = { "Kind" = "payment*" }
why = "a payment"
[proof]
total = "Owed to us"
forward = "*balance brought forward"
"""
ACROSS_MM = ((15, "L"), (45, "L"), (75, "L"), (135, "R"), (165, "R"), (195, "R"))
LINES = (
    "Peatmoor Factors",
    "Statement of 31/03/2025",
    ("Date", "Ref", "Kind", "Debit", "Credit", "Balance"),
    "01/03/2025 Balance brought forward 40.00",
    ("12/03/2025", "PF-1071", "Invoice", "302.40", "0.00", "342.40"),
    ("18/03/2025", "BACS", "Payment, thank you", "", "40.00", "302.40"),
    ("20/03/2025", "PF-1080", "Invoice", "1,100.00", "", "1,402.40"),
    ("27/03/2025", "PF-C4", "Credit", "", "50.40", "1,352.00"),
    "Owed to us 1,352.00",
    "0 to 30 days 1,352.00",
)
HELD = """
supplier,document_no,document_on,description,material,packs,line_net_gbp,line_no,vat_pct
Peatmoor,PF-1071,2025-03-12,Resin tin,resin,6,252.00,1,20
"""


def _write(path: Path, lines=LINES) -> None:
    pdf = new_pdf()
    pdf.add_page()
    for at, line in enumerate(lines):
        write_line(pdf, 20 + 6 * at, line, ACROSS_MM)
    pdf.output(str(path))


@pytest.fixture
def firm(tmp_path):
    root = make_firm(tmp_path / "firm", {"purchases.csv": HELD})
    (root / "settings" / "mappings" / "account.toml").write_text(MAPPING, encoding="utf-8")
    return root


def test_it_books_nothing_and_names_missing_invoices_and_credits(firm, ask):
    _write(firm / "inbox" / "peatmoor account march.pdf")

    summary = run_month(firm)

    assert (summary.not_read, summary.rejected_count) == ((), 0)
    assert ask(firm, "SELECT sum(line_net_gbp)::VARCHAR FROM ledger.purchases") == [("252.00",)]
    standing = "SELECT document_no, document_type, gross_gbp::VARCHAR, standing"
    assert ask(firm, f"{standing} FROM comparison.statement_line ORDER BY ALL") == [
        ("PF-1071", "invoice", "302.40", "agrees"),  # 252.00 + 20 %
        ("PF-1080", "invoice", "1100.00", "missing"),
        ("PF-C4", "credit", "-50.40", "missing"),
    ]
    said = (firm / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Invoice PF-1080 of Peatmoor, 20 March 2025, stands on the statement" in said
    assert "Credit PF-C4 of Peatmoor, 27 March 2025, stands on the statement" in said
    counted = """
        SELECT rows_read_count, accepted_count, skipped_count FROM receipt.file
        WHERE source = 'peatmoor account'
    """
    assert ask(firm, counted) == [(10, 3, 7)]
    reasons = ask(firm, "SELECT reason FROM receipt.row_outcome WHERE outcome = 'skipped'")
    assert {("brought forward",), ("a payment",), ("totals",)} <= set(reasons)


def test_a_line_that_is_missing_makes_it_prove_nothing(firm, ask):
    """Without what was brought forward, 302.40 - 40.00 + 1,100.00 - 50.40 = 1,312.00."""
    lines = [line for line in LINES if "brought forward" not in line]
    _write(firm / "inbox" / "peatmoor account march.pdf", lines)

    (note,) = run_month(firm).not_read

    assert "the lines come to 1,312.00, and the PDF says 1,352.00" in note.message
    assert ask(firm, "SELECT count(*) FROM ledger.statements") == [(0,)]


def test_a_line_with_money_on_both_sides_is_not_guessed(firm):
    both = ("12/03/2025", "PF-1071", "Invoice", "302.40", "2.40", "342.40")
    lines = [both if "PF-1071" in line else line for line in LINES]
    _write(firm / "inbox" / "peatmoor account march.pdf", lines)

    (note,) = run_month(firm).not_read

    assert 'has "302.40" and "2.40" for gross_gbp' in note.message


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('total = "Owed to us"', 'total = "Owed to us"\nvat = "VAT"', "proof.vat"),
        ('kind = "pdf"', 'kind = "pdf"\ncredits = "positive"', "credits"),
        ('record = "statements"', 'record = "purchases"', "credits_under"),
    ],
)
def test_a_mapping_says_only_what_its_record_has_use_for(old, new, key):
    said = MAPPING.replace(old, new).replace(
        "gross_gbp", "line_net_gbp" if "purch" in new else "gross_gbp"
    )

    with pytest.raises(MappingError, match=f'"{key}" must be left out where the record is'):
        parse_mapping(said, "account.toml", RECORDS)
