"""What the estimator's page says of the vans, and that it says nothing unless asked."""

import polars as pl

from reports import crews, estimator
from tests.support.page_frames import STATES


def shown(frames):
    page = estimator.build(frames)
    return [section for section in page.sections if section.question == crews.QUESTION]


def with_vans(rows):
    return {**STATES["full"](), "page.crew": rows}


def test_no_section_where_nobody_asked():
    assert shown(with_vans(STATES["full"]()["page.crew"].clear())) == []


def test_vans_stand_by_name_under_a_notice_with_no_money_and_no_order_of_rank():
    (section,) = shown(STATES["full"]())
    (table,) = section.folded

    assert section.finding.startswith("In resin the vans differ beyond chance")
    assert [row[1] for row in table.rows] == ["first van", "second van"] * 2
    assert [row[-1] for row in table.rows] == ["yes", "yes", "no", "no"]
    assert table.rows[0][3].replace("\u00a0", " ") == "\u22121 % of the need"
    said = " ".join(section.notes)
    assert "says nothing of a person" in said
    assert "Tell the crews first" in said
    assert "Roofs differ" in said
    assert "£" not in said + section.finding + str(table.rows)
    assert not section.is_printed


def test_where_what_is_believed_overlaps_the_finding_says_so():
    rows = STATES["full"]()["page.crew"].with_columns(is_apart=pl.lit(value=False))
    (section,) = shown(with_vans(rows))

    assert section.finding == "The vans do not differ beyond chance."


def test_too_few_jobs_leave_the_notice_and_no_table():
    rows = STATES["full"]()["page.crew"].head(2).with_columns(material=pl.lit(None, pl.String))
    (section,) = shown(with_vans(rows))

    assert section.finding.startswith("We cannot say yet")
    assert section.folded == ()
    assert "Tell the crews first" in section.notes[0]
