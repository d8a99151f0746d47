"""Sizes that no record gave, beside what is cut by them."""

import pytest

from reports import buyer, estimator
from tests.support.page_frames import STATES

SAID = (
    "Default, not yours: drip trim (length 3000 mm, overlap 50 mm). The materials record takes "
    "your own."
)


@pytest.mark.parametrize(
    ("page", "question"), [(buyer, "What is booked?"), (estimator, "Where did the trim go?")]
)
def test_a_default_size_is_marked_where_something_is_cut_by_it(page, question):
    frames = STATES["full"]()
    (section,) = [each for each in page.build(frames).sections if each.question == question]
    assert SAID in section.notes

    own = {**frames, "page.default_size": frames["page.default_size"].clear()}
    (section,) = [each for each in page.build(own).sections if each.question == question]
    assert not [note for note in section.notes if note.startswith("Default")]
