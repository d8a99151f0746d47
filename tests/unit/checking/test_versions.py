"""Keys, versions, blanks: what is in force after files come, come again, and contradict."""

from datetime import date
from decimal import Decimal

from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

PRICE = "job_ref|job_type|quoted_price_gbp|quoted_on\n2025-014|garage|{}|2026-03-01"


def price_in_force(inbox: Inbox) -> list[tuple[object, ...]]:
    """Return the prices in force."""
    return in_force(inbox.judge()["jobs"], "jobs", "quoted_price_gbp")


def test_a_blank_says_nothing_and_the_newest_filled_value_is_in_force() -> None:
    inbox = Inbox().add("jobs", "job_ref|job_type|crew|quoted_area_m2\n2025-014|garage|van|20")
    inbox.next_batch().add("jobs", "job_ref|crew|quoted_area_m2\n2025-014||21")
    judged = inbox.judge()["jobs"]

    assert in_force(judged, "jobs", "crew", "quoted_area_m2") == [("van", Decimal(21))]


def test_none_empties_one_column_and_no_other() -> None:
    inbox = Inbox().add("jobs", "job_ref|job_type|crew|quoted_area_m2\n2025-014|garage|van|20")
    inbox.next_batch().add("jobs", "job_ref|crew\n2025-014|None")
    judged = inbox.judge()["jobs"]

    assert in_force(judged, "jobs", "crew", "quoted_area_m2") == [(None, Decimal(20))]
    assert judged.history["emptied"].to_list() == [[], ["crew"]]


def test_a_blank_key_column_equals_itself() -> None:
    count = "counted_on|material|quantity|entry\n2026-03-31|resin|20|shelf"
    inbox = Inbox().add("stock_counts", count).next_batch()
    judged = inbox.add("stock_counts", count.replace("|20|", "|21|")).judge()["stock_counts"]

    assert in_force(judged, "stock_counts", "lot", "quantity") == [(None, Decimal(21))]


def test_free_text_that_differs_is_no_contradiction() -> None:
    inbox = Inbox().add("jobs", "job_ref|job_type|notes\n2025-014|garage|wet deck")
    inbox.add("jobs", "job_ref|job_type|notes\n2025-014|garage|deck was wet")

    assert outcomes(inbox.judge()["jobs"]) == ["clean", "clean"]


def test_two_documents_that_contradict_in_one_batch_are_both_rejected_by_name() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes")
    inbox.add("jobs", PRICE.format(2200), document="cards")

    assert reasons(inbox.judge()["jobs"]) == [
        "quoted_price_gbp: contradicts cards.csv, row 2, which says 2200.00",
        "quoted_price_gbp: contradicts quotes.csv, row 2, which says 2100.00",
    ]


def test_two_rows_of_one_file_that_contradict_are_both_rejected() -> None:
    rows = PRICE.format(2100) + "\n2025-014|garage|2200|2026-03-01"
    inbox = Inbox().add("jobs", rows, document="quotes")

    assert outcomes(inbox.judge()["jobs"]) == ["rejected", "rejected"]


def test_in_different_batches_the_later_stands() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes").next_batch()
    inbox.add("jobs", PRICE.format(2200), document="cards")

    assert price_in_force(inbox) == [(Decimal(2200),)]
    assert inbox.judge()["jobs"].history["receipt_no"].to_list() == [2, 3]


def test_of_versions_of_one_document_the_later_stands_also_in_one_batch() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes")
    inbox.add("jobs", PRICE.format(2200), document="quotes")
    inbox.add("jobs", PRICE.format(2200), document="cards")

    assert outcomes(inbox.judge()["jobs"]) == ["clean", "clean", "already held"]
    assert price_in_force(inbox) == [(Decimal(2200),)]


def test_a_row_handed_in_unchanged_does_not_undo_a_later_documents_correction() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes").next_batch()
    inbox.add("jobs", PRICE.format(2200), document="cards").next_batch()
    more = PRICE.format(2100) + "\n2025-015|porch|900|2026-03-01"
    inbox.add("jobs", more, document="quotes")

    assert outcomes(inbox.judge()["jobs"]) == ["clean", "clean", "already held", "clean"]
    assert price_in_force(inbox) == [(Decimal(2200),), (Decimal(900),)]


def test_a_row_handed_in_unchanged_contradicts_nothing_that_is_new() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes").next_batch()
    inbox.add("jobs", PRICE.format(2100) + "\n2025-015|porch|900|", document="quotes")
    inbox.add("jobs", PRICE.format(2200), document="cards")

    assert outcomes(inbox.judge()["jobs"]) == ["clean", "already held", "clean", "clean"]


def test_the_right_one_handed_in_again_is_taken_in_after_both_were_rejected() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes")
    inbox.add("jobs", PRICE.format(2200), document="cards").next_batch()
    inbox.add("jobs", PRICE.format(2200), document="cards")

    assert outcomes(inbox.judge()["jobs"]) == ["rejected", "rejected", "clean"]
    assert price_in_force(inbox) == [(Decimal(2200),)]


def test_what_contradicts_in_a_later_batch_leaves_the_earlier_in_force() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes").next_batch()
    inbox.add("jobs", PRICE.format(2200), document="cards")
    inbox.add("jobs", PRICE.format(2300), document="sheets")

    assert outcomes(inbox.judge()["jobs"]) == ["clean", "rejected", "rejected"]
    assert price_in_force(inbox) == [(Decimal(2100),)]


def test_a_quote_file_and_a_card_share_a_job() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes")
    card = "job_ref|completed_on|measured_area_m2\n2025-014|2026-03-20|19.5"
    judged = inbox.add("jobs", card, document="card").judge()["jobs"]

    assert outcomes(judged) == ["clean", "clean"]
    assert in_force(judged, "jobs", "quoted_price_gbp", "completed_on", "measured_area_m2") == [
        (Decimal(2100), date(2026, 3, 20), Decimal("19.5"))
    ]


def test_a_copy_that_was_held_has_said_what_it_says() -> None:
    inbox = Inbox().add("jobs", PRICE.format(2100), document="quotes").next_batch()
    inbox.add("jobs", PRICE.format(2100), document="copy").next_batch()
    inbox.add("jobs", PRICE.format(2200), document="cards").next_batch()
    more = PRICE.format(2100) + "\n2025-015|porch|900|2026-03-01"
    inbox.add("jobs", more, document="copy")

    assert price_in_force(inbox) == [(Decimal(2200),), (Decimal(900),)]
