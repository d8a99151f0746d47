"""Rows of one key that add up: entries, later versions of their sheet, other documents."""

from decimal import Decimal

from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

JOBS = ["2025-014", "2025-015"]
KILOS = "job_ref|material|issued_quantity|issued_on\n"
CARD = f"{KILOS}2025-014|resin|20|2026-03-01\n2025-014|resin|15|2026-03-02"


def issues(inbox: Inbox) -> list[tuple[object, ...]]:
    """Return the issued quantities in force, by entry."""
    judged = inbox.judge()["job_materials"]
    return in_force(judged, "job_materials", "entry", "issued_quantity")


def test_pieces_of_one_length_on_three_lines_are_three_entries() -> None:
    rows = """
        job_ref  | material  | length_mm | pieces | fate
        2025-014 | drip trim | 850       | 1      | racked
        2025-014 | drip trim | 850       | 1      | racked
        2025-014 | drip trim | 850       | 2      | racked
    """
    judged = Inbox(jobs=JOBS).add("offcuts", rows, document="card").judge()["offcuts"]

    assert in_force(judged, "offcuts", "entry", "pieces") == [
        ("card/1", 1),
        ("card/2", 1),
        ("card/3", 2),
    ]


def test_issues_on_two_trips_from_two_cards_are_added() -> None:
    inbox = Inbox(jobs=JOBS)
    inbox.add("job_materials", f"{KILOS}2025-014|resin|20|2026-03-01", document="first card")
    inbox.add("job_materials", f"{KILOS}2025-014|resin|20|2026-03-02", document="second card")

    assert issues(inbox) == [("first card/1", Decimal(20)), ("second card/1", Decimal(20))]


def test_rows_of_one_key_on_two_sheets_of_a_workbook_are_added() -> None:
    inbox = Inbox(jobs=JOBS)
    row = f"{KILOS}2025-014|resin|20|2026-03-01"
    inbox.add("job_materials", f"{row}\n2025-015|resin|1|", document="cards", sheet="march")
    inbox.add("job_materials", row, document="cards", sheet="april")

    assert issues(inbox) == [
        ("cards/april/1", Decimal(20)),
        ("cards/march/1", Decimal(1)),
        ("cards/march/1", Decimal(20)),
    ]


def test_a_row_inserted_above_in_the_next_version_changes_nothing_else() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card")
    before = issues(inbox)
    above = CARD.replace(
        KILOS, f"{KILOS}2025-015|resin|7|2026-02-27\n2025-014|resin|9|2026-02-28\n"
    )
    inbox.next_batch().add("job_materials", above, document="card")

    assert outcomes(inbox.judge()["job_materials"]) == ["clean"] * 4 + ["already held"] * 2
    assert sorted([*before, ("card/1", Decimal(7)), ("card/3", Decimal(9))], key=str) == sorted(
        issues(inbox), key=str
    )


def test_quoted_estimated_and_fitted_are_equal_or_blank_over_the_entries() -> None:
    head = "job_ref|material|estimated_quantity|issued_quantity\n"
    inbox = Inbox(jobs=JOBS).add("job_materials", f"{head}2025-014|resin|50|", document="quote")
    inbox.next_batch()
    inbox.add("job_materials", f"{head}2025-014|resin||20\n2025-014|resin|50|15", document="card")
    inbox.add("job_materials", f"{head}2025-014|resin|60|10", document="other card")
    judged = inbox.judge()["job_materials"]

    assert outcomes(judged) == ["clean", "clean", "clean", "rejected"]
    assert reasons(judged) == [
        "estimated_quantity: contradicts quote.csv, row 2, which says 50.000"
    ]


def test_an_estimate_corrected_in_every_entry_of_one_batch_stands() -> None:
    head = "job_ref|material|estimated_quantity|issued_quantity\n"
    inbox = Inbox(jobs=JOBS)
    for estimate in ("50", "60"):
        inbox.add("job_materials", f"{head}2025-014|resin|{estimate}|20", document="quote")
        inbox.add("job_materials", f"{head}2025-014|resin|{estimate}|15", document="card")
        inbox.next_batch()
    alone = f"{head}2025-014|resin|70|20"
    judged = inbox.add("job_materials", alone, document="quote").judge()["job_materials"]

    assert in_force(judged, "job_materials", "entry", "estimated_quantity") == [
        ("card/1", Decimal(60)),
        ("quote/1", Decimal(60)),
    ]
    assert outcomes(judged)[-1] == "rejected"


def test_equal_rows_are_already_held_in_any_order() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    head, first, second = CARD.splitlines()
    inbox.add("job_materials", f"{head}\n{second}\n{first}", document="card")
    judged = inbox.judge()["job_materials"]

    assert outcomes(judged) == ["clean", "clean", "already held", "already held"]
    assert judged.outcomes["reason"].to_list()[2:] == [
        "already held from card.csv, row 3",
        "already held from card.csv, row 2",
    ]


def test_what_is_left_is_paired_in_order_as_corrections() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", CARD.replace("|15|", "|16|"), document="card")

    assert outcomes(inbox.judge()["job_materials"]) == ["clean", "clean", "already held", "clean"]
    assert issues(inbox) == [("card/1", Decimal(20)), ("card/2", Decimal(16))]


def test_further_new_rows_are_added_and_further_old_ones_stay() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", f"{CARD}\n2025-014|resin|5|2026-03-03", document="card")
    added = [("card/1", Decimal(20)), ("card/2", Decimal(15)), ("card/3", Decimal(5))]
    assert issues(inbox) == added

    inbox.next_batch().add("job_materials", CARD.rsplit("\n", 1)[0], document="card")
    assert issues(inbox) == added


def test_a_row_of_a_later_version_that_says_less_says_nothing_new() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", f"{KILOS}2025-014|resin|15|", document="card")

    assert outcomes(inbox.judge()["job_materials"])[2:] == ["already held"]


def test_rows_that_say_less_leave_the_equal_ones_to_those_that_say_all() -> None:
    head, first, second = CARD.replace("|15|", "|20|").splitlines()
    inbox = Inbox(jobs=JOBS)
    inbox.add("job_materials", f"{head}\n{first}\n{second}", document="card").next_batch()
    inbox.add("job_materials", f"{head}\n2025-014|resin|20|\n{first}", document="card")

    assert outcomes(inbox.judge()["job_materials"])[2:] == ["already held"] * 2


def test_a_version_that_goes_back_to_the_first_one_corrects_the_second() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", CARD.replace("|15|", "|16|"), document="card").next_batch()
    inbox.add("job_materials", CARD, document="card")

    assert issues(inbox) == [("card/1", Decimal(20)), ("card/2", Decimal(15))]


def test_another_documents_equal_row_is_rejected_and_a_typed_entry_mends_it() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", f"{KILOS}2025-014|resin|15|2026-03-02", document="second")
    judged = inbox.judge()["job_materials"]
    mended = "job_ref|material|issued_quantity|issued_on|entry\n2025-014|resin|15|2026-03-02|two"
    inbox.next_batch().add("job_materials", mended, document="second")

    assert reasons(judged) == ["row: looks like card.csv, row 3: every filled column is the same"]
    assert judged.rejects["remedy"].to_list()[0].startswith("type an entry")
    assert issues(inbox) == [
        ("card/1", Decimal(20)),
        ("card/2", Decimal(15)),
        ("two", Decimal(15)),
    ]


def test_a_row_is_held_against_typed_entries_too() -> None:
    typed = "job_ref|material|issued_quantity|issued_on|entry\n2025-014|resin|15|2026-03-02|van"
    inbox = Inbox(jobs=JOBS).add("job_materials", typed, document="card").next_batch()
    inbox.add("job_materials", f"{KILOS}2025-014|resin|15|2026-03-02", document="second")

    assert reasons(inbox.judge()["job_materials"]) == [
        "row: looks like card.csv, row 2: every filled column is the same"
    ]


def test_a_whole_sheet_equal_to_one_held_is_already_held_under_another_name() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card")
    inbox.add("job_materials", CARD, document="card from the van").next_batch()
    inbox.add("job_materials", CARD, document="card once more")

    assert outcomes(inbox.judge()["job_materials"]) == ["clean"] * 2 + ["already held"] * 4


def test_the_same_text_that_another_mapping_reads_otherwise_is_not_the_same_sheet() -> None:
    rows = f"{KILOS}2025-014|resin|20|03/04/2026"
    inbox = Inbox(jobs=JOBS).add("job_materials", rows, document="card", date_order="dmy")
    inbox.add("job_materials", rows, document="other", date_order="mdy")

    assert outcomes(inbox.judge()["job_materials"]) == ["clean", "clean"]


def test_a_sheet_with_more_in_it_is_not_the_same_sheet() -> None:
    inbox = Inbox(jobs=JOBS).add("job_materials", CARD, document="card").next_batch()
    inbox.add("job_materials", f"{CARD}\n2025-014|resin|tbc|", document="second")

    assert outcomes(inbox.judge()["job_materials"]) == ["clean"] * 2 + ["rejected"] * 3
