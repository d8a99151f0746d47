"""Rows taken back: out of force from their batch on, in whole runs."""

from decimal import Decimal

import polars as pl

from pipelines.month.history_cells import HistoryCells
from pipelines.month.run import run_month
from pipelines.warehouse.connection import open_for_reading
from tests.support.small_firm import drop, make_firm

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
    2026-001,garage,2026-05-04,18.0,2400.00
"""
ISSUED = """
    job_ref,material,unit,issued_quantity,how
    2026-001,resin,kg,20,weighed
    2026-001,topcoat grey,kg,9,weighed
"""
IN_FORCE = "SELECT material, issued_quantity FROM ledger.job_materials ORDER BY material"


def _firm(tmp_path):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS, "job materials.csv": ISSUED})
    run_month(root)
    return root


def _take_back(root, key):
    drop(
        root,
        {
            "withdrawn.csv": f"""
                record,key,withdrawn_on,by,why
                job_materials,{key},2026-05-29,the office,card of another job
            """
        },
    )
    run_month(root)


def test_a_row_taken_back_by_key_leaves_the_ledger_and_stays_in_history(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "job_ref=2026-001; material=resin")

    assert ask(root, IN_FORCE) == [("topcoat grey", Decimal("9.000"))]
    assert ask(root, "SELECT count(*) FROM history.job_materials") == [(2,)]
    gone = 'SELECT row_no, "by", why FROM receipt.withdrawn_row'
    assert ask(root, gone) == [(2, "the office", "card of another job")]


def test_a_row_is_taken_back_by_file_and_row(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "file=job materials.csv; row=3")

    assert ask(root, IN_FORCE) == [("resin", Decimal("20.000"))]


def test_what_comes_after_a_withdrawal_stands(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "job_ref=2026-001; material=resin")
    drop(root, {"job materials.csv": ISSUED.replace("kg,20", "kg,21")})
    run_month(root)

    assert ask(root, IN_FORCE) == [("resin", Decimal("21.000")), ("topcoat grey", Decimal("9.000"))]


def test_a_withdrawal_of_what_is_not_there_is_rejected(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "job_ref=2026-001; material=drip trim")

    assert len(ask(root, IN_FORCE)) == 2
    rejected = "SELECT column_name, reason FROM receipt.reject"
    assert ask(root, rejected) == [
        ("key", "no row of job_materials with this key had come in by then")
    ]


def test_a_trace_tells_what_was_taken_back_by_whom_why_and_when(tmp_path):
    root = _firm(tmp_path)
    _take_back(root, "job_ref=2026-001; material=resin")

    with open_for_reading(root / "warehouse.duckdb") as published:
        (source,) = HistoryCells(published).sources(
            "job_materials", pl.col("material") == "resin", ["issued_quantity"]
        )

    assert (source.value, source.file, source.row) == ("none", "withdrawn.csv", 2)
    (gone,) = source.replaced
    assert (gone.value, gone.file, gone.row) == ("20.000", "job materials.csv", 2)
    assert gone.taken_back == "taken back on 2026-05-29 by the office: card of another job"
