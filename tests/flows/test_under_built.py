"""A roof that holds less than its lay-up can: asked about, set aside, and lowering nothing."""

from datetime import date, timedelta

import pytest

from tests.slow.worked_out import work_out
from tests.support.small_firm import make_firm

WANTED = ("page.set_aside", "result.fit", "result.fit_rate", "result.proposal")
VAN, BARE = "2026-099", "2026-098"
FIRST_ON = date(2026, 1, 5)
SOUND = [
    line
    for at, area in enumerate([9, 14, 18, 21, 25, 30] * 4, start=1)
    for line in (
        (f"2026-{at:03}", area, "resin", "kg", round(1.42 * area + 1.5 + (at % 5 - 2) * 0.3, 1)),
        (f"2026-{at:03}", area, "mat 450", "m2", round((1.14 + at % 4 / 100) * area, 2)),
    )
]
THIN = [(VAN, 21, "resin", "kg", 16.5), (BARE, 21, "mat 450", "m2", 20.2)]


def _work_out(root, lines):
    areas = {job: area for job, area, *_ in lines}
    jobs = [
        f"{job},{'porch' if at % 3 == 0 else 'garage'},{FIRST_ON + timedelta(at)},{area}"
        for at, (job, area) in enumerate(areas.items())
    ]
    cards = [f"{job},{material},{unit},{used},weighed" for job, _, material, unit, used in lines]
    make_firm(
        root,
        {
            "jobs.csv": "\n".join(["job_ref,job_type,completed_on,measured_area_m2", *jobs]),
            "job_materials.csv": "\n".join(["job_ref,material,unit,issued_quantity,how", *cards]),
        },
    )
    return work_out(root, WANTED)


@pytest.fixture(scope="module")
def both(tmp_path_factory):
    return (
        _work_out(tmp_path_factory.mktemp("thin") / "firm", [*SOUND, *THIN]),
        _work_out(tmp_path_factory.mktemp("sound") / "firm", SOUND),
    )


def test_a_van_that_uses_16_5_kg_on_21_square_metres_of_single_450_mat_is_asked_about(both):
    thin, sound = both
    reasons = {
        (row["job_ref"], row["material"]): row["reason"]
        for row in thin["page.set_aside"].to_dicts()
    }

    # 450 g of glass in a laminate of which 30 in 100 are glass: 1.05 kg of resin, 22.05 kg on 21
    assert reasons[VAN, "resin"] == (
        "may be under-built: 16.500 kg recorded, a sound roof of 21.000 m² holds at least 22.1: "
        "look at the roof, check the record"
    )
    assert reasons[BARE, "mat 450"].startswith("may be under-built: 20.200 m²")
    assert len(reasons) == 2
    assert sound["page.set_aside"].is_empty()


def test_it_lowers_nothing(both):
    thin, sound = both

    assert sound["result.fit"].height == 2
    assert thin["result.fit"].equals(sound["result.fit"])
    assert thin["result.fit_rate"].equals(sound["result.fit_rate"])
    told = ["held_back_count", "sentence"]
    assert thin["result.proposal"].drop(told).equals(sound["result.proposal"].drop(told))
    assert sorted(thin["result.proposal"]["held_back_count"]) == [0, 0, 1, 1]
