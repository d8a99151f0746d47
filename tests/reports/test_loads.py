"""What the estimator reads of how sure the loads are, and of the trips that were made."""

import pytest

from reports import loads
from tests.support.page_frames import frame_of

NO_BREAK = "\u00a0"
TRIPS = (84, 11, "resin", 6)
NO_TRIPS = (0, 0, None, None)


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        (
            ("share of jobs with a second trip", 0.9731, 0.1, 0.912, 110, None),
            (
                "You set 10 in 100 jobs for a second trip, so every material is loaded to last on "
                "97 in 100 jobs; of 110 past jobs everything would have lasted on 91 in 100."
            ),
        ),
        (
            ("cost of a trip and of a surplus", 0.95, None, 0.8, 110, 9.5),
            (
                "By what you say a trip and a surplus cost, every material is loaded to last on "
                "95 in 100 jobs; of 110 past jobs everything would have lasted on 80 in 100."
            ),
        ),
        (
            ("set for each material", 0.85, None, None, 0, None),
            "As it is set for each material, every material is loaded to last on 85 in 100 jobs.",
        ),
    ],
)
def test_the_setting_is_said_with_what_it_comes_to(setting, says):
    rows = [(*setting, *NO_TRIPS)]
    notes = loads.list_notes({"page.load_setting": frame_of("page.load_setting", rows)})

    assert [note.replace(NO_BREAK, " ") for note in notes] == [says]


def test_recorded_trips_stand_beside_it():
    rows = [("set for each material", 0.85, None, 0.35, 110, None, *TRIPS)]
    notes = loads.list_notes({"page.load_setting": frame_of("page.load_setting", rows)})

    assert notes[1].replace(NO_BREAK, " ") == (
        "Of 84 jobs in twelve months whose card tells it, the van went twice on 11, most often for "
        "resin."
    )
