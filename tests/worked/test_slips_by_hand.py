"""Common practice and arithmetic: uses that a unit or a point has slipped in, and ones that not."""

from datetime import date, timedelta

import polars as pl
import pytest

from pipelines.calibration.gates import find_slips

AS_OF = date(2026, 6, 1)

# used over base of twenty ordinary jobs: middle 1.20, half of them within 0.06 of it, so that a
# scatter is 1.4826 x ln(1.26 / 1.20), about 0.072, and six of them a use of 1.85 or 0.78
ORDINARY = [1.20 + 0.012 * step for step in range(-10, 11) if step]


def lines(
    ratios, *, kind="resin", unit="kg", base=20.0, lump=0.0, pack=None, finished=date(2026, 1, 1)
):
    """Lay out jobs of one material by what they used over their base."""
    return pl.DataFrame(
        {
            "material": kind,
            "kind": kind,
            "base_unit": unit,
            "job_ref": [f"2026-{number:03}" for number in range(len(ratios))],
            "completed_on": [finished + timedelta(number) for number in range(len(ratios))],
            "base_quantity": [base] * len(ratios),
            "used_quantity": [base * ratio for ratio in ratios],
            "pack_quantity": pl.Series([pack] * len(ratios), dtype=pl.Float64),
            "lump_quantity": [lump] * len(ratios),
        }
    )


@pytest.mark.parametrize("factor", [3, 10, 100, 1000, 1 / 3, 1 / 10, 1 / 100, 1 / 1000])
def test_a_factor_is_named(factor):
    (slip,) = find_slips(lines([*ORDINARY, 1.22 * factor]), AS_OF).rows(named=True)

    assert slip["job_ref"] == "2026-020"
    assert slip["likely_factor"] == pytest.approx(factor)
    assert slip["usual_quantity"] == pytest.approx(24.0, abs=0.3)


def test_a_whole_pack_is_named():
    (slip,) = find_slips(lines([*[1.2] * 21, 1.2 * 25], pack=25.0), AS_OF).rows(named=True)

    assert slip["likely_factor"] == 25.0
    assert slip["reason"] == (
        "600.0 kg recorded where a job of this size uses about 24.0: looks like 25 times as much, "
        "packs and what they hold mixed up; check the paper"
    )


@pytest.mark.parametrize(
    ("asked", "factor", "said"),
    [
        ({}, 1000, "1000 times as much, grams taken for kilograms"),
        ({}, 0.1, "10 times too little, a point one place off"),
        ({"kind": "solvent", "unit": "l"}, 1000, "millilitres taken for litres"),
        ({"kind": "trim", "unit": "m", "pack": 3.0}, 1 / 3, "lengths and metres mixed up"),
    ],
)
def test_what_may_have_happened_is_said(asked, factor, said):
    (slip,) = find_slips(lines([*[1.2] * 21, 1.2 * factor], **asked), AS_OF).rows(named=True)

    assert said in slip["reason"]


def test_what_is_like_no_factor_is_held_without_one():
    (slip,) = find_slips(lines([*ORDINARY, 1.2 * 5]), AS_OF).rows(named=True)

    assert slip["likely_factor"] is None
    assert "check what was taken and brought back" in slip["reason"]


def test_ordinary_bad_jobs_stay():
    assert find_slips(lines([*ORDINARY, 1.80, 0.80]), AS_OF).is_empty()


def test_no_scatter_at_all_is_taken_as_three_hundredths():
    # six times 0.03 is ln 1.197
    assert find_slips(lines([1.0] * 20 + [1.19]), AS_OF).is_empty()
    assert find_slips(lines([1.0] * 20 + [1.20]), AS_OF).height == 1


def test_one_length_more_than_three_is_no_slip():
    # 40 jobs use the three lengths of the plan, 15 four, 5 five; one says 300
    ratios = [1.0] * 40 + [4 / 3] * 15 + [5 / 3] * 5
    asked = {"kind": "trim", "unit": "m", "base": 9.0, "pack": 3.0}

    assert find_slips(lines(ratios, lump=3.0, **asked), AS_OF).is_empty()
    (slip,) = find_slips(lines([*ratios, 100.0], lump=3.0, **asked), AS_OF).rows(named=True)
    assert slip["likely_factor"] == 100
    # without the lump every job that opened one length more would have been set aside
    assert find_slips(lines(ratios, **asked), AS_OF).height == 20


def test_too_few_jobs_lately_say_nothing_of_what_is_usual():
    few = lines([*ORDINARY[:7], 120.0], finished=date(2026, 1, 1))

    assert find_slips(few.head(7), AS_OF).is_empty()
    assert find_slips(few, AS_OF).height == 1
    old = few.with_columns(completed_on=pl.col("completed_on") - pl.duration(days=1000))
    assert find_slips(old, AS_OF).is_empty()


def test_an_old_slip_is_held_against_what_is_usual_now():
    old = lines([12.0], finished=date(2020, 1, 1)).with_columns(job_ref=pl.lit("2020-001"))

    found = find_slips(pl.concat([lines(ORDINARY), old]), AS_OF)

    assert found["job_ref"].to_list() == ["2020-001"]


def test_order_and_unit_of_the_lines_change_nothing():
    jobs = lines([*ORDINARY, 12.0])
    grams = jobs.with_columns(pl.col("base_quantity", "used_quantity") * 1000)

    found = find_slips(jobs, AS_OF)

    assert find_slips(jobs.reverse(), AS_OF).equals(found)
    assert find_slips(grams, AS_OF)["likely_factor"].to_list() == found["likely_factor"].to_list()
