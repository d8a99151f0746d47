"""Purchases: a document is compared whole, or line by line where it prints line numbers."""

from decimal import Decimal

from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

LINES = """
    supplier | document_no | document_on | description | line_net_gbp | line_kind
    Quay     | 12          | 2026-03-01  | carriage    | 12.00        | carriage
    Quay     | 12          | 2026-03-01  | pallet      | 15.00        | deposit
    Quay     | 12          | 2026-03-01  | pallet      | 15.00        | deposit
"""
FEWER = LINES.rstrip().rsplit("\n", 1)[0]
DEARER = LINES.replace("12.00", "13.00")


def lines_in_force(inbox: Inbox) -> list[tuple[object, ...]]:
    """Return the nets in force, by kind of line."""
    return in_force(inbox.judge()["purchases"], "purchases", "line_kind", "line_net_gbp")


CARRIAGE, PALLET = ("carriage", Decimal(12)), ("deposit", Decimal(15))


def test_identical_lines_of_one_document_are_all_kept() -> None:
    assert lines_in_force(Inbox().add("purchases", LINES)) == [CARRIAGE, PALLET, PALLET]


def test_an_equal_document_is_already_held_from_whatever_file() -> None:
    head, *rows = LINES.strip().splitlines()
    other = "\n".join([head, *reversed(rows), "Quay|13|2026-03-02|carriage|9|carriage"])
    inbox = Inbox().add("purchases", LINES, document="march").next_batch()
    judged = inbox.add("purchases", other, document="account").judge()["purchases"]

    assert outcomes(judged) == ["clean"] * 3 + ["already held"] * 3 + ["clean"]


def test_different_documents_of_one_number_in_one_batch_are_both_rejected() -> None:
    inbox = Inbox().add("purchases", LINES, document="march")
    judged = inbox.add("purchases", DEARER, document="account").judge()["purchases"]

    assert outcomes(judged) == ["rejected"] * 6
    assert set(reasons(judged)) == {
        "document_no: this document stands with other lines in account.csv, row 2",
        "document_no: this document stands with other lines in march.csv, row 2",
    }


def test_later_the_document_is_corrected_and_a_line_that_is_gone_is_gone() -> None:
    inbox = Inbox().add("purchases", LINES, document="march").next_batch()
    inbox.add("purchases", FEWER, document="account")

    assert lines_in_force(inbox) == [CARRIAGE, PALLET]


def test_a_document_handed_in_unchanged_does_not_undo_its_correction() -> None:
    inbox = Inbox().add("purchases", LINES, document="march").next_batch()
    inbox.add("purchases", FEWER, document="account").next_batch()
    more = f"{LINES.rstrip()}\n    Quay | 13 | 2026-03-02 | carriage | 12.00 | carriage"
    inbox.add("purchases", more, document="march")

    assert lines_in_force(inbox) == [CARRIAGE, CARRIAGE, PALLET]


def test_both_rejected_leave_what_stood_before_in_force() -> None:
    inbox = Inbox().add("purchases", LINES, document="march").next_batch()
    inbox.add("purchases", FEWER, document="account")
    inbox.add("purchases", DEARER, document="statement")

    assert outcomes(inbox.judge()["purchases"])[3:] == ["rejected"] * 5
    assert lines_in_force(inbox) == [CARRIAGE, PALLET, PALLET]


def test_of_versions_of_one_file_in_one_batch_the_later_document_stands() -> None:
    inbox = Inbox().add("purchases", DEARER, document="march")
    inbox.add("purchases", LINES, document="march").add("purchases", LINES, document="account")

    assert lines_in_force(inbox) == [CARRIAGE, PALLET, PALLET]


NUMBERED = """
    supplier | document_no | document_on | line_no | description | line_net_gbp | line_kind
    Quay     | 12          | 2026-03-01  | 1       | carriage    | 12.00        | carriage
    Quay     | 12          | 2026-03-01  | 2       | pallet      | 15.00        | deposit
    Quay     | 12          | 2026-03-01  | 3       | pallet      | 15.00        | deposit
"""


def test_numbered_lines_are_corrected_one_by_one_and_the_others_stay() -> None:
    inbox = Inbox().add("purchases", NUMBERED, document="march").next_batch()
    first = "\n".join(NUMBERED.strip().splitlines()[:2])
    inbox.add("purchases", first.replace("12.00", "13.00"), document="account")

    assert lines_in_force(inbox) == [("carriage", Decimal(13)), PALLET, PALLET]


def test_numbered_lines_that_differ_in_one_batch_are_both_rejected() -> None:
    inbox = Inbox().add("purchases", NUMBERED, document="march")
    inbox.add("purchases", NUMBERED.replace("12.00", "13.00"), document="account")

    assert outcomes(inbox.judge()["purchases"]) == [
        *("rejected", "clean", "clean"),
        *("rejected", "already held", "already held"),
    ]


def test_one_document_with_and_without_line_numbers_is_one_document() -> None:
    inbox = Inbox().add("purchases", NUMBERED, document="march").next_batch()
    inbox.add("purchases", LINES, document="account").next_batch()
    inbox.add("purchases", DEARER, document="statement")

    assert outcomes(inbox.judge()["purchases"]) == [
        *["clean"] * 3,
        *["already held"] * 3,
        *["rejected"] * 3,
    ]
    assert lines_in_force(inbox) == [CARRIAGE, PALLET, PALLET]


def test_one_document_with_and_without_line_numbers_that_differs_in_one_batch_is_rejected() -> None:
    inbox = Inbox().add("purchases", NUMBERED, document="march")
    judged = inbox.add("purchases", DEARER, document="account").judge()["purchases"]

    assert outcomes(judged) == ["rejected"] * 6
    assert judged.history.is_empty()


def test_the_same_number_of_another_year_supplier_or_type_is_another_document() -> None:
    others = [
        LINES.replace("2026-03-01", "2025-03-01"),
        LINES.replace("Quay  ", "Mill  "),
        LINES.replace("Quay     | 12", "Quay     | 14"),
    ]
    inbox = Inbox().add("purchases", LINES)
    for other in others:
        inbox.add("purchases", other)

    assert outcomes(inbox.judge()["purchases"]) == ["clean"] * 12
