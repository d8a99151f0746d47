"""Electronic invoices: one document, in either syntax, to rows of purchases."""

import codecs
from dataclasses import replace

import pytest

from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.cii_invoices import write_cii
from tests.support.electronic_invoices import Adjustment, Document, Line
from tests.support.ubl_invoices import write_ubl

BOTH = pytest.mark.parametrize("write", [write_ubl, write_cii], ids=["ubl", "cii"])
RESIN = Line("Laminating resin, 20 kg tin", "6", "XTN", "252.00", "42.00")
MAT = Line("Chopped strand mat 450", "68", "KGM", "199.75", "293.75", "100", rate="5")
INVOICE = Document(
    lines=(RESIN, MAT),
    adjustments=(
        Adjustment("12.50", "Loyal customer", "95"),
        Adjustment("18.00", "To your yard", "FC", charge=True),
    ),
    delivered="2025-03-12",
    order_no="77-18",
    paid="100.00",
    rounding="-0.04",
)


def read(path, content, name="invoice.xml", mappings=()):
    path = path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_file(path, name, mappings, RECORDS)


def rows(file):
    assert file.faults == ()
    (sheet,) = file.sheets
    assert sheet.units_counted == sum(frame.height for frame in sheet.rows.values())
    return sheet.rows["purchases"].rows(named=True)


def filled(row, *names):
    return {name: row[name] for name in names}


def test_both_syntaxes_give_the_same_rows(tmp_path):
    ubl = rows(read(tmp_path, write_ubl(INVOICE)))

    assert ubl == rows(read(tmp_path, write_cii(INVOICE)))
    assert len(ubl) == 5


@BOTH
def test_every_row_has_what_the_document_says_of_all(tmp_path, write):
    found = rows(read(tmp_path, write(INVOICE)))

    for row in found:
        assert filled(
            row, "supplier", "document_type", "document_no", "document_on", "delivered_on"
        ) == {
            "supplier": "Peatmoor Factors",
            "document_type": "invoice",
            "document_no": "PF-1071",
            "document_on": "2025-03-14",
            "delivered_on": "2025-03-12",
        }
        assert (row["order_no"], row["date_order"], row["fault"]) == ("77-18", "ymd", None)
        assert row["line_no"] is None


@BOTH
def test_lines_allowances_charges_and_rounding_are_rows_of_their_own(tmp_path, write):
    found = rows(read(tmp_path, write(INVOICE)))

    assert [
        (row["description"], row["line_kind"], row["line_net_gbp"], row["vat_pct"]) for row in found
    ] == [
        ("Laminating resin, 20 kg tin", None, "252.00", "20"),
        ("Chopped strand mat 450", None, "199.75", "5"),
        ("Loyal customer", "discount", "-12.50", "20"),
        ("To your yard", "carriage", "18.00", "20"),
        ("Rounding of the amount due", "rounding", "-0.04", "0"),
    ]


@BOTH
@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # what measures is its own pack of one; small units as large ones, to lose no thousandth
        (("KGM", "40", "4.10", ""), ("40", "1", "kg", "4.10")),
        (("KGM", "40", "410", "100"), ("40", "1", "kg", "4.1")),
        (("GRM", "500", "0.01", ""), ("0.500", "1", "kg", "10")),
        (("TNE", "0.5", "900", ""), ("500.0", "1", "kg", "0.9")),
        (("MLT", "310", "0.02", ""), ("0.310", "1", "l", "20")),
        (("LTR", "5", "3.20", ""), ("5", "1", "l", "3.20")),
        (("MTR", "30", "2.05", ""), ("30", "1", "m", "2.05")),
        (("CMT", "480", "0.02", ""), ("4.80", "1", "m", "2")),
        (("MMT", "4800", "0.002", ""), ("4.800", "1", "m", "2")),
        (("FOT", "10", "0.6096", ""), ("3.0480", "1", "m", "2")),
        (("MTK", "14.4", "11", ""), ("14.4", "1", "m2", "11")),
        # what counts leaves the size of a pack to the item
        (("C62", "3", "1.10", ""), ("3", None, "each", "1.10")),
        (("H87", "3", "1.10", ""), ("3", None, "each", "1.10")),
        (("EA", "3", "330", "300"), ("3", None, "each", "1.1")),
        (("XBX", "3", "1.10", ""), ("3", None, "pack", "1.10")),
        (("XRO", "3", "1.10", ""), ("3", None, "roll", "1.10")),
        # a code that is not known is handed on for judging, which refuses it
        (("DAY", "3", "1.10", ""), ("3", None, "code DAY", "1.10")),
        # a price that has no exact fourth decimal is not stated: the line's net is
        (("KGM", "40", "10", "3"), ("40", "1", "kg", None)),
        (("KGM", "40", "10", "0"), ("40", "1", "kg", None)),
        (("KGM", "40", "", ""), ("40", "1", "kg", None)),
    ],
)
def test_quantity_unit_and_price(tmp_path, write, line, expected):
    unit, quantity, price, base = line
    written = Line("Something", quantity, unit, "10.00", price, base)
    (row,) = rows(read(tmp_path, write(Document(lines=(written,)))))

    packs, size, word, one = (row[n] for n in ("packs", "pack_size", "unit", "pack_price_gbp"))
    assert (packs, size, word) == expected[:3]
    assert (one and float(one)) == (expected[3] and float(expected[3]))


@BOTH
def test_a_price_by_another_unit_than_the_line_is_left_blank(tmp_path, write):
    line = replace(MAT, base="1", base_unit="TNE")
    file = read(tmp_path, write(Document(lines=(line,))))

    assert rows(file)[0]["pack_price_gbp"] is None
    assert file.notes == (
        "a price that is not the whole price of one is left blank; the line's net stands",
    )


@BOTH
@pytest.mark.parametrize(
    ("adjusted", "net", "price"),
    [
        (True, "225.00", None),  # 6 x 42.00 less 27.00 off the line
        (True, "252.00", "42.00"),  # taken off and put on again
        (False, "302.40", None),  # VAT of 20 % inside: what the totals prove is the net stands
        (False, "262.00", "42.00"),  # does not multiply out, and nothing says why
    ],
)
def test_a_price_that_is_not_all_of_the_line(tmp_path, write, adjusted, net, price):
    document = Document(lines=(replace(RESIN, net=net, adjusted=adjusted),))
    (row,) = rows(read(tmp_path, write(document)))

    assert filled(row, "line_net_gbp", "pack_price_gbp", "fault") == {
        "line_net_gbp": net,
        "pack_price_gbp": price,
        "fault": None,
    }


@BOTH
def test_a_credit_is_negative_and_names_its_invoice(tmp_path, write):
    credit = replace(INVOICE, type_code="381", number="PF-C9", preceding=("PF-1071",))
    found = rows(read(tmp_path, write(credit)))

    assert {row["document_type"] for row in found} == {"credit"}
    assert {row["credits_document_no"] for row in found} == {"PF-1071"}
    assert [row["line_net_gbp"] for row in found] == [
        "-252.00", "-199.75", "12.50", "-18.00", "0.04",
    ]  # fmt: skip
    assert [row["packs"] for row in found[:2]] == ["-6", "-68"]
    assert found[0]["pack_price_gbp"] == "42.00"


def test_an_invoice_by_its_root_is_a_credit_where_its_type_says_so(tmp_path):
    text = write_ubl(Document(lines=(RESIN,))).replace(">380<", ">381<")
    (row,) = rows(read(tmp_path, text))

    assert filled(row, "document_type", "line_net_gbp", "fault") == {
        "document_type": "credit",
        "line_net_gbp": "-252.00",
        "fault": None,
    }


@BOTH
def test_a_line_given_back_on_an_invoice_stays_negative(tmp_path, write):
    back = Line("Deck primer", "-1", "XCA", "-31.00", "31.00")
    found = rows(read(tmp_path, write(Document(lines=(RESIN, back)))))

    assert filled(found[1], "document_type", "packs", "line_net_gbp", "pack_price_gbp") == {
        "document_type": "invoice",
        "packs": "-1",
        "line_net_gbp": "-31.00",
        "pack_price_gbp": "31.00",
    }


def test_a_credit_of_several_invoices_names_none_and_says_so(tmp_path):
    credit = replace(INVOICE, type_code="381", preceding=("PF-1", "PF-2"))
    file = read(tmp_path, write_ubl(credit))

    assert {row["credits_document_no"] for row in rows(file)} == {None}
    assert file.notes == ("it names several preceding invoices: PF-1, PF-2",)


@BOTH
@pytest.mark.parametrize("code", ["380", "384", "389", "751"])
def test_types_that_ask_for_money_are_invoices(tmp_path, write, code):
    found = rows(read(tmp_path, write(replace(INVOICE, type_code=code))))

    assert {(row["document_type"], row["fault"]) for row in found} == {("invoice", None)}


@BOTH
def test_a_prepayment_is_a_deposit_no_goods(tmp_path, write):
    found = rows(read(tmp_path, write(Document(lines=(RESIN,), type_code="386"))))

    assert [row["line_kind"] for row in found] == ["deposit"]


@BOTH
def test_what_a_document_may_leave_out(tmp_path, write):
    bare = Document(lines=(replace(RESIN, price=""),))
    (row,) = rows(read(tmp_path, write(bare)))

    blank = ("delivered_on", "order_no", "lot", "expires_on", "credits_document_no", "pack_size")
    assert {row[name] for name in blank} == {None}
    assert row["fault"] is None


@BOTH
def test_the_day_of_delivery_else_the_end_of_the_lines_period(tmp_path, write):
    lines = (replace(RESIN, period_end="2025-03-05"), MAT)

    assert [r["delivered_on"] for r in rows(read(tmp_path, write(Document(lines=lines))))] == [
        "2025-03-05",
        None,
    ]


@BOTH
def test_attributes_give_pack_size_lot_and_date(tmp_path, write):
    told = {"Pack size": "20 kg", "Batch number": "88/2", "Use before": "2025-09-01"}
    line = replace(RESIN, attributes=told)
    (row,) = rows(read(tmp_path, write(Document(lines=(line,)))))

    assert filled(row, "pack_size", "unit", "lot", "expires_on") == {
        "pack_size": "20 kg",
        "unit": None,
        "lot": "88/2",
        "expires_on": "2025-09-01",
    }


@BOTH
def test_the_items_description_follows_its_name(tmp_path, write):
    line = replace(RESIN, item="Resin", words="for laminates,\n  20 kg")
    (row,) = rows(read(tmp_path, write(Document(lines=(line,)))))

    assert row["description"] == "Resin, for laminates, 20 kg"


@pytest.mark.parametrize(
    ("legal_name", "seller"),
    [("CompanyLegalForm", "Peat & Moor"), ("RegistrationName", "Peatmoor Factors")],
)
def test_the_trading_name_stands_in_where_there_is_no_legal_one(tmp_path, legal_name, seller):
    trading = "<cac:PartyName><cbc:Name>Peat &amp; Moor</cbc:Name></cac:PartyName>"
    text = write_ubl(INVOICE).replace("<cac:Party>", f"<cac:Party>{trading}")
    text = text.replace("RegistrationName", legal_name)

    assert {row["supplier"] for row in rows(read(tmp_path, text))} == {seller}


@BOTH
def test_the_row_is_kept_as_it_was_written(tmp_path, write):
    found = rows(read(tmp_path, write(INVOICE)))

    assert '"BT-129 quantity": "68", "BT-130 unit": "KGM"' in found[1]["row_text"]
    assert '"reason code": "95", "amount": "12.50"' in found[2]["row_text"]


MAPPING = """
name = "electronic"
files = ["*.xml"]
kind = "invoice"
[words.supplier]
"Peatmoor Factors" = "Peatmoor"
[descriptions."Laminating resin, 20 kg tin"]
material = "resin"
pack_size = "20"
unit = "kg"
[descriptions."Pallet"]
line_kind = "deposit"
[descriptions."Chopped strand mat 450"]
material = "mat 450"
pack_size = "76"
unit = "m2"
"""


@BOTH
def test_a_mapping_names_supplier_materials_and_packs(tmp_path, write):
    mapping = parse_mapping(MAPPING, "electronic.toml", RECORDS)
    pallet = Line("Pallet", "2", "DAY", "9.00", "4.50")
    document = replace(INVOICE, lines=(RESIN, MAT, pallet))
    file = read(tmp_path, write(document), mappings=[mapping])
    found = rows(file)

    assert file.source == "electronic"
    assert {row["supplier"] for row in found} == {"Peatmoor"}
    names = ("material", "packs", "pack_size", "unit", "line_kind")
    assert [tuple(row[name] for name in names) for row in found[:3]] == [
        ("resin", "6", "20", "kg", None),
        ("mat 450", "68", "1", "kg", None),  # measured: the roll's size says nothing of it
        (None, "2", None, None, "deposit"),
    ]


def test_a_mapping_for_tables_is_not_stretched_to_an_invoice(tmp_path):
    table = parse_mapping(
        'name = "lists"\nfiles = ["*"]\nkind = "table"\nrecord = "purchases"\nheader = ["No"]\n'
        '[columns]\n"No" = "document_no"',
        "lists.toml",
        RECORDS,
    )
    file = read(tmp_path, write_ubl(INVOICE), mappings=[table])

    assert file.sheets == ()
    assert file.faults[0].why == 'the mapping "lists" fits this file\'s name, and is for a table'


def test_where_no_purchases_are_looked_for(tmp_path):
    (tmp_path / "roof.xml").write_text(write_ubl(INVOICE), encoding="utf-8")
    file = read_file(tmp_path / "roof.xml", "roof.xml", (), {"edges": RECORDS["edges"]})

    assert file.faults[0].why == "an electronic invoice, which is not looked for here"


# how the text is written makes no difference


def _renamed(text, *pairs):
    for old, new in pairs:
        text = text.replace(f"<{old}:", f"<{new}:").replace(f"</{old}:", f"</{new}:")
        text = text.replace(f"xmlns:{old}=", f"xmlns:{new}=")
    return text


@pytest.mark.parametrize(
    ("write", "pairs"),
    [
        (write_ubl, [("cbc", "a"), ("cac", "b-2")]),
        (write_cii, [("rsm", "ram2"), ("ram", "x"), ("udt", "cbc")]),
    ],
    ids=["ubl", "cii"],
)
def test_other_prefixes(tmp_path, write, pairs):
    expected = rows(read(tmp_path, write(INVOICE)))

    assert rows(read(tmp_path, _renamed(write(INVOICE), *pairs))) == expected


def _utf_16(text, encoding):
    mark = codecs.BOM_UTF16_LE if encoding == "utf-16-le" else codecs.BOM_UTF16_BE
    return mark + text.replace('encoding="UTF-8"', 'encoding="UTF-16"').encode(encoding)


@BOTH
@pytest.mark.parametrize(
    "rewrite",
    [
        lambda text: codecs.BOM_UTF8 + text.encode(),
        lambda text: _utf_16(text, "utf-16-le"),
        lambda text: _utf_16(text, "utf-16-be"),
        lambda text: text.replace("UTF-8", "ISO-8859-1").encode("latin-1"),
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: text.replace("1071", "10<!-- one -->71").encode(),
        lambda text: text.replace("1071", "10<?note of the printer?>71").encode(),
        lambda text: text.replace("PF-1071", "<![CDATA[PF-1071]]>").encode(),
        lambda text: text.replace(
            "?>", '?><?xml-stylesheet href="http://x.invalid/"?>', 1
        ).encode(),
        lambda text: text.replace("252.00", "\n  252.00\t").encode(),
    ],
)
def test_other_ways_of_writing_the_same(tmp_path, write, rewrite):
    document = replace(INVOICE, supplier="Café Tor Supplies")
    expected = rows(read(tmp_path, write(document)))

    assert rows(read(tmp_path, rewrite(write(document)))) == expected


@pytest.mark.parametrize("name", ["invoice.csv", "invoice", "INVOICE.XML", "invoice.xlsx"])
def test_content_wins_over_the_files_ending(tmp_path, name):
    assert len(rows(read(tmp_path, write_cii(INVOICE), name))) == 5
