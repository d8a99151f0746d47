"""Rows taken back: out of force from their batch on, in whole runs."""

from decimal import Decimal

import polars as pl
import pytest

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


@pytest.mark.slow
def test_a_row_is_taken_back_by_file_and_row(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "file=job materials.csv; row=3")

    assert ask(root, IN_FORCE) == [("resin", Decimal("20.000"))]


@pytest.mark.slow
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
    assert gone.replaced_by == "withdrawn.csv, row 2"


def _take_back_job(root):
    drop(root, {"withdrawn.csv": "record,key,withdrawn_on\njobs,job_ref=2026-001,2026-05-29"})
    return run_month(root)


REJECTED = "SELECT DISTINCT record, column_name, reason, remedy FROM receipt.reject"
NAMED = (
    "names 2026-001, which was taken back by withdrawn.csv, row 2",
    "hand in the job again, or take this row back too",
)


@pytest.mark.slow
def test_rows_of_a_job_taken_back_wait_with_their_remedy(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back_job(root)
    drop(root, {"late job materials.csv": ISSUED.replace("kg,20", "kg,3")})
    run_month(root)

    assert ask(root, IN_FORCE) == []
    assert ask(root, REJECTED) == [("job_materials", "job_ref", *NAMED)]
    assert ask(root, "SELECT count(*) FROM receipt.reject") == [(4,)]


def test_the_job_handed_in_again_stands_and_so_do_its_rows(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back_job(root)
    drop(root, {"jobs again.csv": JOBS})
    (root / "inbox" / "jobs again.csv").write_text(
        (root / "inbox" / "jobs again.csv").read_text(encoding="utf-8") + "\n", encoding="utf-8"
    )
    run_month(root)

    assert ask(root, "SELECT job_ref FROM ledger.jobs") == [("2026-001",)]
    assert len(ask(root, IN_FORCE)) == 2
    assert ask(root, REJECTED) == []


@pytest.mark.slow
def test_a_job_and_its_rows_taken_back_together_leave_nothing_to_mend(tmp_path, ask):
    root = _firm(tmp_path)
    drop(
        root,
        {
            "withdrawn.csv": """
                record,key,withdrawn_on
                jobs,job_ref=2026-001,2026-05-29
                job_materials,job_ref=2026-001; material=resin,2026-05-29
                job_materials,job_ref=2026-001; material=topcoat grey,2026-05-29
            """
        },
    )
    run_month(root)

    assert ask(root, IN_FORCE) == []
    assert ask(root, REJECTED) == []
    assert ask(root, "SELECT count(*) FROM receipt.withdrawn_row") == [(3,)]


def test_what_was_bought_stays_bought_when_its_job_is_taken_back(tmp_path, ask):
    root = _firm(tmp_path)
    bought = """
        supplier,document_no,document_on,description,line_net_gbp,material,packs,pack_size,job_ref
        Wharf Supplies,1001,2026-04-20,resin,60.00,resin,1,20,2026-001
    """
    drop(root, {"purchases.csv": bought})
    run_month(root)
    _take_back_job(root)

    assert ask(root, "SELECT line_net_gbp FROM ledger.purchases") == [(Decimal("60.00"),)]


@pytest.mark.slow
def test_a_row_handed_in_again_after_it_was_taken_back_stands(tmp_path, ask):
    root = _firm(tmp_path)
    _take_back(root, "job_ref=2026-001; material=resin")
    drop(root, {"job materials again.csv": ISSUED + "\n    2026-001,drip trim,lengths,2,counted"})
    run_month(root)

    assert [material for material, _ in ask(root, IN_FORCE)] == [
        "drip trim", "resin", "topcoat grey",
    ]  # fmt: skip
