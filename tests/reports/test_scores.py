"""What the estimator reads of suggestions on past jobs, better, worse and not known."""

import pytest

from reports import scores
from tests.support.page_frames import frame_of

NO_BREAK = "\u00a0"


def section(*errors_of_all: float):
    rows = [
        ("all", True, 12, 262, 96, *cells(errors_of_all, 250), -0.4, -3.1, 0.84, 0.41),
        ("resin", False, 12, 96, 96, *cells(errors_of_all, 96), -2.1, -6.6, 0.71, None),
    ]
    return scores.make_section(
        {
            "page.score": frame_of("page.score", rows),
            "page.score_way": frame_of("page.score_way", WAYS),
            "page.load_setting": frame_of("page.load_setting", []),
        }
    )


def cells(errors: tuple[float, ...], allowed_line_count: int) -> tuple[float, ...]:
    """Lay out the errors as suggested, as allowed and beside it, a tenth on top, one ratio."""
    suggested, tenth, ratio = errors
    return (suggested, allowed_line_count, 1405.2, 901.4, tenth, ratio)


WAYS = [
    ("as suggested", 262, 0.0412, 0.0412, 940.1, 0.84, 0.41),
    ("as allowed", 250, 0.0884, 0.0408, None, 0.47, 0.01),
]


@pytest.mark.parametrize(
    ("errors", "finding"),
    [
        (
            (940.1, 1310.4, 1182.2),
            "On 96 past jobs the suggestions miss by £940, one figure for all job types by £1,182.",
        ),
        (
            (940.1, 1110.4, 1182.2),
            "On 96 past jobs the suggestions miss by £940, a tenth on top of the need by £1,110.",
        ),
        (
            (940.1, 1310.4, 915.2),
            (
                "On 96 past jobs the suggestions miss by £940, one figure for all job types "
                "by as much."
            ),
        ),
        (
            (940.1, 800.0, 1182.2),
            (
                "Not on 96 past jobs: the suggestions miss by £940, a tenth on top of the need "
                "only by £800."
            ),
        ),
    ],
)
def test_the_finding_names_the_plain_way_that_came_nearest(errors, finding):
    assert section(*errors).finding.replace(NO_BREAK, " ") == finding


def test_how_often_the_load_lasted_is_said_of_a_material_and_of_everything():
    notes = " ".join(section(940.1, 1310.4, 1182.2).notes)

    assert "a material lasted on 84 jobs in 100 and everything lasted on 41 in 100" in notes


def test_without_a_month_that_could_be_tried_it_says_what_is_missing():
    found = scores.make_section(
        {name: frame_of(name, []) for name in ("page.score", "page.score_way", "page.load_setting")}
    )

    assert found.finding.startswith("We cannot say yet: ")
    assert found.figure is None


def test_what_was_allowed_then_is_held_against_the_suggestions_on_the_same_lines():
    found = section(940.1, 1310.4, 1182.2)

    notes = " ".join(found.notes).replace(NO_BREAK, " ")
    assert (
        "On the 250 lines where we know what you allowed then, that missed by £1,405, the "
        "suggestions by £901." in notes
    )
    of_all, resin = found.figure.twin.rows
    assert (of_all[3], resin[3]) == ("", "£1,405")


def test_every_way_stands_in_the_folded_table_without_pounds_where_nothing_has_a_price():
    (table,) = section(940.1, 1310.4, 1182.2).folded

    said = [tuple(cell.replace(NO_BREAK, " ") for cell in row) for row in table.rows]
    assert said == [
        ("as suggested", "262 lines", "£940", "4.1", "4.1", "84 in 100", "41 in 100"),
        ("as you allowed then", "250 lines", "", "8.8", "4.1", "47 in 100", "1 in 100"),
    ]
