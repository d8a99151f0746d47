"""Any invoice written as a PDF comes back to the penny, and one changed figure refuses it."""

from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.pdf_papers import write_invoice

MAPPING = parse_mapping(
    r"""
name = "paper"
files = ["*"]
kind = "pdf"
record = "purchases"
header = ["Description", "Qty", "Net"]
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
""",
    "paper.toml",
    RECORDS,
)
PENNY = Decimal("0.01")
LINES = st.lists(
    st.tuples(
        st.text("abcdefgh -,&/0123456789", min_size=1, max_size=30).filter(
            lambda text: text.strip() and "  " not in text and "," not in (text[0], text[-1])
        ),
        st.integers(1, 200),
        st.decimals(PENNY, 900, places=2),
    ),
    min_size=1,
    max_size=70,
)
COLUMNS = st.tuples(st.integers(100, 118), st.integers(138, 150), st.integers(175, 195)).map(
    lambda at: ((15, "L"), *((each, "R") for each in at))
)
MONEY = "{:,.2f}".format


def paper(lines, change=None):
    """Return the rows and totals of an invoice; `change` alters one figure by a penny."""
    nets = [packs * price for _, packs, price in lines]
    net = sum(nets, Decimal(0))
    vat = (net / 5).quantize(PENNY)
    told = [*nets, net, vat, net + vat]
    if change is not None:
        told[change % len(told)] += PENNY
    rows = [
        (words.strip(), str(packs), MONEY(price), MONEY(shown))
        for (words, packs, price), shown in zip(lines, told, strict=False)
    ]
    labels = ("Goods", "VAT 20 %", "Total to pay")
    return rows, list(zip(labels, map(MONEY, told[len(lines) :]), strict=True))


def read(rows, totals, rows_a_page=40, columns=None):
    with TemporaryDirectory() as folder:
        path = Path(folder) / "paper.pdf"
        more = {"columns_mm": columns} if columns else {}
        write_invoice(path, rows, totals, rows_a_page=rows_a_page, **more)
        return read_file(path, "paper.pdf", [MAPPING], RECORDS)


@given(LINES, st.integers(1, 40), COLUMNS)
@settings(max_examples=25)
def test_it_comes_back_as_it_was_written(lines, rows_a_page, columns):
    rows, totals = paper(lines)
    file = read(rows, totals, rows_a_page, columns)

    assert file.faults == ()
    (sheet,) = file.sheets
    frame = sheet.rows["purchases"]
    names = ("description", "packs", "pack_price_gbp", "line_net_gbp")
    assert [
        tuple("".join((cell or "").split()) for cell in row) for row in frame.select(names).rows()
    ] == [tuple("".join(cell.split()) for cell in row) for row in rows]
    assert sheet.units_counted == frame.height + len(sheet.skipped)


@given(LINES, st.integers(0, 1_000))
@settings(max_examples=15)
def test_a_penny_anywhere_and_nothing_of_it_is_taken(lines, change):
    file = read(*paper(lines, change))

    assert file.sheets == ()
    assert "come to" in file.faults[0].why
