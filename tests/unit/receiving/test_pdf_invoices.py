"""Invoices in PDFs: every line of text counted, taken only where lines, VAT and total agree."""

import zlib

import pytest

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import FaultSort
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.pdf_papers import (
    MAT,
    RESIN,
    TITLES,
    TOTALS,
    new_pdf,
    write_invoice,
    write_line,
    write_pdf,
)

MAPPING = r"""
name = "peatmoor"
files = ["*.pdf"]
kind = "pdf"
record = "purchases"
header = ["Description", "Qty", "Net"]
date_order = "dmy"
find = ['Invoice no: (?P<document_no>\S+) Date: (?P<document_on>\S+)']
[columns]
"Description" = "description"
"Qty" = "packs"
"Unit price" = "pack_price_gbp"
"Net" = "line_net_gbp"
[constants]
supplier = "Peatmoor"
[proof]
net = "Goods"
vat = "VAT*"
total = "Total to pay"
[charges]
"Carriage*" = "carriage"
"""
NAMES = ("row_no", "description", "packs", "pack_price_gbp", "line_net_gbp", "line_kind")


def read(path, said=MAPPING):
    mappings = [parse_mapping(said, "peatmoor.toml", RECORDS)] if said else []
    return read_file(path, path.name, mappings, RECORDS)


def rows(file):
    assert file.faults == ()
    (sheet,) = file.sheets
    frame = sheet.rows["purchases"]
    # every line of text is a row or skipped, as an own count of lines has it
    assert sheet.units_counted == frame.height + len(sheet.skipped)
    return frame.to_dicts()


def told(file, *names):
    return [tuple(row[name] for name in names or NAMES) for row in rows(file)]


def why(file):
    assert file.sheets == ()
    (fault,) = file.faults
    assert fault.mend
    return fault.why


def test_an_invoice_is_read_by_its_heading(tmp_path):
    file = read(write_invoice(tmp_path / "paper.pdf"))

    assert told(file) == [
        (4, "Laminating resin, 20 kg tin", "6", "42.00", "252.00", None),
        (5, "Mat 450 g, 76 m2 roll", "2", "1,100.00", "2,200.00", None),
    ]
    assert told(file, "supplier", "document_no", "document_on", "date_order")[0] == (
        "Peatmoor", "PF-1071", "12/03/2025", "dmy",
    )  # fmt: skip
    assert [(row.row_no, row.why) for row in file.sheets[0].skipped] == [
        (1, "outside the lines"), (2, "outside the lines"), (3, "heading"),
        (6, "totals"), (7, "totals"), (8, "totals"),
    ]  # fmt: skip
    assert file.source == "peatmoor"
    assert '"Unit price": "42.00"' in rows(file)[0]["row_text"]


def test_a_line_missed_is_told_with_both_figures_and_nothing_is_taken(tmp_path):
    file = read(write_invoice(tmp_path / "paper.pdf", rows=(MAT,)))

    assert why(file) == "the lines come to 2,200.00, and the PDF says 2,452.00"


@pytest.mark.parametrize(
    ("vat", "to_pay", "makes"),
    [("490.40", "2,942.41", "2,942.40"), ("490.39", "2,942.40", "2,942.39")],
)
def test_a_penny_is_enough_to_refuse(tmp_path, vat, to_pay, makes):
    totals = (TOTALS[0], ("VAT 20 %", vat), ("Total to pay", to_pay))
    file = read(write_invoice(tmp_path / "paper.pdf", totals=totals))

    assert why(file) == (
        f"the lines come to 2,452.00 and VAT to {vat}, which makes {makes}; the PDF says {to_pay}"
    )


@pytest.mark.parametrize("gone", [0, 1, 2])
def test_a_total_that_is_not_there_is_no_proof(tmp_path, gone):
    totals = [total for at, total in enumerate(TOTALS) if at != gone]
    file = read(write_invoice(tmp_path / "paper.pdf", totals=totals))

    assert "with an amount stands in the PDF" in why(file)


def test_two_invoices_in_one_pdf_are_refused(tmp_path):
    totals = (*TOTALS, ("Total to pay", "99.00"))
    file = read(write_invoice(tmp_path / "paper.pdf", totals=totals))
    assert why(file) == 'the line "total to pay" stands in the PDF with 2,942.40 and 99.00'

    titles = (*TITLES, "Invoice no: PF-1072     Date: 12/03/2025")
    file = read(write_invoice(tmp_path / "paper.pdf", titles=titles))
    assert why(file) == 'the PDF says "PF-1071" and "PF-1072" for document_no'


def test_vat_of_several_rates_is_added(tmp_path):
    totals = (
        ("Goods", "2,452.00"),
        ("VAT 20 % on 2,200.00", "440.00"),
        ("VAT 5 % on 252.00", "12.60"),
        ("Total to pay", "2,904.60"),
    )

    assert len(told(read(write_invoice(tmp_path / "paper.pdf", totals=totals)))) == 2


def test_carriage_below_the_lines_is_a_line_of_its_own(tmp_path):
    totals = (
        ("Carriage", "15.00"),
        ("Goods", "2,467.00"),
        ("VAT 20 %", "493.40"),
        ("Total to pay", "2,960.40"),
    )
    found = told(read(write_invoice(tmp_path / "paper.pdf", totals=totals)))

    assert found[2] == (6, "carriage", None, None, "15.00", "carriage")


def test_a_heading_on_every_page(tmp_path):
    many = [("Tin", "1", "2.00", "2.00")] * 90
    totals = (("Goods", "180.00"), ("VAT 20 %", "36.00"), ("Total to pay", "216.00"))
    file = read(write_invoice(tmp_path / "paper.pdf", many, totals, rows_a_page=40))

    assert len(rows(file)) == 90
    assert [r.why for r in file.sheets[0].skipped].count("heading") == 3


def test_a_heading_on_the_first_page_alone(tmp_path):
    many = [("Tin", "1", "2.00", "2.00")] * 50
    totals = (("Goods", "100.00"), ("VAT 20 %", "20.00"), ("Total to pay", "120.00"))
    path = tmp_path / "paper.pdf"
    file = read(write_invoice(path, many, totals, heads_a_page=False))

    assert told(file, "packs") == [("1",)] * 50
    assert [row.why for row in file.sheets[0].skipped].count("heading") == 1


def test_what_stands_above_the_heading_of_a_page_is_no_line(tmp_path):
    many = [("Tin", "1", "2.00", "2.00")] * 50
    totals = (("Goods", "100.00"), ("VAT 20 %", "20.00"), ("Total to pay", "120.00"))
    carried = ("Carried over", "", "", "80.00")
    path = tmp_path / "paper.pdf"
    file = read(write_invoice(path, many, totals, titles=(*TITLES, carried)))

    assert {row[1] for row in told(file)} == {"Tin"}


def test_a_description_of_two_lines_stays_whole(tmp_path):
    more = ("cures at 15 to 25 C", "", "", "")
    found = told(read(write_invoice(tmp_path / "paper.pdf", rows=(RESIN, more, MAT))))

    assert [row[1] for row in found] == [
        "Laminating resin, 20 kg tin cures at 15 to 25 C",
        "Mat 450 g, 76 m2 roll",
    ]


def test_a_comment_among_the_lines_is_skipped_with_its_words(tmp_path):
    comment = ("Order", "4711 of 3 March", "", "")
    file = read(write_invoice(tmp_path / "paper.pdf", rows=(RESIN, comment, MAT)))

    assert len(rows(file)) == 2
    assert ("Order 4711 of 3 March", "no amount") in [
        (row.text, row.why) for row in file.sheets[0].skipped
    ]


def test_a_cell_that_could_stand_under_two_headings_is_no_guess(tmp_path):
    wide = ("A description so long that it runs on over the quantity and the price", "", "", "9.00")
    file = read(write_invoice(tmp_path / "paper.pdf", rows=(wide,)))

    assert "could stand under" in why(file)


def test_a_cell_midway_between_two_headings_is_no_guess(tmp_path):
    columns = ((15, "L"), (115, "R"), (150, "R"), (185, "R"))
    pdf = new_pdf()
    pdf.add_page()
    for at, line in enumerate((*TITLES, ("Description", "Qty", "Unit price", "Net"), RESIN)):
        write_line(pdf, 20 + 6 * at, line, columns)
    pdf.text(122, 50, "7")
    write_line(pdf, 50, ("Mat 450 g, 76 m2 roll", "", "", "2,200.00"), columns)
    for at, line in enumerate(TOTALS):
        write_line(pdf, 60 + 6 * at, line)
    pdf.output(str(tmp_path / "paper.pdf"))

    assert '"7" could stand under' in why(read(tmp_path / "paper.pdf"))


def test_a_wide_footer_below_a_page_is_skipped(tmp_path):
    many = [("Tin", "1", "2.00", "2.00")] * 50
    totals = (("Goods", "100.00"), ("VAT 20 %", "20.00"), ("Total to pay", "120.00"))
    pdf = new_pdf()
    footer = "Registered in the valley, at the yard beside the old mill. Carriage is paid. " * 2
    for page in (many[:40], many[40:]):
        pdf.add_page()
        lines = [*TITLES, ("Description", "Qty", "Unit price", "Net"), *page]
        lines += totals if len(page) < 40 else ()
        for at, line in enumerate(lines):
            write_line(pdf, 20 + 5 * at, line)
        write_line(pdf, 285, footer)
    pdf.output(str(tmp_path / "paper.pdf"))
    file = read(tmp_path / "paper.pdf")

    assert {row[1] for row in told(file)} == {"Tin"}
    assert [row.why for row in file.sheets[0].skipped if row.text.startswith("Registered")] == [
        "no amount", "outside the lines",
    ]  # fmt: skip


def test_text_parted_letter_by_letter_and_word_by_word(tmp_path):
    """Kerned pieces are one word; a shift of a space's width parts words."""
    heading = "1 0 0 1 40 700 Tm (Description) Tj 1 0 0 1 300 700 Tm (Qty) Tj 200 0 Td (Net) Tj"
    line = (
        "1 0 0 1 40 680 Tm [(Lami) 15 (na) -12 (ting) -278 (resin) -250 (20) -270 (kg)] TJ "
        "1 0 0 1 305 680 Tm (6) Tj 1 0 0 1 490 680 Tm [(25) 10 (2.00)] TJ"
    )
    words = (
        "1 0 0 1 40 664 Tm (Mat) Tj 1 0 0 1 59 664 Tm (450) Tj 1 0 0 1 305 664 Tm (2) Tj "
        "1 0 0 1 482 664 Tm (2,200.00) Tj"
    )
    totals = (
        "1 0 0 1 40 620 Tm (Goods) Tj 1 0 0 1 482 620 Tm (2,452.00) Tj 0 -14 Td (490.40) Tj "
        "-442 0 Td (VAT) Tj 0 -14 Td (Total to pay) Tj 442 0 Td (2,942.40) Tj"
    )
    title = "1 0 0 1 40 760 Tm (Invoice no: PF-1071 Date: 12/03/2025) Tj"
    content = f"BT /F1 10 Tf {totals} {words} {line} {heading} {title} ET"
    path = write_pdf(tmp_path / "paper.pdf", zlib.compress(content.encode()))

    assert [row[1:3] + row[4:5] for row in told(read(path))] == [
        ("Laminating resin 20 kg", "6", "252.00"),
        ("Mat 450", "2", "2,200.00"),
    ]


def test_a_page_drawn_upside_down_and_turned_back(tmp_path):
    content = "1 0 0 -1 0 842 cm BT /F1 10 Tf " + " ".join(
        f"1 0 0 -1 {left} {down} Tm ({text}) Tj"
        for down, cells in (
            (60, ((40, "Invoice no: PF-1071 Date: 12/03/2025"),)),
            (100, ((40, "Description"), (300, "Qty"), (500, "Net"))),
            (120, ((40, "Resin"), (305, "6"), (490, "252.00"))),
            (160, ((40, "Goods"), (490, "252.00"))),
            (175, ((40, "VAT"), (490, "50.40"))),
            (190, ((40, "Total to pay"), (490, "302.40"))),
        )
        for left, text in cells
    )
    path = write_pdf(tmp_path / "paper.pdf", zlib.compress(f"{content} ET".encode()))

    assert [row[:3] for row in told(read(path))] == [(3, "Resin", "6")]


def test_lines_told_by_a_pattern_where_there_is_no_heading(tmp_path):
    said = MAPPING.replace('header = ["Description", "Qty", "Net"]', "lines = [\n  '"
        r"(?P<packs>\d+) x (?P<description>.+) at (?P<pack_price_gbp>[\d.,]+) "
        r"(?P<line_net_gbp>[\d.,]+)'" "\n]")  # fmt: skip
    said = said[: said.index("[columns]")] + said[said.index("[constants]") :]
    pdf = new_pdf()
    pdf.add_page()
    lines = (
        *TITLES,
        "6 x Laminating resin at 42.00     252.00",
        "2 x Mat 450 g at 1,100.00     2,200.00",
        *TOTALS,
    )
    for at, line in enumerate(lines):
        write_line(pdf, 20 + 6 * at, line)
    pdf.output(str(tmp_path / "paper.pdf"))

    assert told(read(tmp_path / "paper.pdf", said)) == [
        (3, "Laminating resin", "6", "42.00", "252.00", None),
        (4, "Mat 450 g", "2", "1,100.00", "2,200.00", None),
    ]


def test_a_label_beside_or_before_its_colon(tmp_path):
    said = MAPPING.replace("find =", "# find =") + (
        '[labels]\n"Invoice no" = { column = "document_no", cell = "same" }\n'
        '"Date" = { column = "document_on", cell = "same" }\n"Order" = "order_no"\n'
    )
    pdf = tmp_path / "paper.pdf"
    write_invoice(pdf, titles=(*TITLES, "Order     4711"))

    assert told(read(pdf, said), "document_no", "document_on", "order_no")[0] == (
        "PF-1071", "12/03/2025", "4711",
    )  # fmt: skip


def test_a_paper_that_does_not_say_its_number(tmp_path):
    file = read(write_invoice(tmp_path / "paper.pdf", titles=("Peatmoor Factors",)))

    assert why(file) == "the PDF does not say document_no and document_on"
    assert file.faults[0].sort is FaultSort.COLUMN_MISSING


def test_decimal_commas(tmp_path):
    comma = [tuple(c.translate(str.maketrans(",.", ".,")) for c in row) for row in (RESIN, MAT)]
    comma[0] = ("Laminating resin", *comma[0][1:])
    totals = [(name, amount.translate(str.maketrans(",.", ".,"))) for name, amount in TOTALS]
    path = write_invoice(tmp_path / "paper.pdf", comma, totals)
    said = MAPPING.replace('record = "purchases"', 'record = "purchases"\ndecimal_mark = ","')

    assert [row[3:5] for row in told(read(path, said))] == [
        ("42.00", "252.00"), ("1100.00", "2200.00"),
    ]  # fmt: skip


def test_text_written_twice_to_look_bold_counts_once(tmp_path):
    pdf = new_pdf()
    pdf.add_page()
    lines = (*TITLES, ("Description", "Qty", "Unit price", "Net"), RESIN, MAT, *TOTALS)
    for at, line in enumerate(lines):
        write_line(pdf, 20 + 6 * at, line)
        write_line(pdf, 20 + 6 * at, line, [(x + 0.1, side) for x, side in _columns()])
    pdf.output(str(tmp_path / "paper.pdf"))

    assert [row[4] for row in told(read(tmp_path / "paper.pdf"))] == ["252.00", "2,200.00"]


def _columns():
    return ((15, "L"), (115, "R"), (150, "R"), (185, "R"))


def test_turned_text_is_passed_over_and_said(tmp_path):
    pdf = new_pdf()
    pdf.add_page()
    lines = (*TITLES, ("Description", "Qty", "Unit price", "Net"), RESIN, MAT, *TOTALS)
    for at, line in enumerate(lines):
        write_line(pdf, 20 + 6 * at, line)
    with pdf.rotation(90, x=200, y=200):
        pdf.text(200, 200, "registered in the valley")
    pdf.output(str(tmp_path / "paper.pdf"))
    file = read(tmp_path / "paper.pdf")

    assert len(rows(file)) == 2
    assert "is turned or drawn" in file.notes[0]


def test_a_pdf_that_no_mapping_fits_is_kept_to_type_in(tmp_path):
    file = read(write_invoice(tmp_path / "paper.pdf"), said=None)

    assert why(file) == "a PDF that no mapping fits, which is kept but not read"
    assert file.faults[0].sort is FaultSort.TO_TYPE_IN


def test_a_mapping_for_another_kind_is_not_stretched(tmp_path):
    table = (
        'name = "lists"\nfiles = ["*"]\nkind = "table"\nrecord = "purchases"\nheader = ["No"]\n'
        '[columns]\n"No" = "document_no"'
    )
    assert 'the mapping "lists" fits' in why(read(write_invoice(tmp_path / "a.pdf"), table))

    (tmp_path / "list.csv").write_text("Description,Qty,Net\nresin,1,2.00", encoding="utf-8")
    file = read(tmp_path / "list.csv", MAPPING.replace("*.pdf", "*"))
    assert why(file) == 'the mapping "peatmoor" fits this file\'s name, and is for PDFs'


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('total = "Total to pay"', "", '"proof.total" must be a text'),
        ('vat = "VAT*"', 'tax = "VAT*"', '"proof.tax" is not known'),
        ('record = "purchases"', 'record = "jobs"', '"record" must be one of purchases'),
        ("(?P<document_no>", "(?P<number>", 'names the column "number"'),
        ("[charges]", '[labels]\nNo = {column="document_no",cell="below"}\n[charges]', "right or"),
        ("header =", "lines = ['(?P<packs>.)']\nheader =", "headings, or lines in their place"),
    ],
)
def test_a_mapping_that_does_not_say_what_it_must(old, new, says):
    with pytest.raises(MappingError, match=r"peatmoor\.toml") as fault:
        parse_mapping(MAPPING.replace(old, new, 1), "peatmoor.toml", RECORDS)

    assert says in str(fault.value)
