"""A small firm that counts its primer and books it on no job."""

from datetime import date
from decimal import Decimal

import pytest

from tests.slow.worked_out import work_out

MONTHS = range(1, 6)
SETTINGS = 'firm = "Test Roofs"\nas_of = 2026-06-01\n[job_types.garage]\n'
WANTED = ("result.shared_use", "result.shared_job", "result.count_test", "learn.use_line")


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory):
    root = tmp_path_factory.mktemp("primer") / "firm"
    inbox = root / "inbox"
    inbox.mkdir(parents=True)
    (root / "settings" / "mappings").mkdir(parents=True)
    (root / "settings" / "settings.toml").write_text(SETTINGS, encoding="utf-8")
    _write(inbox / "materials.csv", "material,kind,unit,pack_size", ["primer,primer,kg,5"])
    _write(
        inbox / "stock_counts.csv",
        "counted_on,material,full_packs",
        [f"{date(2026, month, 28)},primer,4" for month in MONTHS],
    )
    _write(
        inbox / "purchases.csv",
        "supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,"
        "line_net_gbp",
        [
            f"merchant,{month},1,{date(2026, month, 5)},primer,primer,2,5,kg,70.00"
            for month in MONTHS
        ],
    )
    _write(inbox / "jobs.csv", "job_ref,job_type,completed_on", _jobs())
    _write(inbox / "job_materials.csv", "job_ref,material,fitted_net_quantity", _needs())
    return work_out(root, WANTED)


def _write(path, header, lines):
    path.write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")


def _jobs():
    return [
        f"2026-{month}{job:02d},garage,{date(2026, month, 9 + job)}"
        for month in MONTHS
        for job in (1, 2)
    ]


def _needs():
    return [f"2026-{month}{job:02d},primer,{3 * job}" for month in MONTHS for job in (1, 2)]


def test_ten_kilograms_a_month_on_nine_of_need_are_a_ninth_on_top(worked_out):
    found = worked_out["result.shared_use"].row(0, named=True)

    assert (found["period_count"], found["job_count"]) == (4, 8)
    assert found["use_ratio"] == pytest.approx(1 / 9)
    assert found["label"] == "shared out, not measured"


def test_each_month_is_shared_by_need_and_the_first_has_no_count_before_it(worked_out):
    rows = worked_out["result.shared_job"].sort("job_ref").select("job_ref", "shared_quantity")

    assert rows.rows()[:2] == [("2026-201", Decimal("3.333")), ("2026-202", Decimal("6.667"))]
    assert len(rows) == 8


def test_nothing_of_it_is_tested_or_learned_from(worked_out):
    assert not worked_out["result.count_test"]["is_tested"].any()
    assert worked_out["learn.use_line"].is_empty()
