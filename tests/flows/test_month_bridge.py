"""The bridge of a month, through whole runs over papers that come in any order."""

from decimal import Decimal

import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import MATERIALS, SETTINGS, make_firm

FIRM = {
    "jobs.csv": """
        job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
        2026-001,garage,2026-03-20,20,2400
        2026-002,porch,2026-04-22,5,900
        2026-003,garage,2026-05-12,20,2400
    """,
    "purchases.csv": """
        supplier,document_type,document_no,line_no,document_on,description,material,packs,pack_size,unit,line_net_gbp,line_kind,credits_document_no
        Slip End,invoice,7000,1,2026-03-10,Laminating resin,resin,2,20,kg,120.00,goods,
        Slip End,invoice,7001,1,2026-04-10,Laminating resin,resin,3,20,kg,200.01,goods,
        Slip End,invoice,7001,2,2026-04-10,Drip trim 3 m,drip trim,4,3,m,40.04,goods,
        Slip End,invoice,7001,3,2026-04-10,Delivery,,,,,12.00,carriage,
        Slip End,invoice,7002,1,2026-05-20,Laminating resin,resin,1,20,kg,70.00,goods,
        Slip End,credit,8001,1,2026-05-08,Laminating resin,resin,-1,20,kg,-66.67,goods,7001
        Slip End,credit,8002,1,2026-05-09,Drip trim 3 m,drip trim,,,,-1.50,goods,7001
    """,
    "stock_counts.csv": """
        counted_on,material,quantity,unit,length_mm,pieces
        2026-03-31,resin,25,kg,,
        2026-04-30,resin,52,kg,,
        2026-04-30,drip trim,,,3000,1
        2026-05-31,resin,12,kg,,
        2026-05-31,drip trim,,,3000,1
    """,
    "job_materials.csv": """
        job_ref,material,issued_quantity,returned_quantity,unit
        2026-001,resin,31,,kg
        2026-002,resin,26.5,,kg
        2026-003,resin,30,2,kg
        2026-002,drip trim,2,,length
        2026-003,drip trim,2,1,length
    """,
    "offcuts.csv": """
        job_ref,material,length_mm,pieces,fate,moved_on
        2026-002,drip trim,1200,1,racked,
        2026-003,drip trim,1900,1,from_rack,
        ,drip trim,700,1,scrapped,2026-05-30
    """,
    "losses.csv": """
        material,quantity,unit,cause,lost_on
        resin,3,kg,spilt,2026-05-15
    """,
}  # fmt: skip
BRIDGE = """
    SELECT month_on, difference_gbp FROM comparison.month_bridge ORDER BY month_on
"""
TERMS = """
    SELECT goods_gbp, delivery_gbp, not_in_stock_gbp, own_line_gbp, losses_gbp, closing_gbp
    FROM comparison.month_bridge ORDER BY month_on
"""


@pytest.mark.parametrize("costing", ["fifo", "average"])
@pytest.mark.parametrize("carriage", ["landed", "own line"])
def test_every_month_adds_up(tmp_path, ask, costing, carriage):
    head, *rows = MATERIALS.strip().splitlines()
    materials = "\n".join([f"{head},costing", *(f"{row},{costing}" for row in rows)])
    settings = f'carriage = "{carriage}"\n' + SETTINGS.lstrip()
    run_month(make_firm(tmp_path / "firm", FIRM | {"materials.csv": materials}, settings))

    months = ask(tmp_path / "firm", BRIDGE)

    assert [(str(month), gap) for month, gap in months] == [
        (f"2026-0{month}-01", 0) for month in (3, 4, 5, 6)
    ]


@pytest.mark.parametrize(("carriage", "delivery"), [("landed", "12.00"), ("own line", "0.00")])
def test_delivery_is_in_the_lots_or_beside_them(tmp_path, ask, carriage, delivery):
    settings = f'carriage = "{carriage}"\n' + SETTINGS.lstrip()
    run_month(make_firm(tmp_path / "firm", FIRM, settings))

    march, april, may, _ = ask(tmp_path / "firm", TERMS)

    # what was bought before the count of March is in it; April: 200.01 - 66.67 + 40.04 - 1.50
    assert march[:4] == (Decimal("120.00"), 0, Decimal("120.00"), 0)
    assert april[:2] == (Decimal("171.88"), Decimal(delivery))
    assert april[3] == 12 - Decimal(delivery)
    assert may[4] > 0
