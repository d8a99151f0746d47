"""The workbook of decisions: one row each, nothing decided in it beforehand."""

from pathlib import Path

import openpyxl

from reports.decisions import write_decision_workbook
from schemas.records import RECORDS
from tests.support.page_frames import empty, full


def read(path: Path) -> list[dict[str, str | None]]:
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["read me", "decisions"]
    heads, *rows = book["decisions"].iter_rows(values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in rows]


def test_figures_stand_in_columns_of_their_own_and_no_decision_is_made(tmp_path: Path) -> None:
    offered, not_offered = read(write_decision_workbook(full(), tmp_path / "a.xlsx"))

    assert {name: value for name, value in offered.items() if value is not None} == {
        "material": "resin",
        "job_type": "dormer",
        "decided_on": "2026-06-01",
        "suggested_fixed_loss": "1.8",
        "suggested_price_ratio": "0.04",
        "suggested_load_ratio": "0.21",
        "in_force_fixed_loss": "1.2",
        "in_force_price_ratio": "0.1",
        "in_force_load_ratio": "0.2",
        "base unit": "kg",
        "in force since": "2026-01-05",
        "in words": "Dormers used more than all jobs.",
    }
    assert not_offered["suggested_fixed_loss"] is None
    assert not_offered["in_force_price_ratio"] == "0.066632"
    assert not_offered["in_force_fixed_loss"] == "0"
    assert not_offered["in_force_blend_ratio"] == "0.3"
    assert not_offered["in_force_piece_shift"] == "0.5"
    assert not_offered["in force since"] == "as quoted"


def test_every_column_of_a_decision_is_there_with_the_words_to_choose_from(tmp_path: Path) -> None:
    path = write_decision_workbook(full(), tmp_path / "a.xlsx")
    sheet = openpyxl.load_workbook(path)["decisions"]
    (offer,) = sheet.data_validations.dataValidation

    assert set(RECORDS["decisions"].columns) < {cell.value for cell in sheet[1]}
    assert offer.formula1 == '"accept,keep,set"'
    assert str(offer.sqref) == "D2:D3"
    assert sheet["D1"].value == "decision"


def test_a_firm_with_nothing_to_decide_has_a_workbook_without_rows(tmp_path: Path) -> None:
    assert read(write_decision_workbook(empty(), tmp_path / "a.xlsx")) == []
