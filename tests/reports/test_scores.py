"""What the estimator reads of suggestions on past jobs, better, worse and not known."""

import pytest

from reports import scores
from tests.support.page_frames import frame_of

NO_BREAK = "\u00a0"


def section(*errors_of_all: float):
    rows = [
        ("all", True, 12, 262, 96, *errors_of_all, -0.4, -3.1, 0.84, 0.41),
        ("resin", False, 12, 96, 96, *errors_of_all, -2.1, -6.6, 0.71, None),
    ]
    return scores.make_section({"page.score": frame_of("page.score", rows)})


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
    found = scores.make_section({"page.score": frame_of("page.score", [])})

    assert found.finding.startswith("We cannot say yet: ")
    assert found.figure is None
