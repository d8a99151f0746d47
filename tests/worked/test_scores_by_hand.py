"""Arithmetic: scores of suggestions on past jobs that can be worked out by hand."""

from datetime import date
from decimal import Decimal

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.allowances.held_out import AS_SUGGESTED, FLAT_TENTH, ONE_RATIO, foretell_month
from pipelines.allowances.scores import score_suggestions

MAY, MONTH_END = date(2026, 5, 1), date(2026, 5, 31)
PRICES = pl.DataFrame(
    {
        "material": ["resin", "resin"],
        "from_on": [date(2025, 1, 1), date(2026, 5, 15)],
        "price_gbp": [Decimal("3.00"), Decimal("4.00")],
    }
)

Line = tuple[date, float, float]


def jobs(*lines: Line, material: str = "resin", kind: str = "resin") -> pl.DataFrame:
    """Lay out jobs as finished on, base, used."""
    return pl.DataFrame(
        {
            "material": material,
            "kind": kind,
            "base_unit": "kg",
            "job_ref": [f"2026-{number:03}" for number in range(len(lines))],
            "job_type": "garage",
            "completed_on": [finished for finished, _, _ in lines],
            "base_quantity": [float(base) for _, base, _ in lines],
            "used_quantity": [float(used) for _, _, used in lines],
        }
    )


# eight jobs of 10, 20 and 40 kg that used 2 kg a job and a tenth of the base, without scatter
BEFORE = [(date(2026, 3, 1 + n), base, 2 + 1.1 * base) for n, base in enumerate([10, 20, 40] * 3)]
# 9 jobs, base 210, used 18 + 231 = 249: one ratio 39 / 210
LATER = [(date(2026, 5, 4), 30.0, 36.0), (date(2026, 5, 20), 10.0, 12.0)]


def score(lines: pl.DataFrame, prices: pl.DataFrame = PRICES) -> dict[tuple[str, str], dict]:
    found = score_suggestions(lines, prices, MONTH_END, 0.85, ["garage"])
    return {(row["material"], row["method"]): row for row in found.iter_rows(named=True)}


def test_a_month_is_charged_what_the_jobs_before_it_say():
    foretold = foretell_month(jobs(*BEFORE, *LATER), MAY, 0.85, ["garage"])

    charged = {
        method: foretold.filter(method=method)["charged_quantity"].to_list()
        for method in (AS_SUGGESTED, FLAT_TENTH, ONE_RATIO)
    }
    assert charged == {
        AS_SUGGESTED: pytest.approx([35.0, 13.0], abs=0.001),
        FLAT_TENTH: pytest.approx([33.0, 11.0]),
        ONE_RATIO: pytest.approx([30 * 249 / 210, 10 * 249 / 210], abs=0.001),
    }


def test_misses_are_priced_on_the_day_and_counted_without_their_sign():
    found = score(jobs(*BEFORE, *LATER))

    suggested = found["resin", AS_SUGGESTED]
    # 1 kg too little at 3.00, 1 kg too much at the 4.00 that stands from the 15th
    assert suggested["cost_error_gbp"] == Decimal("7.00")
    assert suggested["mean_error_gbp"] == Decimal("0.50")
    # 3 kg at 3.00 and 1 kg at 4.00, both too little
    assert found["resin", FLAT_TENTH]["cost_error_gbp"] == Decimal("13.00")
    assert found["resin", FLAT_TENTH]["mean_error_gbp"] == Decimal("-6.50")
    # 35.571 - 36 at 3.00 and 11.857 - 12 at 4.00, each rounded to the penny: 1.29 and 0.57
    assert found["resin", ONE_RATIO]["cost_error_gbp"] == Decimal("1.86")
    assert found["all", AS_SUGGESTED]["line_count"] == 2


def test_a_job_is_covered_only_where_all_its_materials_are():
    resin = jobs(*BEFORE, *LATER)
    coat_used = [*(2 + 1.1 * base for _, base, _ in BEFORE), 20.0, 14.0]
    coat = resin.with_columns(
        material=pl.lit("topcoat"), kind=pl.lit("topcoat"), used_quantity=pl.Series(coat_used)
    )
    prices = pl.concat([PRICES, PRICES.with_columns(material=pl.lit("topcoat"))])

    found = score(pl.concat([resin, coat]), prices)

    # loads are 35 and 13: resin falls short on the first job, topcoat on the second
    assert found["resin", AS_SUGGESTED]["covered_line_ratio"] == 0.5
    assert found["resin", AS_SUGGESTED]["covered_job_ratio"] is None
    assert found["all", AS_SUGGESTED]["covered_line_ratio"] == 0.5
    assert found["all", AS_SUGGESTED]["covered_job_ratio"] == 0.0
    assert found["all", AS_SUGGESTED]["job_count"] == 2


def test_seven_jobs_before_a_month_score_nothing():
    assert score(jobs(*BEFORE[:7], *LATER)) == {}


def test_jobs_of_the_month_do_not_make_up_the_eight():
    lines = jobs(*BEFORE[:7], *LATER, (date(2026, 5, 25), 20.0, 24.0))

    assert score(lines) == {}


def test_jobs_after_the_last_full_month_and_before_the_year_are_not_scored():
    old = [(date(2025, 1, 1 + n), base, used) for n, (_, base, used) in enumerate(BEFORE)]
    lines = jobs(*old, (date(2025, 5, 31), 30.0, 36.0), (date(2026, 6, 1), 30.0, 36.0))

    assert score(lines) == {}


def test_a_line_without_a_price_is_not_scored():
    assert score(jobs(*BEFORE, *LATER, material="roof resin"), PRICES) == {}


def test_a_suggestion_below_what_a_sound_roof_holds_is_not_scored():
    short = [(finished, base, 0.9 * base) for finished, base, _ in BEFORE]

    assert score(jobs(*short, *LATER)) == {}


@settings(max_examples=20, deadline=None)
@given(used=st.lists(st.floats(1, 500), min_size=2, max_size=2), later=st.floats(1, 500))
def test_no_use_of_a_month_or_after_changes_what_was_foretold_of_it(used, later):
    bases = [(date(2026, 5, 4), 30.0), (date(2026, 5, 20), 10.0)]
    changed = [(*line, amount) for line, amount in zip(bases, used, strict=True)]
    after = (date(2026, 6, 3), 25.0, later)

    foretold = foretell_month(jobs(*BEFORE, *changed, after), MAY, 0.85, ["garage"])

    usual = foretell_month(
        jobs(*BEFORE, *LATER, (date(2026, 6, 3), 25.0, 29.0)), MAY, 0.85, ["garage"]
    )
    assert foretold.equals(usual)


def test_a_use_before_the_month_does_change_it():
    higher = [(finished, base, 1.2 * used) for finished, base, used in BEFORE]

    foretold, usual = (
        foretell_month(jobs(*before, *LATER), MAY, 0.85, ["garage"]) for before in (higher, BEFORE)
    )

    by_tenth = foretold["method"] == FLAT_TENTH
    assert (foretold["charged_quantity"] > usual["charged_quantity"]).to_list() == (
        ~by_tenth
    ).to_list()
