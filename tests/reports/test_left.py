"""What is left, and what is not in it."""

import polars as pl

from reports import owner
from reports.page import Section
from tests.support.page_frames import STATES


def _section(question: str) -> Section:
    sections = owner.build(STATES["full"]()).sections
    (found,) = [each for each in sections if each.question == question]
    return found


def test_materials_without_a_price_are_said_beside_what_a_type_left() -> None:
    section = _section("Which job types fall short?")
    assert section.figure is not None
    left = {row[0]: row[5] for row in section.figure.twin.rows}

    assert left["bay"] == "£3,078; 2\u00a0materials without a price are not in it"
    assert left["dormer"] == "£8,585"
    assert section.notes[-1].endswith("so that less is left: bays (2).")


def test_months_with_materials_without_a_price_are_named() -> None:
    section = _section("Is what is left holding?")

    assert section.notes[-1].endswith("so that less is left: February\u00a02026 (3).")


def test_where_only_a_rate_of_vat_is_missing_it_is_the_rate_that_is_asked_for() -> None:
    frames = STATES["full"]()
    frames["page.left_by_job_type"] = frames["page.left_by_job_type"].head(0)
    frames["page.firm"] = frames["page.firm"].with_columns(
        bears_vat=pl.lit(value=True), vat_unknown_count=pl.lit(27)
    )

    page = owner.build(frames)
    section = page.sections[0]

    assert "27\u00a0jobs finished lately a material's rate of VAT is not known" in section.finding
    assert section.action is not None
    assert section.action.heading == "Hand in rates of VAT"
    assert page.beside[-1] == "Money ex VAT; what is left bears the VAT you pay"
