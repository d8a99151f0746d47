"""Blank workbooks read back, and the data dictionary."""

from pathlib import Path

import openpyxl
import pytest

from reports.dictionary import write_dictionary
from reports.templates import write_blank_workbooks
from schemas.records import RECORDS
from schemas.vocabulary import KINDS, WORKS


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("blank")
    paths = write_blank_workbooks(folder)
    assert [path.stem for path in paths] == list(RECORDS)
    return folder


@pytest.mark.parametrize("name", RECORDS)
def test_a_blank_workbook_names_every_column_and_hints_at_each(folder: Path, name: str) -> None:
    record = RECORDS[name]
    sheet = openpyxl.load_workbook(folder / f"{name}.xlsx")[name]
    assert [cell.value for cell in sheet[2]] == list(record.columns)
    assert all(cell.value for cell in sheet[1])
    required = [head.value for hint, head in zip(sheet[1], sheet[2], strict=True)
                if str(hint.value).startswith("Required. ")]  # fmt: skip
    assert required == list(record.required)
    assert sheet.freeze_panes == "A3"
    assert sheet.max_row == 2


def test_closed_lists_are_offered_in_a_drop_down(folder: Path) -> None:
    book = openpyxl.load_workbook(folder / "jobs.xlsx")
    offered = {
        str(rule.sqref): rule.formula1 for rule in book["jobs"].data_validations.dataValidation
    }
    column = openpyxl.utils.get_column_letter(RECORDS["jobs"].columns.index("work") + 1)
    assert offered[f"{column}3:{column}5001"] == "list_of_work"
    place = book.defined_names["list_of_work"].attr_text
    letters = place.split("!")[1].replace("$", "")
    assert tuple(cell[0].value for cell in book["lists"][letters]) == WORKS


def test_the_dictionary_describes_every_column_of_every_record() -> None:
    text = write_dictionary()
    for record in RECORDS.values():
        part = text.split(f"\n## {record.name}\n")[1].split("\n## ")[0]
        listed = [line.split("`")[1] for line in part.splitlines() if line.startswith("| `")]
        assert listed == list(record.columns)


def test_the_dictionary_gives_limits_with_their_source() -> None:
    lines = write_dictionary().splitlines()
    mat = next(line for line in lines if line.startswith("| `g_per_m2`"))
    assert "| g per m² | 50 to 2000 | mats of 225 to 900 g/m2 are sold" in mat
    kind = next(line for line in lines if line.startswith("| `kind`"))
    assert f"| yes | text |  | {', '.join(KINDS)} |" in kind
