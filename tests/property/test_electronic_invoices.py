"""Electronic invoices: what holds for any document, and for any damage to one."""

import tempfile
from decimal import Decimal
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.receiving.reading import read_file
from schemas.records import RECORDS
from tests.support.cii_invoices import write_cii
from tests.support.electronic_invoices import Adjustment, Document, Line
from tests.support.ubl_invoices import write_ubl

AMOUNTS = st.decimals("-9999.99", "99999.99", places=2).map(str)
RATES = st.sampled_from(["20", "5", "0", "17.5"])
WORDS = st.text("abc <&>\"'£é,\n", min_size=1).filter(str.strip)
LINES = st.builds(
    Line,
    item=WORDS,
    quantity=st.decimals("-500", "500", places=3).map(str),
    unit=st.sampled_from(["KGM", "C62", "EA", "MTR", "XTN", "GRM", "ZZ"]),
    net=AMOUNTS,
    price=st.decimals("0", "500", places=4).map(str),
    base=st.sampled_from(["", "1", "100", "3"]),
    rate=RATES,
    words=st.just("") | WORDS,
    adjusted=st.booleans(),
)
ADJUSTMENTS = st.builds(
    Adjustment,
    amount=st.decimals("0", "500", places=2).map(str),
    reason=st.just("") | WORDS,
    code=st.sampled_from(["", "95", "FC"]),
    charge=st.booleans(),
    rate=RATES,
)
DOCUMENTS = st.builds(
    Document,
    lines=st.lists(LINES, min_size=1, max_size=5),
    adjustments=st.lists(ADJUSTMENTS, max_size=3),
    type_code=st.sampled_from(["380", "381"]),
    paid=st.sampled_from(["", "10.00"]),
    rounding=st.sampled_from(["", "0.00", "-0.03", "0.49"]),
)


def read(content):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "invoice.xml"
        path.write_bytes(content)
        return read_file(path, path.name, (), RECORDS)


@given(DOCUMENTS)
@settings(max_examples=60, deadline=None)
def test_both_syntaxes_agree_and_rows_come_to_the_stated_total(document):
    ubl, cii = (read(write(document).encode()) for write in (write_ubl, write_cii))
    ((sheet,), (other,)) = ubl.sheets, cii.sheets
    rows = sheet.rows["purchases"]

    assert rows.equals(other.rows["purchases"])
    assert sheet.units_counted == other.units_counted == rows.height
    if rows["fault"].null_count() == rows.height:
        stated = Decimal(document.totals()["BT-109"]) + Decimal(document.rounding or 0)
        sign = -1 if document.is_credit else 1
        assert sum(map(Decimal, rows["line_net_gbp"])) == sign * stated
    else:
        assert document.is_credit


SOUND = Document(
    lines=(Line("Resin", "2", "XTN", "84.00", "42.00"), Line("Mat", "34", "KGM", "93.50", "2.75")),
    adjustments=(Adjustment("5.00", "Loyal"), Adjustment("9.00", "Carriage", charge=True)),
    rounding="0.01",
)
CHANGES = st.lists(
    st.tuples(st.integers(0, 10_000), st.integers(0, 12), st.binary(max_size=6)),
    min_size=1,
    max_size=4,
)


@given(st.sampled_from([write_ubl, write_cii]), CHANGES)
@settings(max_examples=150, deadline=None)
def test_damage_is_told_or_counted_and_never_raises(write, changes):
    content = write(SOUND).encode()
    for at, length, put in changes:
        place = at % len(content)
        content = content[:place] + put + content[place + length :]
    file = read(content)

    assert bool(file.sheets) != bool(file.faults)
    for sheet in file.sheets:
        assert sheet.units_counted == sheet.rows["purchases"].height


@given(st.sampled_from([write_ubl, write_cii]), st.data())
@settings(max_examples=100, deadline=None)
def test_lines_moved_doubled_or_dropped_never_pass_with_another_sum(write, data):
    lines = write(SOUND).splitlines()
    at, to = (data.draw(st.integers(1, len(lines) - 2)) for _ in range(2))
    moved = data.draw(st.sampled_from(["move", "double", "drop"]))
    taken = lines[at]
    if moved != "double":
        del lines[at]
    if moved != "drop":
        lines.insert(to, taken)
    for sheet in read("\n".join(lines).encode()).sheets:
        rows = sheet.rows["purchases"]
        assert sheet.units_counted == rows.height
        if rows["fault"].null_count() == rows.height:
            assert sum(map(Decimal, rows["line_net_gbp"])) == Decimal("181.51")
