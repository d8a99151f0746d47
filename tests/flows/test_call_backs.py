"""A call-back costs its first job, and VAT that is not taken back is cost, in a whole run."""

from decimal import Decimal

import pytest

from pipelines.errors import SettingsError
from pipelines.month.run import run_month
from pipelines.month.tracing import trace_job
from tests.support.small_firm import SETTINGS, make_firm

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp,retention_gbp,remedial_of
    2026-001,garage,2026-04-10,18.0,2400.00,120.00,
    2026-002,garage,2026-05-20,2.0,,,2026-001
"""
CARDS = """
    job_ref,material,unit,issued_quantity,how
    2026-001,resin,kg,30,weighed
    2026-002,resin,kg,10,weighed
"""
BOUGHT = """
    supplier,document_no,document_on,description,line_net_gbp,material,packs,pack_size,unit,vat_pct
    Wharf Supplies,1001,2026-03-20,resin,80.00,resin,2,20,kg,20
"""
MARGIN = "SELECT own_gbp, vat_gbp, put_right_gbp, materials_gbp, left_gbp FROM margin.job"


def _firm(tmp_path, vat):
    files = {"jobs.csv": JOBS, "job materials.csv": CARDS, "purchases.csv": BOUGHT}
    return make_firm(tmp_path / "firm", files, f'vat = "{vat}"\n{SETTINGS}')


def test_two_tins_of_80_pounds_cost_a_flat_rate_firm_96_and_their_first_job_all_of_it(
    tmp_path, ask
):
    """30 of 40 kg are 60.00 and 12.00 VAT, the call-back's 10 kg 20.00 and 4.00."""
    root = _firm(tmp_path, "flat rate")
    run_month(root)

    rows = ask(root, f"{MARGIN} WHERE job_ref = '2026-001'")
    assert rows == [tuple(map(Decimal, ("60.00", "12.00", "24.00", "96.00", "2304.00")))]
    assert ask(root, f"{MARGIN} WHERE job_ref = '2026-002'")[0][4] is None
    beside = dict(ask(root, "SELECT item, gbp FROM page.beside_margin"))
    assert beside == {
        "retention": Decimal("120.00"), "put right": Decimal("24.00"), "vat": Decimal("16.00"),
    }  # fmt: skip
    (materials,) = [f for f in trace_job(root, "2026-001").figures if f.figure == "materials"]
    assert "call-back, £24.00" in materials.how


def test_a_word_that_says_nothing_of_vat_is_refused(tmp_path):
    with pytest.raises(SettingsError, match="'vat' is 'sometimes'; it must be one of: normal"):
        run_month(_firm(tmp_path, "sometimes"))
