"""Use that only counts tell, shared out over jobs by hand."""

from datetime import date
from decimal import Decimal

import polars as pl

from pipelines.stock.shared_use import share_out, share_use

MONTH_ENDS = [date(2026, month, 28) for month in range(1, 7)]


def _spans(*used, has_issue_records=False):
    return pl.DataFrame(
        [
            {
                "material": "primer",
                "base_unit": "kg",
                "from_on": MONTH_ENDS[at],
                "to_on": MONTH_ENDS[at + 1],
                "difference_quantity": Decimal(quantity),
                "opening_variance": 0.01,
                "closing_variance": 0.01,
                "has_issue_records": has_issue_records,
            }
            for at, quantity in enumerate(used)
        ],
        schema_overrides={"difference_quantity": pl.Decimal(18, 3)},
    )


def _needs(*rows):
    schema = {
        "material": pl.String,
        "job_ref": pl.String,
        "completed_on": pl.Date,
        "base_quantity": pl.Float64,
    }
    return pl.DataFrame([("primer", *row) for row in rows], schema=schema, orient="row")


ONE_A_MONTH = [(f"2026-00{at + 1}", date(2026, at + 2, 10), 10.0) for at in range(4)]


def test_a_span_is_shared_in_proportion_to_base_and_adds_up_to_it():
    needs = _needs(
        ("2026-001", date(2026, 2, 3), 2.0),
        ("2026-002", date(2026, 2, 28), 4.0),
        ("2026-003", date(2026, 1, 28), 9.0),
    )

    shared = share_use(_spans("7"), needs).job

    # the job of the 28th of January is before the count, that of the 28th of February in
    assert shared.select("job_ref", "shared_quantity").rows() == [
        ("2026-001", Decimal("2.333")),
        ("2026-002", Decimal("4.667")),
    ]
    assert set(shared["label"]) == {"shared out, not measured"}


def test_shares_add_up_to_the_thousandth():
    shares = share_out(Decimal("1.000"), [1.0] * 7)

    assert sum(shares) == Decimal("1.000")
    assert set(shares) == {Decimal("0.142"), Decimal("0.143")}


def test_the_ratio_is_what_was_used_on_top_of_the_base():
    found = share_use(_spans("11", "11", "11", "11"), _needs(*ONE_A_MONTH)).material

    assert found.select("period_count", "job_count").rows() == [(4, 4)]
    assert abs(found["use_ratio"][0] - 0.1) < 1e-9
    assert found["label"].to_list() == ["shared out, not measured"]


def test_three_spans_are_too_few_for_a_ratio_but_are_shared():
    found = share_use(_spans("11", "11", "11"), _needs(*ONE_A_MONTH[:3]))

    assert found.material["use_ratio"].to_list() == [None]
    assert "3 spans" in found.material["note"][0]
    assert len(found.job) == 3


def test_a_span_with_a_job_of_unknown_need_is_neither_shared_nor_fitted():
    needs = _needs(*ONE_A_MONTH, ("2026-009", date(2026, 3, 11), None))

    found = share_use(_spans("11", "11", "11", "11"), needs)

    assert found.material["period_count"].to_list() == [3]
    assert "2026-002" not in found.job["job_ref"].to_list()


def test_materials_that_jobs_book_are_never_shared_out():
    found = share_use(_spans("11", has_issue_records=True), _needs(*ONE_A_MONTH))

    assert found.material.is_empty()
    assert found.job.is_empty()
