"""A count is a quantity, full packs and part, pieces by length, or gross less tare."""

from decimal import Decimal

import pytest

from pipelines.checking.judging import FirmLists, JudgedRecord
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons


def count(material: str, **cells: str) -> JudgedRecord:
    """Return the judgement on one count of `material`."""
    row = {"counted_on": "2026-03-31", "material": material, **cells}
    return Inbox().add("stock_counts", [row]).judge()["stock_counts"]


@pytest.mark.parametrize(
    ("material", "cells", "quantity"),
    [
        ("resin", {"quantity": "47.5"}, "47.5"),
        ("resin", {"quantity": "2", "unit": "tins"}, "40"),
        ("resin", {"full_packs": "3"}, "60"),
        ("resin", {"full_packs": "3", "part": "0.25"}, "65"),
        ("resin", {"full_packs": "0"}, "0"),
        ("resin", {"quantity": "0"}, "0"),
        ("resin", {"full_packs": "3", "part_gross_kg": "6.4"}, "65.2"),
        ("resin", {"quantity": "65", "full_packs": "3", "part": "0.25"}, "65"),
        ("drip trim", {"pieces": "4", "length_mm": "3000"}, "12"),
        ("drip trim", {"pieces": "1", "length_mm": "850"}, "0.85"),
        ("drip trim", {"full_packs": "4"}, "12"),
        ("nails", {"pieces": "120"}, "120"),
    ],
)
def test_what_was_counted_is_kept_in_base_units(
    material: str, cells: dict[str, str], quantity: str
) -> None:
    judged = count(material, **cells)

    assert in_force(judged, "stock_counts", "quantity", "place") == [(Decimal(quantity), "yard")]


@pytest.mark.parametrize(
    ("material", "cells", "fault"),
    [
        ("resin", {}, "is blank, and so are full packs, part and pieces: nothing was counted"),
        ("resin", {"quantity": "60", "full_packs": "4"}, "is 60.000 kg, and its parts come to 80"),
        ("resin", {"part": "0.5", "part_gross_kg": "11"}, "has the open pack twice"),
        ("resin", {"part_gross_kg": "1"}, "is weighed at less than the empty tin, 1.200 kg"),
        ("catalyst", {"part_gross_kg": "1"}, "no tare_kg of catalyst is known"),
        ("bandage", {"full_packs": "2"}, "no pack size of bandage is known"),
        ("bandage", {"full_packs": "2", "quantity": "20"}, "no pack size of bandage is known"),
        ("drip trim", {"pieces": "4"}, "is given in pieces, and their length_mm is blank"),
        ("board", {"pieces": "4", "length_mm": "2440"}, "'mm' cannot be converted to it"),
        ("resin", {"quantity": "7", "unit": "lengths"}, "'length' cannot be converted to it"),
    ],
)
def test_what_does_not_make_a_count_is_refused(
    material: str, cells: dict[str, str], fault: str
) -> None:
    judged = count(material, **cells)

    assert len(reasons(judged)) == 1
    assert fault in reasons(judged)[0]
    assert reasons(judged)[0].startswith("quantity: ")


def test_a_blank_place_is_the_yard_of_the_settings() -> None:
    rows = """
        counted_on | material | quantity | place
        2026-03-31 | resin    | 20       |
        2026-03-31 | resin    | 20       | lock-up
    """
    inbox = Inbox().add("stock_counts", rows)
    inbox.next_batch().add("stock_counts", rows.replace("|\n", "| lock-up\n"), document="file 2")
    judged = inbox.judge(FirmLists(yard="lock-up"))["stock_counts"]

    assert judged.history["place"].to_list() == ["lock-up", "lock-up"]
    assert outcomes(judged) == ["clean", "clean", "already held", "already held"]


def test_counts_by_place_and_lot_stand_beside_each_other() -> None:
    rows = """
        counted_on | material | quantity | place | lot
        2026-03-31 | resin    | 20       |       | first
        2026-03-31 | resin    | 20       |       | second
        2026-03-31 | resin    | 20       | van   | first
        2026-03-31 | resin    | 20       | van   |
    """
    judged = Inbox().add("stock_counts", rows).judge()["stock_counts"]

    assert in_force(judged, "stock_counts", "place", "lot", "quantity") == [
        ("van", "first", Decimal(20)),
        ("van", None, Decimal(20)),
        ("yard", "first", Decimal(20)),
        ("yard", "second", Decimal(20)),
    ]
