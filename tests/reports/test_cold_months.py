"""What the estimator's page says of cold months, and that it says nothing unless they are named."""

import polars as pl

from reports import cold_months, estimator
from tests.support.page_frames import STATES


def shown(rows):
    page = estimator.build({**STATES["full"](), "page.cold_month": rows})
    return [section for section in page.sections if section.question == cold_months.QUESTION]


def test_no_section_where_no_month_is_called_cold():
    assert shown(STATES["full"]()["page.cold_month"].clear()) == []


def test_what_past_jobs_bear_out_is_said_and_nothing_is_added_by_itself():
    (section,) = shown(STATES["full"]()["page.cold_month"])

    assert section.finding.startswith("Resin takes about 4 in 100 of the need more")
    assert [row[3].replace("\u00a0", " ") for row in section.folded[0].rows] == [
        "+4 % of the need",
        "too few jobs",
    ]
    assert "nothing is added by itself" in section.notes[0]
    assert "product data sheet" in section.notes[0]


def test_what_they_do_not_bear_out_is_not_told():
    rows = STATES["full"]()["page.cold_month"].with_columns(is_told=pl.lit(value=False))
    (section,) = shown(rows)

    assert section.finding == "There is no difference that the jobs can show."


def test_several_materials_and_one_that_takes_less_are_said_in_few_words():
    rows = STATES["full"]()["page.cold_month"]
    less = rows.with_columns(cold_ratio=-pl.col("cold_ratio"))
    both = rows.with_columns(is_told=pl.lit(value=True))

    (section,) = shown(less)
    assert (
        section.finding
        == "Resin takes about 4 in 100 of the need less in cold months than in warm."
    )
    (section,) = shown(both)
    assert section.finding.startswith("Two materials take more or less in cold months")
