"""Electronic invoices that cannot be right: each rule broken once, both figures in the reason."""

from dataclasses import replace

import pytest

from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.cii_invoices import write_cii
from tests.support.electronic_invoices import Adjustment, Document, Line
from tests.support.ubl_invoices import write_ubl

BOTH = pytest.mark.parametrize("write", [write_ubl, write_cii], ids=["ubl", "cii"])
RESIN = Line("Laminating resin", "6", "XTN", "252.00", "42.00")
MAT = Line("Chopped strand mat", "2", "XRO", "180.00", "90.00", rate="5")
SOUND = Document(
    lines=(RESIN, MAT),
    adjustments=(Adjustment("12.00", "Loyal"), Adjustment("18.00", "Carriage", charge=True)),
    paid="100.00",
    rounding="-0.04",
)
# 252 + 180 = 432; - 12 + 18 = 438; VAT 20 % of 258 = 51.60, 5 % of 180 = 9.00; 438 + 60.60 = 498.60
# less 100.00 paid and 0.04 rounded off: 398.56


def read(path, text):
    (path / "invoice.xml").write_text(text, encoding="utf-8")
    return read_file(path / "invoice.xml", "invoice.xml", (), RECORDS)


def reasons(file, count):
    """Return the one reason that all rows of the document are refused for."""
    (sheet,) = file.sheets
    assert sheet.units_counted == count
    (reason,) = sheet.rows["purchases"]["fault"].unique().to_list()
    assert sheet.rows["purchases"].height == count
    return reason


@BOTH
def test_the_sound_document_breaks_none(tmp_path, write):
    assert reasons(read(tmp_path, write(SOUND)), 5) is None


BROKEN = [
    (
        {"BT-106": "431.99", "BT-109": "437.99", "BT-112": "498.59", "BT-115": "398.55"},
        "the sum of the line nets (BT-106) says 431.99, the lines come to 432.00 (rule BR-CO-10)",
    ),
    (
        {"BT-107": "11.00", "BT-109": "439.00", "BT-112": "499.60", "BT-115": "399.56"},
        "the sum of the allowances (BT-107) says 11.00, they come to 12.00 (rule BR-CO-11)",
    ),
    (
        {"BT-108": "", "BT-109": "420.00", "BT-112": "480.60", "BT-115": "380.56"},
        "the sum of the charges (BT-108) is not stated, they come to 18.00 (rule BR-CO-12)",
    ),
    (
        {"BT-109": "438.01", "BT-112": "498.61", "BT-115": "398.57"},
        (
            "the total without VAT (BT-109) says 438.01, line nets less allowances plus charges "
            "comes to 438.00 (rule BR-CO-13)"
        ),
    ),
    (
        {"BT-110": "60.61", "BT-112": "498.61", "BT-115": "398.57"},
        "the total VAT (BT-110) says 60.61, the VAT of the rates comes to 60.60 (rule BR-CO-14)",
    ),
    (
        {"BT-112": "498.61", "BT-115": "398.57"},
        (
            "the total with VAT (BT-112) says 498.61, total without VAT plus VAT comes to 498.60 "
            "(rule BR-CO-15)"
        ),
    ),
    (
        {"BT-115": "498.60"},
        (
            "the amount due (BT-115) says 498.60, total with VAT less paid plus rounding comes "
            "to 398.56 (rule BR-CO-16)"
        ),
    ),
]


@BOTH
@pytest.mark.parametrize(("says", "reason"), BROKEN)
def test_a_broken_total_refuses_the_whole_document(tmp_path, write, says, reason):
    found = reasons(read(tmp_path, write(replace(SOUND, says=says))), 5)

    assert found == f"{reason}; ask the supplier for a right one"


@BOTH
def test_a_taxable_amount_that_its_lines_do_not_make(tmp_path, write):
    document = Document(lines=(RESIN,), says={"BT-116": "250.00"})

    assert reasons(read(tmp_path, write(document)), 1).startswith(
        "the taxable amount (BT-116) says 250.00, what is taxed at VAT category S, 20 % comes to "
        "252.00 (rule BR-S-08)"
    )


@BOTH
def test_vat_that_its_rate_does_not_make(tmp_path, write):
    says = {"BT-117": "50.39", "BT-110": "50.39", "BT-112": "302.39", "BT-115": "302.39"}
    document = Document(lines=(RESIN,), says=says)

    assert reasons(read(tmp_path, write(document)), 1).startswith(
        "the VAT (BT-117) says 50.39, VAT at VAT category S, 20 % comes to 50.40 (rule BR-CO-17)"
    )


@BOTH
def test_vat_rounded_line_by_line_passes(tmp_path, write):
    # 20 % of 0.62 is 0.124, twice 0.12 = 0.24; of the sum 1.24 it is 0.248, 0.25
    cheap = Line("Washer", "1", "C62", "0.62", "0.62")
    says = {"BT-117": "0.24", "BT-110": "0.24", "BT-112": "1.48", "BT-115": "1.48"}

    assert reasons(read(tmp_path, write(Document(lines=(cheap, cheap), says=says))), 2) is None


@BOTH
def test_several_rates_and_exempt_lines(tmp_path, write):
    exempt = Line("Deposit on a drum", "1", "XDR", "15.00", "15.00", rate="0", category="E")
    nought = Line("Old stock", "1", "C62", "3.00", "3.00", rate="0", category="Z")
    found = read(tmp_path, write(Document(lines=(RESIN, MAT, exempt, nought))))

    assert reasons(found, 4) is None
    assert found.sheets[0].rows["purchases"]["vat_pct"].to_list() == ["20", "5", "0", "0"]


def test_a_rate_that_the_breakdown_lacks(tmp_path):
    text = write_ubl(Document(lines=(RESIN,))).replace(
        "<cac:ClassifiedTaxCategory><cbc:ID>S</cbc:ID>\n<cbc:Percent>20",
        "<cac:ClassifiedTaxCategory><cbc:ID>S</cbc:ID>\n<cbc:Percent>5",
    )

    assert "the breakdown of VAT lacks VAT category S, 5 %, which is charged (rule BR-S-08)" in (
        reasons(read(tmp_path, text), 1)
    )


@BOTH
def test_another_currency_is_refused_by_name_and_its_money_left_blank(tmp_path, write):
    file = read(tmp_path, write(replace(SOUND, currency="EUR")))

    assert reasons(file, 5).startswith(
        "its currency (BT-5) is EUR; only GBP is taken, and nothing is converted"
    )
    frame = file.sheets[0].rows["purchases"]
    assert set(frame["line_net_gbp"]) | set(frame["pack_price_gbp"]) == {None}
    assert '"BT-131 line net": "252.00", "currency": "EUR"' in frame["row_text"][0]


def test_an_amount_in_another_currency_than_its_document(tmp_path):
    text = write_ubl(SOUND).replace(
        'LineExtensionAmount currencyID="GBP">180', 'LineExtensionAmount currencyID="EUR">180'
    )

    assert reasons(read(tmp_path, text), 5).startswith(
        "the line net (BT-131) of line 2 is in EUR, the document in GBP"
    )


@pytest.mark.parametrize("code", ["325", "877", "9", "three"])
@BOTH
def test_a_type_that_is_not_booked(tmp_path, write, code):
    assert f"its type (BT-3) is {code}, which is not booked" in (
        reasons(read(tmp_path, write(replace(SOUND, type_code=code))), 5)
    )


def test_a_credit_note_that_calls_itself_an_invoice(tmp_path):
    text = write_ubl(replace(SOUND, type_code="381")).replace(">381<", ">380<")

    assert reasons(read(tmp_path, text), 5).startswith(
        "it is a credit note by its root, and an invoice by its type (BT-3), 380"
    )


@BOTH
def test_a_credit_below_nothing_is_never_guessed(tmp_path, write):
    back = replace(RESIN, quantity="-6", net="-252.00")
    credit = Document(lines=(back,), type_code="381")

    assert reasons(read(tmp_path, write(credit)), 1).startswith(
        "it is a credit (BT-3 says 381) of -302.40 (BT-112): a credit below 0"
    )


@BOTH
@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"number": ""}, "the number (BT-1) is missing"),
        ({"supplier": ""}, "the seller (BT-27) is missing"),
        ({"day": "2025-02-30"}, 'the date of issue (BT-2) is no date: "'),
        ({"says": {"BT-112": ""}}, "the total with VAT (BT-112) is missing"),
        ({"says": {"BT-112": "1,498.60"}}, 'the total with VAT (BT-112) is no figure: "1,498.60"'),
        ({"says": {"BT-112": "1E2"}}, 'the total with VAT (BT-112) is no figure: "1E2"'),
        ({"says": {"BT-112": "498.604"}}, "the total with VAT (BT-112) has parts of a penny"),
        ({"says": {"BT-114": "nil"}}, 'the rounding (BT-114) is no figure: "nil"'),
    ],
)
def test_what_a_document_needs(tmp_path, write, change, reason):
    assert reasons(read(tmp_path, write(replace(SOUND, **change))), 5).startswith(reason)


@BOTH
@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ({"quantity": ""}, "the quantity (BT-129) of line 2 is missing"),
        ({"quantity": "two"}, 'the quantity (BT-129) of line 2 is no figure: "two"'),
        ({"category": ""}, "the VAT category (BT-151) of line 2 is missing"),
        ({"item": ""}, "the item (BT-153) of line 2 is missing"),
    ],
)
def test_what_a_line_needs(tmp_path, write, line, reason):
    document = replace(SOUND, lines=(RESIN, replace(MAT, **line)))

    assert reason in reasons(read(tmp_path, write(document)), 5)


def test_a_term_that_stands_twice(tmp_path):
    text = write_ubl(SOUND).replace(
        "<cbc:IssueDate>2025-03-14",
        "<cbc:IssueDate>2025-03-13</cbc:IssueDate><cbc:IssueDate>2025-03-14",
    )

    assert reasons(read(tmp_path, text), 5).startswith(
        "the date of issue (BT-2) stands twice: 2025-03-13, 2025-03-14"
    )


@BOTH
def test_a_document_without_lines_is_no_invoice(tmp_path, write):
    file = read(tmp_path, write(replace(SOUND, lines=())))

    assert file.sheets == ()
    assert file.faults[0].why == "the invoice has no line (rule BR-16)"


def test_vat_in_the_accounting_currency_beside_it_is_passed_over(tmp_path):
    second = '<cac:TaxTotal><cbc:TaxAmount currencyID="EUR">71.00</cbc:TaxAmount></cac:TaxTotal>'
    text = write_ubl(SOUND).replace("<cac:LegalMonetaryTotal>", f"{second}<cac:LegalMonetaryTotal>")

    assert reasons(read(tmp_path, text), 5) is None
