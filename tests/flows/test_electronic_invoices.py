"""Electronic invoices dropped into the inbox: through to the ledger, to the penny."""

from dataclasses import replace
from decimal import Decimal

import pytest

from pipelines.month.run import run_month
from tests.support.cii_invoices import write_cii
from tests.support.electronic_invoices import Adjustment, Document, Line
from tests.support.small_firm import drop, make_firm
from tests.support.ubl_invoices import write_ubl

MAPPING = """
name = "electronic"
files = ["*.xml"]
kind = "invoice"
[descriptions."Laminating resin 20 kg tin"]
material = "resin"
pack_size = "20"
unit = "kg"
[descriptions."Drip trim"]
material = "drip trim"
[descriptions."Mat 450 by weight"]
material = "mat 450"
"""
INVOICE = Document(
    number="PF-1071",
    lines=(
        Line("Laminating resin 20 kg tin", "6", "XTN", "252.00", "42.00"),
        Line("Drip trim", "40", "EA", "236.00", "5.90"),
        Line("Mat 450 by weight", "34", "KGM", "93.50", "2.75"),
    ),
    adjustments=(
        Adjustment("11.63", "Loyal customer", "95"),
        Adjustment("18.00", "To your yard", "FC", charge=True),
    ),
    rounding="0.02",
    delivered="2025-03-12",
)
CREDIT = Document(
    number="PF-C9",
    type_code="381",
    day="2025-04-02",
    lines=(Line("Laminating resin 20 kg tin", "1", "XTN", "42.00", "42.00"),),
    preceding=("PF-1071",),
)
EXPORT = """
supplier,document_type,document_no,document_on,delivered_on,credits_document_no,description,material,packs,pack_size,unit,pack_price_gbp,line_net_gbp,vat_pct
Peatmoor Factors,credit,PF-C9,2025-04-02,,PF-1071,resin back,resin,-1,20,kg,42.00,-42.00,20
"""
OF_FILES = "SELECT file_name, outcome, rows_read_count, accepted_count, rejected_count,"
COUNTS = f"{OF_FILES} already_held_count FROM receipt.file WHERE file_name <> 'materials.csv'"


@pytest.fixture
def firm(tmp_path):
    root = make_firm(tmp_path / "firm", {"PF-1071.xml": write_ubl(INVOICE)})
    (root / "settings" / "mappings" / "electronic.toml").write_text(MAPPING, encoding="utf-8")
    drop(root, {"credit.xml": write_cii(CREDIT)})
    return root


def test_both_syntaxes_reach_the_ledger_to_the_penny(firm, ask):
    run_month(firm)

    assert ask(
        firm,
        "SELECT document_no, sum(line_net_gbp) FROM ledger.purchases GROUP BY ALL ORDER BY ALL",
    ) == [
        ("PF-1071", Decimal("587.89")),  # 252 + 236 + 93.50 - 11.63 + 18 + 0.02
        ("PF-C9", Decimal("-42.00")),
    ]
    assert ask(
        firm,
        "SELECT document_no, material, packs, quantity, unit FROM ledger.purchases "
        "WHERE line_kind = 'goods' ORDER BY ALL",
    ) == [
        ("PF-1071", "drip trim", Decimal(40), Decimal(120), "m"),  # lengths of 3 m
        ("PF-1071", "mat 450", Decimal(34), Decimal("75.556"), "m2"),  # 34 / 0.450
        ("PF-1071", "resin", Decimal(6), Decimal(120), "kg"),
        ("PF-C9", "resin", Decimal(-1), Decimal(-20), "kg"),
    ]
    assert sorted(ask(firm, COUNTS)) == [
        ("PF-1071.xml", "taken in", 6, 6, 0, 0),
        ("credit.xml", "taken in", 1, 1, 0, 0),
    ]


def test_lines_that_an_electronic_invoice_says_twice_raise_no_question(firm, ask):
    """Two deliveries, two allowances of one wording: its own totals prove that both count."""
    twice = Document(
        number="PF-1080",
        lines=(Line("Drip trim", "4", "EA", "23.60", "5.90"),) * 2,
        adjustments=(Adjustment("1.00", "Loyal customer"),) * 2,
    )
    drop(firm, {"PF-1080.xml": write_ubl(twice)})

    summary = run_month(firm)

    assert [warning for warning in summary.warnings if "stands" in warning] == []
    assert ask(
        firm,
        "SELECT sum(line_net_gbp), count(*) FROM ledger.purchases WHERE document_no = 'PF-1080'",
    ) == [(Decimal("45.20"), 4)]  # 2 x 23.60 - 2 x 1.00


def test_a_second_copy_in_the_other_syntax_or_as_a_list_is_already_held(firm, ask):
    run_month(firm)
    drop(firm, {"again.xml": write_cii(INVOICE), "purchases april.csv": EXPORT})
    run_month(firm)

    assert sorted(ask(firm, COUNTS))[1:] == [
        ("again.xml", "taken in", 6, 0, 0, 6),
        ("credit.xml", "taken in", 1, 1, 0, 0),
        ("purchases april.csv", "taken in", 2, 0, 0, 1),  # and its heading
    ]
    assert ask(firm, "SELECT count(*) FROM ledger.purchases") == [(7,)]


def test_a_document_whose_total_is_wrong_is_refused_whole_and_kept(firm, ask):
    wrong = replace(INVOICE, number="PF-1072", says={"BT-115": "700.00"})
    drop(firm, {"PF-1072.xml": write_ubl(wrong)})
    run_month(firm)

    assert ("PF-1072.xml", "taken in", 6, 0, 6, 0) in ask(firm, COUNTS)
    assert ask(
        firm, "SELECT DISTINCT reason FROM receipt.reject WHERE row_text LIKE '%Laminating%'"
    ) == [
        (
            (
                "the amount due (BT-115) says 700.00, total with VAT less paid plus rounding comes "
                "to 705.46 (rule BR-CO-16); ask the supplier for a right one"
            ),
        )
    ]
    assert ask(firm, "SELECT count(*) FROM ledger.purchases WHERE document_no = 'PF-1072'") == [
        (0,)
    ]


def test_goods_of_no_known_name_wait_for_it(tmp_path, ask):
    root = make_firm(tmp_path / "firm", {"PF-1071.xml": write_ubl(INVOICE)})
    run_month(root)

    assert ask(root, "SELECT line_kind, line_net_gbp FROM ledger.purchases ORDER BY ALL") == [
        ("carriage", Decimal("18.00")),
        ("discount", Decimal("-11.63")),
        ("rounding", Decimal("0.02")),
    ]
    assert ask(root, COUNTS) == [("PF-1071.xml", "taken in", 6, 3, 3, 0)]
