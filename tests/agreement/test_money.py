"""Money: prices in force, what jobs left after materials, what was bought."""

from datetime import date
from fractions import Fraction

import pytest

from tests.agreement.by_hand import (
    materials_money,
    price_on,
)
from tests.agreement.by_month import allowed_beside_used, bought_by_month, left_by
from tests.agreement.lots_by_hand import left_after_materials
from tests.agreement.papers import round_to

COMPARED = (
    "resin", "topcoat light grey", "topcoat dark grey", "primer", "mat 450", "mat 600",
    "drip trim", "raised edge trim", "wall fillet", "flat flashing", "face trim", "drip corner",
    "raised edge corner", "batten", "deck board",
)  # fmt: skip


@pytest.mark.parametrize(
    "on", [date(2024, 6, 3), date(2025, 9, 30), date(2025, 10, 1), date(2026, 6, 1)]
)
def test_the_price_in_force_is_that_of_one_pack_on_the_list_of_the_day(ask, papers, on):
    steps = ask("SELECT material, from_on, until_on, price_gbp FROM stock.price_step", 3)
    prices = {step[0]: price for step, price in steps.items() if step[1] <= on < step[2]}

    assert prices == {
        material: round_to(price_on(papers, material, on), 12) for material in papers.materials
    }


def test_a_whole_pack_costs_what_its_list_says(papers):
    nails = papers.materials["nails"]["pack_size"]

    assert price_on(papers, "nails", date(2024, 6, 3)) * nails == Fraction("11.2")
    assert price_on(papers, "resin", date(2026, 6, 1)) * 20 == Fraction("66.5")


def test_what_the_use_of_each_material_on_each_job_cost(ask, papers):
    money = ask(
        "SELECT job_ref, material, used_gbp FROM comparison.use_by_job WHERE used_gbp IS NOT NULL",
        2,
    )

    assert money == materials_money(papers)


def test_price_materials_and_what_is_left_of_each_job(ask, papers):
    jobs = ask("SELECT job_ref, price_gbp, materials_gbp, left_gbp FROM margin.job")

    assert jobs == {
        ref: (figures["price_gbp"], figures["materials_gbp"], figures["left_gbp"])
        for ref, figures in left_after_materials(papers).items()
    }


def test_left_after_materials_by_job_type_lately_and_by_month(ask, papers):
    types = ask("SELECT job_type, job_count, left_gbp FROM page.left_by_job_type")
    months = ask("SELECT month_on, job_count, left_gbp FROM page.left_by_month")

    assert types == left_by(papers, "job_type", lately=True)
    assert months == left_by(papers, "month_on", lately=False)
    assert len(months) == 24


def test_allowed_beside_used_of_the_last_three_months(ask, papers):
    compared = ask(
        "SELECT material, allowed_quantity, used_quantity, difference_gbp, job_count "
        "FROM page.allowed_and_used"
    )

    assert {material: compared[material] for material in COMPARED} == allowed_beside_used(
        papers, COMPARED
    )


def test_what_was_bought_each_month_of_the_materials_of_most_money(ask, papers):
    months = ask(
        "SELECT material, month_on, packs, quantity, price_gbp FROM page.bought_by_month", 2
    )
    shown = {material for material, _ in months}
    by_hand = {key: sums for key, sums in bought_by_month(papers).items() if key[0] in shown}

    assert len(shown) == 6
    assert months == {
        key: (packs, quantity, round_to(Fraction(net) / Fraction(quantity), 4))
        for key, (packs, quantity, net) in by_hand.items()
    }
