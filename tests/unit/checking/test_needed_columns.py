"""A column that is needed is filled by some row of its key, whichever it is."""

from datetime import date

from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

QUOTE = "job_ref|job_type|quoted_on\n2025-014|garage|2026-03-01"
CARD = "job_ref|completed_on\n2025-014|2026-03-20\n2025-015|2026-03-21"


def test_a_card_needs_no_job_type_where_the_quote_file_types_the_job() -> None:
    judged = Inbox().add("jobs", CARD).add("jobs", QUOTE).judge()["jobs"]

    assert outcomes(judged) == ["clean", "rejected", "clean"]
    assert reasons(judged) == ["job_type: is blank, and no other row of the same key fills it"]
    assert in_force(judged, "jobs", "job_ref", "job_type", "quoted_on", "completed_on") == [
        ("2025-014", "garage", date(2026, 3, 1), date(2026, 3, 20))
    ]


def test_what_only_a_rejected_row_fills_is_not_filled() -> None:
    quote = "job_ref|job_type|quoted_on\n2025-014|garage|31/02/2026"
    judged = Inbox().add("jobs", CARD).add("jobs", quote).judge()["jobs"]

    assert outcomes(judged) == ["rejected", "rejected", "rejected"]


def test_what_only_rows_that_contradict_each_other_fill_is_not_filled() -> None:
    inbox = Inbox().add("jobs", CARD).add("jobs", QUOTE)
    judged = inbox.add("jobs", QUOTE.replace("garage", "dormer")).judge()["jobs"]

    assert outcomes(judged) == ["rejected"] * 4
    assert judged.history.is_empty()


def test_none_cannot_empty_what_is_needed() -> None:
    emptying = "job_ref|job_type|crew\n2025-014|none|first van"
    judged = Inbox().add("jobs", QUOTE).next_batch().add("jobs", emptying).judge()["jobs"]

    assert reasons(judged) == ["job_type: is needed, and 'none' would empty it"]
    assert in_force(judged, "jobs", "job_type") == [("garage",)]


def test_a_key_is_needed_in_every_row() -> None:
    rows = "job_ref|job_type\n|garage"
    judged = Inbox().add("jobs", rows).judge()["jobs"]

    assert reasons(judged) == ["job_ref: is blank, and it is needed"]


def test_an_edge_that_the_quote_gave_needs_no_quoted_length_on_the_card() -> None:
    inbox = Inbox(jobs=["2025-014"])
    inbox.add("edges", "job_ref|edge_no|material|quoted_mm\n2025-014|1|drip trim|4200")
    inbox.add("edges", "job_ref|edge_no|material|fitted_mm\n2025-014|1|drip trim|4150")
    judged = inbox.judge()["edges"]

    assert in_force(judged, "edges", "quoted_mm", "fitted_mm") == [(4200, 4150)]


def test_a_day_is_needed_where_a_row_names_no_job() -> None:
    rows = """
        job_ref  | material  | length_mm | pieces | fate   | moved_on
                 | drip trim | 900       | 1      | racked |
                 | drip trim | 900       | 1      | racked | 2026-03-01
        2025-014 | drip trim | 900       | 1      | racked |
    """
    judged = Inbox(jobs=["2025-014"]).add("offcuts", rows).judge()["offcuts"]

    assert outcomes(judged) == ["rejected", "clean", "clean"]
    assert reasons(judged) == [
        "moved_on: is blank, and the row names no job: one of the two is needed"
    ]
