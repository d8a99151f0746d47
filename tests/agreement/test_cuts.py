"""What the split of trim finds, beside the lengths that the invented crews really cut."""

import csv
from collections import defaultdict
from pathlib import Path

import pytest

from tests.agreement.papers import FIRM

LENGTH_M = 3.0
NEARLY_A_LENGTH = 0.85


def _truth(name: str) -> list[dict[str, str]]:
    with Path(FIRM.parent / "truth" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def split(ask):
    found = ask(
        "SELECT job_ref, material, used_quantity, plan_quantity, beyond_plan_quantity, "
        "lap_quantity, unavoidable_quantity, avoidable_quantity, unexplained_quantity, "
        "net_quantity FROM comparison.cut_split WHERE kind = 'trim'",
        2,
    )
    names = ("used", "plan", "beyond", "lap", "unavoidable", "avoidable", "unexplained", "net")
    return {key: dict(zip(names, figures, strict=True)) for key, figures in found.items()}


def test_every_metre_that_was_used_is_in_one_part(split):
    for parts in split.values():
        rest = parts["beyond"]
        if parts["avoidable"] is not None:
            assert rest == parts["avoidable"] + parts["unexplained"]
        assert parts["used"] == parts["net"] + parts["lap"] + parts["unavoidable"] + rest


def test_what_went_beyond_the_plans_is_what_truly_went_beyond_them(split):
    used = defaultdict(float)
    for cut in _truth("cuts.csv"):
        key = cut["job_ref"], cut["material"]
        used[key] += (int(cut["length_mm"]) - int(cut["racked_mm"])) / 1000
    truly = sum(used[key] - float(parts["plan"]) for key, parts in split.items())
    found = sum(float(parts["beyond"]) for parts in split.values())

    assert truly > 40 * LENGTH_M
    assert found == pytest.approx(truly, abs=2 * LENGTH_M)


def test_every_spoilt_length_stands_out_on_its_job(split):
    spoilt = {(row["job_ref"], row["material"]) for row in _truth("spoilt.csv")} & split.keys()
    far = {key for key, parts in split.items() if parts["beyond"] >= NEARLY_A_LENGTH * LENGTH_M}

    assert len(spoilt) > 20
    assert spoilt <= far
    assert len(far) < 2 * len(spoilt)


def test_a_card_that_writes_down_what_was_binned_shows_a_spoilt_length_as_avoidable(split):
    spoilt = {(row["job_ref"], row["material"]) for row in _truth("spoilt.csv")}
    written = [
        parts for key, parts in split.items() if key in spoilt and parts["avoidable"] is not None
    ]

    assert len(written) > 10
    assert all(parts["avoidable"] > NEARLY_A_LENGTH * LENGTH_M for parts in written)
    assert all(abs(parts["unexplained"]) < 0.1 * LENGTH_M for parts in written)
