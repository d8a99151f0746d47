"""The invented firm's last invoices: electronic in both syntaxes, and printed."""

import shutil

import pytest

from pipelines.month.run import run_month

FILES = {
    "mossgate 205398.pdf": "mossgate printed",
    "saltbarrow 6167.xml": "saltbarrow electronic",
    "thornwick 72733.xml": "thornwick electronic",
    "thornwick 72741.xml": "thornwick electronic",
}
LINES = [
    ("205398", "primer", "10.000", "73.80", "260508", "yard-0316"),
    ("205398", "resin", "180.000", "564.75", "260506", "yard-0316"),
    ("205398", "topcoat light grey", "10.000", "45.50", "260430", "yard-0316"),
    ("6167", "Parcel charge", None, "7.50", None, "yard-0320"),
    ("6167", "sealant", "620.000", "9.90", None, "yard-0320"),
    ("72733", "Delivery by our lorry", None, "35.00", None, None),
    ("72733", "flat flashing", "3.000", "9.20", None, None),
    ("72741", "Delivery by our lorry", None, "35.00", None, "yard-0319"),
    ("72741", "flat flashing", "12.000", "36.80", None, "yard-0319"),
]
"""As the suppliers' lists of lines had them, packs times the size of one."""


def test_each_is_read_by_its_own_mapping_and_nothing_of_it_is_left(demo, ask):
    found = ask(
        demo.root,
        "SELECT file_name, source, rejected_count, already_held_count, outcome FROM receipt.file "
        "WHERE file_name LIKE '%.xml' OR file_name LIKE '%.pdf' ORDER BY ALL",
    )

    assert found == [(name, source, 0, 0, "taken in") for name, source in FILES.items()]


def test_their_lines_are_in_the_ledger_as_any_others(demo, ask):
    found = ask(
        demo.root,
        "SELECT document_no, coalesce(material, description), quantity::VARCHAR, "
        "line_net_gbp::VARCHAR, lot, order_no FROM ledger.purchases "
        "WHERE document_no IN ('205398', '6167', '72733', '72741') ORDER BY ALL",
    )

    assert found == LINES


@pytest.mark.slow
def test_a_list_that_brings_an_electronic_invoice_again_is_held(demo, ask, tmp_path):
    """The list numbers its lines, has carriage as a line of packs, and says no rate of VAT."""
    root = shutil.copytree(demo.root, tmp_path / "copy")
    text = (
        "Date,Ref,Row,Product,Price,Packs,Amount,Your ref\n"
        '05/27/2026,6167,1,"Flashing sealant, 310 ml cartridge",4.95,2,9.90,yard-0320\n'
        "05/27/2026,6167,2,Parcel charge,7.50,1,7.50,\n"
        ",,,Total,,,17.40,\n"
    )
    (root / "inbox" / "saltbarrow history late.csv").write_text(text, encoding="utf-8")

    summary = run_month(root)

    assert (summary.already_held_count, summary.rejected_count) == (2, 0)
    held = (
        "SELECT sum(line_net_gbp)::VARCHAR, count(*) FROM ledger.purchases WHERE document_no = $1"
    )
    assert ask(root, held, "6167") == [("17.40", 2)]
