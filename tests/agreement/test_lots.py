"""What used stock cost, lot by lot."""

from decimal import Decimal

from tests.agreement.lots_by_hand import issued_pence, used_money


def test_what_each_job_took_from_the_lots_cost(ask, papers):
    money = ask(
        "SELECT coalesce(job_ref, ''), material, sum(cost_gbp) FROM result.issue_cost "
        "WHERE flow = 'job' GROUP BY job_ref, material",
        2,
    )
    by_hand = issued_pence(papers)

    assert money == {key: Decimal(pence).scaleb(-2) for key, pence in by_hand.items() if key[0]}


def test_what_the_use_of_each_material_on_each_job_truly_cost(ask, papers):
    money = ask("SELECT job_ref, material, used_gbp FROM result.used_cost", 2)

    assert money == used_money(papers)


def test_every_penny_bought_lies_in_a_lot(ask, papers):
    bought = ask("SELECT how, sum(cost_pence) FROM result.lot GROUP BY how")["bought"]

    assert bought == sum(int(line["line_net_gbp"] * 100) for line in papers.purchases)
