"""Suppliers' wordings named once, put on every line that has them."""

from decimal import Decimal

from tests.support.handed_in import table
from tests.unit.checking.judged_inbox import Inbox, outcomes, reasons

LINES = """
    supplier  | line_no | description   | packs | material  | line_kind | unit | pack_size
    Mossgate  | 1       | Tin 20 KG     | 2     |           |           |      |
    mossgate  | 2       | tin  20 kg    | 1     |           |           | tin  |
    Mossgate  | 3       | Tin 20 kg     | 1     | drip trim |           |      | 3
    Mossgate  | 4       | Tin 20 kg     | 1     |           | carriage  |      |
    Mossgate  | 5       | Pallet charge | 1     |           |           |      |
    Thornwick | 1       | Tin 20 kg     | 1     |           |           |      |
"""
NAMED = """
    supplier | description   | material | pack_size | unit | line_kind
    Mossgate | tin 20 kg     | resin    | 20000     | g    |
    Mossgate | pallet charge |          |           |      | deposit
"""


def _lines(count: int) -> list[dict[str, str | None]]:
    told = {"document_no": "1", "document_on": "2026-05-01", "line_net_gbp": "50"}
    return [{**row, **told} for row in table(LINES)[:count]]


def test_lines_that_came_before_and_after_have_their_material():
    inbox = Inbox().add("purchases", _lines(6))
    inbox.next_batch().add("descriptions", NAMED, document="named")
    found = inbox.judge()["purchases"]

    assert outcomes(found) == ["repaired", "repaired", "clean", "clean", "repaired", "rejected"]
    assert reasons(found)[0].startswith("description: is not known yet")
    assert found.history.sort("row_no").select("material", "line_kind", "quantity").rows() == [
        ("resin", "goods", Decimal(40)),
        ("resin", "goods", Decimal(20)),
        ("drip trim", "goods", Decimal(3)),
        (None, "carriage", None),
        (None, "deposit", None),
    ]
    named = found.repairs.filter(found.repairs["rule"].str.starts_with("as named in"))
    assert named.sort("row_no").select("row_no", "column_name", "value_after", "rule").rows() == [
        (2, "material", "resin", "as named in named.csv, row 2"),
        (2, "pack_size", "20", "as named in named.csv, row 2"),
        (2, "unit", "kg", "as named in named.csv, row 2"),
        (3, "material", "resin", "as named in named.csv, row 2"),
        (3, "pack_size", "20 kg", "as named in named.csv, row 2"),
        (6, "line_kind", "deposit", "as named in named.csv, row 3"),
    ]


def test_what_was_named_later_stands_and_none_empties():
    inbox = Inbox().add("purchases", _lines(1))
    inbox.add("descriptions", NAMED)
    inbox.next_batch().add(
        "descriptions",
        """
        supplier | description | material | pack_size
        Mossgate | tin 20 kg   | catalyst | none
        """,
    )
    found = inbox.judge()["purchases"]

    # 2 packs of the 1 kg that the list of materials says
    assert found.history.select("material", "quantity").rows() == [("catalyst", Decimal(2))]


def test_a_wording_of_goods_without_its_material_is_asked_back():
    found = (
        Inbox()
        .add(
            "descriptions",
            """
        supplier | description | material | line_kind
        Mossgate | tin         |          | goods
        Mossgate | tub         | resin    |
        Mossgate | jar         | lacquer  |
        """,
        )
        .judge()["descriptions"]
    )

    assert outcomes(found) == ["rejected", "clean", "rejected"]
    assert reasons(found) == [
        "material: is blank: a wording of goods names its material, any other its line_kind",
        "material: is no material that is known",
    ]
