"""The workbook of invoices to type in, filled as a person does and read back."""

import re
from decimal import Decimal

import openpyxl
import pytest

from pipelines.receiving.reading import read_file
from reports.typing_in import CHECK, STATED, SUM, write_typing_workbook
from schemas.records import RECORDS

LINES = (
    ("Peatmoor", "1071", "2026-03-12", "Resin tin", 6, Decimal("252.00")),
    ("Peatmoor", "1071", "2026-03-12", "Mat roll", 2, Decimal("220.10")),
    ("Peatmoor", "1072", "2026-03-14", "Resin tin", 1, Decimal("42.00")),
)
TYPED = ("supplier", "document_no", "document_on", "description", "packs", "line_net_gbp")


@pytest.fixture
def workbook(tmp_path):
    return write_typing_workbook(tmp_path)


def heads(sheet):
    return [cell.value for cell in sheet[2]]


def test_its_columns_are_those_of_purchases_and_three_that_help(workbook):
    sheet = openpyxl.load_workbook(workbook)["purchases"]

    assert heads(sheet)[-3:] == [SUM, STATED, CHECK]
    assert set(heads(sheet)[:-3]) <= set(RECORDS["purchases"].columns)
    assert set(RECORDS["purchases"].required) <= set(heads(sheet))
    assert all(cell.value for cell in sheet[1])


def test_same_bytes_every_time(workbook, tmp_path):
    (tmp_path / "again").mkdir()

    assert write_typing_workbook(tmp_path / "again").read_bytes() == workbook.read_bytes()


def test_left_blank_it_says_nothing(workbook):
    file = read_file(workbook, workbook.name, (), RECORDS)

    assert file.faults == ()
    assert file.notes == ('sheet "read me" passed over',)
    (sheet,) = file.sheets
    assert sheet.rows["purchases"].is_empty()
    assert [row.why for row in sheet.skipped] == ["title", "heading"]
    assert sheet.units_counted == 2


def _work_out(sheet, formula):
    """Return what a formula of the workbook comes to: sums and the words around them."""

    def cells(span):
        first, last = span.replace("$", "").split(":")
        return [row[0].value for row in sheet[f"{first}:{last}"]]

    def sum_if(found):
        net, *tests = found[1].split(",")
        pairs = list(zip(tests[::2], tests[1::2], strict=True))
        picked = [
            amount
            for at, amount in enumerate(cells(net))
            if all(cells(span)[at] == sheet[own].value for span, own in pairs)
        ]
        return str(sum(amount for amount in picked if amount))

    blank = re.match(r'=IF\((\w+)="",', formula)
    if sheet[blank[1]].value in (None, ""):
        return " "
    told = re.sub(r"SUMIFS\(([^)]*)\)", sum_if, formula)
    check = re.search(r"ROUND\(([\d.]+)-(\w+),2\)=0", told)
    if check is None:
        return Decimal(re.search(r'"",([\d.]+)\)', told)[1])
    agrees = Decimal(check[1]) == Decimal(str(sheet[check[2]].value))
    return "agrees" if agrees else f"lines: {check[1]}"


def _fill(workbook, stated):
    """Type the lines, and work the formulas out as a spreadsheet does when it saves."""
    book = openpyxl.load_workbook(workbook)
    sheet = book["purchases"]
    places = {name: heads(sheet).index(name) + 1 for name in heads(sheet)}
    for row, line in enumerate(LINES, start=3):
        for name, value in zip(TYPED, line, strict=True):
            sheet.cell(row, places[name], value)
    for row, total in stated.items():
        sheet.cell(row, places[STATED], total)
    worked = {
        (cell.row, cell.column): _work_out(sheet, cell.value)
        for row in sheet.iter_rows(min_row=3)
        for cell in row
        if isinstance(cell.value, str) and cell.value.startswith("=")
    }
    for place, value in worked.items():
        sheet.cell(*place, value)
    book.save(workbook)
    return {(row, heads(sheet)[column - 1]): value for (row, column), value in worked.items()}


def test_it_adds_up_as_it_is_typed(workbook):
    shown = _fill(workbook, {3: Decimal("472.10"), 5: Decimal("42.10")})

    assert [shown[row, SUM] for row in (3, 4, 5)] == [
        Decimal("252.00"), Decimal("472.10"), Decimal("42.00"),
    ]  # fmt: skip
    assert shown[3, CHECK] == "agrees"
    assert shown[5, CHECK] == "lines: 42.00"
    assert shown[4, CHECK] == " "


def test_filled_in_it_comes_back_as_purchases(workbook):
    _fill(workbook, {3: Decimal("472.10")})
    file = read_file(workbook, workbook.name, (), RECORDS)

    assert file.faults == ()
    assert file.notes == ('sheet "read me" passed over',)
    (sheet,) = file.sheets
    assert [tuple(row[name] for name in TYPED) for row in sheet.rows["purchases"].to_dicts()] == [
        ("Peatmoor", "1071", "2026-03-12", "Resin tin", "6", "252"),
        ("Peatmoor", "1071", "2026-03-12", "Mat roll", "2", "220.1"),
        ("Peatmoor", "1072", "2026-03-14", "Resin tin", "1", "42"),
    ]
    assert sheet.units_counted == 5
