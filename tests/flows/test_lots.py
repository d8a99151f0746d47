"""What used stock cost, through whole runs: a pair of jobs that share a piece, and odd orders."""

from decimal import Decimal

import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import MATERIALS, SETTINGS, make_firm

JOBS = """
job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
2026-001,garage,2026-05-08,20,2400
2026-002,porch,2026-05-22,5,900
"""
BOUGHT = """
supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,pack_price_gbp,line_net_gbp,line_kind
Slip End Merchants,7001,1,2026-04-10,Drip trim 3 m,drip trim,4,3,m,10.01,40.04,goods
Slip End Merchants,7001,2,2026-04-10,Delivery,,,,,,12.00,carriage
"""
TAKEN = """
job_ref,material,issued_quantity,returned_quantity,unit
2026-001,drip trim,5,2,length
2026-002,drip trim,1,,length
"""
RACK = """
job_ref,material,length_mm,pieces,fate
2026-001,drip trim,1200,1,racked
2026-002,drip trim,1200,1,from_rack
"""
PAIR = {
    "jobs.csv": JOBS,
    "purchases.csv": BOUGHT,
    "job_materials.csv": TAKEN,
    "offcuts.csv": RACK,
}
USED = """
    SELECT used_quantity, issued_gbp, racked_gbp, from_rack_gbp, used_gbp, how
    FROM result.used_cost ORDER BY job_ref, material
"""


@pytest.mark.parametrize("share", ["0", "0.5", "1"])
def test_a_pair_of_jobs_that_share_a_piece_pays_for_four_lengths(tmp_path, ask, share):
    settings = f'reuse_share = "{share}"\n' + SETTINGS.lstrip()
    run_month(make_firm(tmp_path / "firm", PAIR, settings))

    made, took = ask(tmp_path / "firm", USED)

    # 9 m of 12 and 3 m of 12 for 52.04 delivered: 39.03 and 13.01; 1.2 m of 9 carry 5.204 x share
    carried = (Decimal("5.204") * Decimal(share)).quantize(Decimal("0.01"))
    assert made == (Decimal("7.8"), Decimal("39.03"), carried, 0, Decimal("39.03") - carried, None)
    assert took == (Decimal("4.2"), Decimal("13.01"), 0, carried, Decimal("13.01") + carried, None)
    assert made[4] + took[4] == Decimal("52.04")


DELIVERY = "SELECT job_ref, delivery_gbp FROM result.used_cost ORDER BY job_ref"


def test_carriage_in_the_lots_is_told_beside_what_the_jobs_took(tmp_path, ask):
    run_month(make_firm(tmp_path / "firm", PAIR))

    # 12.00 on 12 m, of which one job kept 9 and the other 3
    assert ask(tmp_path / "firm", DELIVERY) == [("2026-001", 9), ("2026-002", 3)]


def test_carriage_on_its_own_line_is_in_no_job(tmp_path, ask):
    settings = 'carriage = "own line"\n' + SETTINGS.lstrip()
    run_month(make_firm(tmp_path / "firm", PAIR, settings))

    assert sum(row[4] for row in ask(tmp_path / "firm", USED)) == Decimal("40.04")
    assert ask(tmp_path / "firm", "SELECT net_pence, why FROM feed.own_line") == [
        (1200, "no goods")
    ]
    assert ask(tmp_path / "firm", DELIVERY) == [("2026-001", 0), ("2026-002", 0)]
    assert ask(tmp_path / "firm", "SELECT in_jobs_gbp FROM page.delivery") == [(0,)]


ODD = {
    "jobs.csv": JOBS,
    "purchases.csv": """
        supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,pack_price_gbp,line_net_gbp
        Slip End Merchants,7001,1,2026-05-04,Laminating resin,resin,1,20,kg,60.00,60.00
        Slip End Merchants,7002,1,2026-05-15,Laminating resin,resin,1,20,kg,70.00,70.00
    """,
    "job_materials.csv": """
        job_ref,material,issued_quantity,unit
        2026-001,resin,30,kg
        2026-002,resin,18,kg
        2026-002,topcoat grey,5,kg
    """,
    "prices.csv": """
        supplier,material,pack_size,unit,pack_price_gbp,valid_from
        Slip End Merchants,resin,20,kg,80.00,2025-01-01
    """,
}
COSTED = """
    SELECT job_ref, material, quantity, cost_gbp, how FROM result.issue_cost
    ORDER BY material, out_no, quantity DESC
"""


@pytest.mark.parametrize("costing", ["fifo", "average"])
def test_what_is_used_before_it_is_bought_is_costed_and_says_so(tmp_path, ask, costing):
    head, *rows = MATERIALS.strip().splitlines()
    materials = "\n".join([f"{head},costing", *(f"{row},{costing}" for row in rows)])
    run_month(make_firm(tmp_path / "firm", ODD | {"materials.csv": materials}))

    # 10 of the 30 kg come from the tin that came a week later; 8 of the 18 from no tin at all
    assert ask(tmp_path / "firm", COSTED) == [
        ("2026-001", "resin", 20, Decimal("60.00"), costing),
        ("2026-001", "resin", 10, Decimal("35.00"), "next receipt"),
        ("2026-002", "resin", 10, Decimal("35.00"), costing),
        ("2026-002", "resin", 8, Decimal("32.00"), "list"),
        ("2026-002", "topcoat grey", 5, None, "no price"),
    ]
    assert ask(tmp_path / "firm", "SELECT count(*) FROM stock.lot_left") == [(0,)]
    used = {row[4:] for row in ask(tmp_path / "firm", USED)}
    assert used == {
        (Decimal("95.00"), "next receipt"), (Decimal("67.00"), "list"), (None, "no price")
    }  # fmt: skip
