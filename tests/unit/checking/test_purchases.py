"""Lines of suppliers: credits, goods, packs, receipts without a number."""

from decimal import Decimal

from pipelines.checking.judging import JudgedRecord
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

HEAD = "supplier|document_no|document_on|description|line_net_gbp"


def judge_lines(*lines: str, more: str = "", materials: str | None = None) -> JudgedRecord:
    """Return the judgement on one file of lines; `more` names further columns."""
    text = "\n".join([HEAD + more, *lines])
    inbox = Inbox() if materials is None else Inbox(materials=materials)
    return inbox.add("purchases", text).judge()["purchases"]


def test_goods_are_packs_by_pack_size_in_base_units() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|resin 20|120|resin|2|20|kg|20",
        "Quay|12|2026-03-01|resin tins|120|resin|2||tin|",
        "Quay|12|2026-03-01|trims|66.50|drip trim|7||lengths|",
        "Quay|12|2026-03-01|trims|66.50|drip trim|7|1|length|",
        "Quay|12|2026-03-01|nails|9|nails|1|2|kg|",
        "Quay|12|2026-03-01|allowance|30|resin||||",
        more="|material|packs|pack_size|unit|vat_pct",
    )

    assert in_force(
        judged, "purchases", "description", "pack_size", "quantity", "unit", "vat_pct"
    ) == [
        ("allowance", None, None, "kg", None),
        ("nails", Decimal(700), Decimal(700), "each", None),
        ("resin 20", Decimal(20), Decimal(40), "kg", Decimal(20)),
        ("resin tins", Decimal(20), Decimal(40), "kg", None),
        ("trims", Decimal(3), Decimal(21), "m", None),
        ("trims", Decimal(3), Decimal(21), "m", None),
    ]


def test_a_length_is_one_length_also_where_the_firm_buys_packs_of_them() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|trims|66.50|drip trim|7|lengths",
        "Quay|12|2026-03-01|trims|66.50|drip trim|7|packs",
        more="|material|packs|unit",
        materials="material|kind|unit|pack_size|stock_length_mm\ndrip trim|trim|m|30|3000",
    )

    assert judged.history["quantity"].to_list() == [Decimal(21), Decimal(210)]


def test_a_pack_whose_size_is_not_known_or_could_be_two_things_is_refused() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|bandage|9|bandage|2|",
        "Quay|13|2026-03-01|resin|120|resin|40|kg",
        "Quay|14|2026-03-01|resin|120|resin|2 x 20 kg|",
        "Quay|15|2026-03-01|resin|120|resin|3 tins|",
        "Quay|16|2026-03-01|nails|9|nails|500|each",
        more="|material|packs|unit",
    )

    assert reasons(judged) == [
        "pack_size: is blank, and no pack size of bandage is known",
        "pack_size: is blank: packs could be packs of resin, or kg",
        "packs: is in kg; this column counts packs",
    ]
    assert judged.history["quantity"].to_list() == [Decimal(60), Decimal(500)]


def test_each_of_what_is_sold_by_the_pack_is_a_pack_and_never_where_it_could_be_a_piece() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|tins|84|resin|2|each",
        "Quay|13|2026-03-01|rolls|180|mat 450|2|each",
        "Quay|14|2026-03-01|nails|9|nails|3|each",
        "Quay|15|2026-03-01|bandage|9|bandage|3|each",
        more="|material|packs|unit",
        materials="material|kind|unit|pack_size\nresin|resin|kg|20\nmat 450|mat|m2|75\n"
        "nails|fixing|each|350\nbandage|bandage|m|",
    )

    assert judged.history["quantity"].to_list() == [Decimal(40), Decimal(150)]
    assert reasons(judged) == [
        "pack_size: is blank: packs could be packs of nails, or each",
        (
            "pack_size: bandage is kept in m and 'each' cannot be converted to it; "
            "these can: cm, ft, m, mm"
        ),
    ]


def test_what_is_bought_by_weight_is_rounded_once() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|by weight|93.50|mat 450|34|1|kg",
        "Quay|13|2026-03-01|by the roll|93.50|mat 450|34|2.222|m2",
        more="|material|packs|pack_size|unit",
    )

    # 34 / 0.450 = 75.5556; 34 x 2.222 = 75.548
    assert judged.history["quantity"].to_list() == [Decimal("75.556"), Decimal("75.548")]


def test_a_line_of_goods_names_its_material_and_other_lines_need_none() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|sundry things|12|",
        "Quay|13|2026-03-01|carriage|12|delivery",
        more="|line_kind",
    )

    assert outcomes(judged) == ["rejected", "repaired"]
    assert "the line of goods names no material" in reasons(judged)[0]
    assert in_force(judged, "purchases", "line_kind", "quantity", "document_type", "year") == [
        ("carriage", None, "invoice", 2026)
    ]


CREDIT = "|document_type|line_kind|material|packs"


def test_a_credit_written_as_if_positive_is_turned_whole_on_record() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|two tins back|120|credit|goods|resin|2",
        "Quay|12|2026-03-01|restocking|-10|credit|other||",
        more=CREDIT,
    )

    assert in_force(judged, "purchases", "description", "line_net_gbp", "packs", "quantity") == [
        ("restocking", Decimal(10), None, None),
        ("two tins back", Decimal(-120), Decimal(-2), Decimal(-40)),
    ]
    assert outcomes(judged) == ["repaired", "repaired"]
    assert judged.repairs.select("column_name", "value_before", "value_after").rows() == [
        ("packs", "2.000", "-2.000"),
        ("line_net_gbp", "120.00", "-120.00"),
        ("line_net_gbp", "-10.00", "10.00"),
    ]


def test_a_credit_that_comes_to_less_than_nothing_keeps_its_signs() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|two tins back|-120|credit|goods|resin|-2",
        "Quay|12|2026-03-01|restocking|10|credit|other||",
        "Quay|13|2026-03-01|price allowance|-30|CR|goods|resin|",
        more=CREDIT,
    )

    assert outcomes(judged) == ["clean", "clean", "repaired"]
    assert judged.history["line_net_gbp"].to_list() == [Decimal(-120), Decimal(10), Decimal(-30)]
    assert judged.history["quantity"].to_list() == [Decimal(-40), None, None]


def test_packs_of_a_credit_go_the_way_of_its_money() -> None:
    judged = judge_lines("Quay|12|2026-03-01|tins|-120|credit|goods|resin|2", more=CREDIT)

    assert judged.history.select("packs", "line_net_gbp", "quantity").rows() == [
        (Decimal(-2), Decimal(-120), Decimal(-40))
    ]


def test_a_return_on_an_invoice_keeps_its_sign() -> None:
    judged = judge_lines("Quay|12|2026-03-01|tins|-120|invoice|goods|resin|-2", more=CREDIT)

    assert outcomes(judged) == ["clean"]
    assert judged.history["quantity"].to_list() == [Decimal(-40)]


RECEIPTS = (
    "Corner Shop||2026-03-01|brushes|5.00|other",
    "Corner Shop|none|2026-03-01|more brushes|5.00|other",
    "Corner Shop||2026-03-01|gloves|7.00|other",
    "Corner Shop||2026-04-01|brushes|5.00|other",
)


def test_a_receipt_without_a_number_is_none_its_date_total_and_ordinal() -> None:
    judged = judge_lines(*RECEIPTS, more="|line_kind")

    assert judged.history["document_no"].to_list() == [
        "none 2026-03-01 5.00 1",
        "none 2026-03-01 5.00 2",
        "none 2026-03-01 7.00 1",
        "none 2026-04-01 5.00 1",
    ]
    assert outcomes(judged) == ["clean"] * 4


def test_a_receipt_without_a_number_is_held_once_from_whatever_file() -> None:
    text = "\n".join([HEAD + "|line_kind", *RECEIPTS])
    other = "\n".join(
        [HEAD + "|line_kind", *RECEIPTS[::-1], "Corner Shop||2026-04-02|tape|3|other"]
    )
    judged = Inbox().add("purchases", text).next_batch().add("purchases", other).judge()

    assert outcomes(judged["purchases"]) == ["clean"] * 4 + ["already held"] * 4 + ["clean"]


def test_credits_without_a_number_are_turned_one_by_one() -> None:
    judged = judge_lines(
        "Corner Shop||2026-03-01|brushes back|7.00|credit|other||",
        "Corner Shop||2026-03-01|gloves back|-5.00|credit|other||",
        more=CREDIT,
    )

    assert judged.history["line_net_gbp"].to_list() == [Decimal(-7), Decimal(-5)]


def test_a_line_with_vat_or_price_written_with_its_sign_is_mended() -> None:
    judged = judge_lines(
        "Quay|12|2026-03-01|resin|£1,120.00|resin|2|£560.00|20%",
        more="|material|packs|pack_price_gbp|vat_pct",
    )

    assert in_force(judged, "purchases", "line_net_gbp", "pack_price_gbp", "vat_pct") == [
        (Decimal(1120), Decimal(560), Decimal(20))
    ]


def test_a_currency_other_than_the_firms_is_rejected_by_name() -> None:
    judged = judge_lines("Quay|12|2026-03-01|resin|€120|resin|2", more="|material|packs")

    assert reasons(judged) == [
        "line_net_gbp: is in EUR; only GBP is taken, and nothing is converted"
    ]
