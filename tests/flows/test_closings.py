"""Months closed: what was printed is kept, and what changes later is told with its cause."""

import shutil
from decimal import Decimal

import pytest

from pipelines.month import closings, run
from pipelines.month.run import run_month
from tests.support.small_firm import SETTINGS, drop, make_firm
from tests.support.warehouses import find_differences

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
    2026-001,garage,2026-04-10,18.0,2400.00
    2026-002,porch,2026-04-20,6.0,900.00
"""
CARDS = """
    job_ref,material,unit,issued_quantity,how
    2026-001,resin,kg,30,weighed
    2026-002,resin,kg,10,weighed
"""
BOUGHT = """
    supplier,document_no,document_on,description,line_net_gbp,material,packs,pack_size,unit
    Wharf Supplies,1001,2026-03-20,resin,240.00,resin,4,20,kg
"""
CLOSED = """
    month_on,closed_on,closed_by
    2026-04-01,2026-05-08,the office
"""
FIRM = {"jobs.csv": JOBS, "job materials.csv": CARDS, "purchases.csv": BOUGHT}
KEPT = "SELECT job_ref, figure, gbp FROM ledger.closed_figures ORDER BY job_ref NULLS LAST, figure"
RESTATED = """
    SELECT job_ref, figure, as_closed_gbp, as_now_gbp, change_gbp, records_gbp, method_gbp, cause
    FROM comparison.restatement
    WHERE figure = 'left'
    ORDER BY job_ref NULLS LAST
"""
AS_PRINTED = [
    ("2026-001", "left", Decimal("2310.00")),
    ("2026-001", "materials", Decimal("90.00")),
    ("2026-001", "price", Decimal("2400.00")),
    ("2026-002", "left", Decimal("870.00")),
    ("2026-002", "materials", Decimal("30.00")),
    ("2026-002", "price", Decimal("900.00")),
    (None, "left", Decimal("3180.00")),
    (None, "materials", Decimal("120.00")),
    (None, "price", Decimal("3300.00")),
]


@pytest.fixture(scope="module")
def closed_once(tmp_path_factory):
    root = make_firm(tmp_path_factory.mktemp("closed") / "firm", FIRM)
    run_month(root)
    drop(root, {"closings.csv": CLOSED})
    run_month(root)
    return root


@pytest.fixture
def closed(closed_once, tmp_path):
    return shutil.copytree(closed_once, tmp_path / "closed")


def test_the_run_that_books_a_closing_keeps_the_months_figures_as_a_receipt(closed, ask):

    (kept,) = (closed / "received").glob("*closed figures*")
    (closing,) = (closed / "received").glob("*closings*")
    assert kept.name.split("_")[1] == closing.name.split("_")[1]
    assert kept.name.endswith("_closed figures 2026-04.csv")
    assert ask(closed, KEPT) == AS_PRINTED
    assert ask(closed, RESTATED) == []
    assert ask(closed, "SELECT count(*) FROM page.received") == [(1,)]


def test_a_second_run_finds_nothing_new(closed):

    assert not run_month(closed).is_new


def test_a_warehouse_deleted_is_made_again_equal(closed, tmp_path):
    before = shutil.copy(closed / "warehouse.duckdb", tmp_path / "before.duckdb")
    (closed / "warehouse.duckdb").unlink()

    run_month(closed)

    assert find_differences(before, closed / "warehouse.duckdb") == {}


def test_a_late_row_restates_the_month_and_is_named(closed, ask):
    drop(closed, {"late card.csv": CARDS.splitlines()[1] + "\n    2026-002,resin,kg,5,weighed"})
    summary = run_month(closed)

    cause = "late card.csv, row 2"
    fifteen = (Decimal("-15.00"), Decimal("-15.00"), Decimal("0.00"), cause)
    assert ask(closed, RESTATED) == [
        ("2026-002", "left", Decimal("870.00"), Decimal("855.00"), *fifteen),
        (None, "left", Decimal("3180.00"), Decimal("3165.00"), *fifteen),
    ]
    assert ask(closed, KEPT) == AS_PRINTED
    assert summary.restated == ()  # below £25, and below 1 % of the month


def test_a_row_taken_back_restates_the_month_and_names_who_took_it_back(closed, ask):
    taken = """
        record,key,withdrawn_on
        job_materials,job_ref=2026-001; material=resin,2026-05-20
    """
    drop(closed, {"withdrawn.csv": taken})
    summary = run_month(closed)

    (job, total) = ask(closed, RESTATED)
    assert job[0] == "2026-001"
    assert job[3] is None
    assert job[4] == total[4] == Decimal("-2310.00")
    assert job[7] == total[7] == "taken back by withdrawn.csv, row 2"
    (sentence,) = summary.restated
    assert "taken back by withdrawn.csv, row 2" in sentence


def test_what_settings_change_is_told_apart_from_what_rows_change(tmp_path, ask):
    """Delivery of 16.00 over 80 kg is 6.00 on 30 kg and 2.00 on 10; the late 5 kg cost 15.00."""
    carried = """
        supplier,document_no,document_on,description,line_net_gbp,material,packs,pack_size,unit,line_kind
        Wharf Supplies,1001,2026-03-20,resin,240.00,resin,4,20,kg,goods
        Wharf Supplies,1001,2026-03-20,delivery,16.00,,,,,carriage
    """
    root = make_firm(tmp_path / "firm", {**FIRM, "purchases.csv": carried, "closings.csv": CLOSED})
    run_month(root)

    settings = root / "settings" / "settings.toml"
    settings.write_text('carriage = "own line"\n' + SETTINGS, encoding="utf-8")
    drop(root, {"late card.csv": CARDS.splitlines()[1] + "\n    2026-002,resin,kg,5,weighed"})
    run_month(root)

    both = "late card.csv, row 2; and settings or method"
    told = [(row[0], *(int(gbp) for gbp in row[4:7]), row[7]) for row in ask(root, RESTATED)]
    assert told == [
        ("2026-001", 6, 0, 6, "settings or method"),
        ("2026-002", -13, -15, 2, both),
        (None, -7, -15, 8, both),
    ]


@pytest.mark.slow
def test_a_month_closed_again_is_as_printed_the_second_time(closed, ask):
    drop(closed, {"late card.csv": CARDS.splitlines()[1] + "\n    2026-002,resin,kg,5,weighed"})
    run_month(closed)
    drop(closed, {"closings.csv": CLOSED.replace("05-08", "05-25")})
    run_month(closed)

    assert ask(closed, RESTATED) == []
    assert len(list((closed / "received").glob("*closed figures*"))) == 2
    assert not run_month(closed).is_new


def test_a_month_without_a_job_is_kept_as_nothing(tmp_path, ask):
    root = make_firm(tmp_path / "firm", FIRM)
    drop(root, {"closings.csv": CLOSED.replace("2026-04-01", "2026-03-01")})
    run_month(root)

    assert ask(root, KEPT) == [
        (None, "left", Decimal("0.00")),
        (None, "materials", Decimal("0.00")),
        (None, "price", Decimal("0.00")),
    ]


def test_figures_that_are_handed_in_with_the_closing_are_what_was_printed(tmp_path, ask):
    figures = """
        month_on,figure,gbp
        2026-04-01,left,3000.00
    """
    root = make_firm(tmp_path / "firm", FIRM)
    drop(root, {"closings.csv": CLOSED, "printed.csv": figures})
    (root / "inbox" / "printed.csv").rename(root / "inbox" / "closed_figures.csv")
    run_month(root)

    assert ask(root, KEPT) == [(None, "left", Decimal("3000.00"))]
    assert [row[4] for row in ask(root, RESTATED)] == [Decimal("180.00")]
    assert list((root / "received").glob("*closed figures 2026-04*")) == []


class BrokenOffError(Exception):
    """Stands for a machine that is switched off."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("where", "step"),
    [
        (closings, "keep_own"),
        (closings, "read_own"),
        (run, "publish_warehouse"),
        (run, "clear_inbox"),
    ],
)
def test_a_run_broken_off_at_any_step_keeps_the_figures_of_its_batch(
    tmp_path, monkeypatch, ask, where, step
):
    root = make_firm(tmp_path / "firm", FIRM)
    drop(root, {"closings.csv": CLOSED})

    def break_off(*_: object) -> None:
        raise BrokenOffError

    with monkeypatch.context() as patched:
        patched.setattr(where, step, break_off)
        with pytest.raises(BrokenOffError):
            run_month(root)
    late = CARDS.splitlines()[1] + "\n    2026-002,resin,kg,5,weighed"
    drop(root, {"late card.csv": late})
    run_month(root)

    assert ask(root, KEPT) == AS_PRINTED
    assert [row[7] for row in ask(root, RESTATED)] == ["late card.csv, row 2"] * 2
    assert len(list((root / "received").glob("*closed figures*"))) == 1
    assert not run_month(root).is_new


def test_the_demo_keeps_its_three_months_and_a_second_run_has_nothing_to_do(demo, ask):
    kept = "SELECT month_on, sum(gbp) FROM ledger.closed_figures WHERE job_ref IS NULL GROUP BY 1"

    assert demo.summary.closed == tuple(f"closed figures 2026-0{month}" for month in (2, 3, 4))
    assert len(ask(demo.root, kept)) == 3
    assert ask(demo.root, "SELECT count(*) FROM comparison.restatement") == [(0,)]


def test_a_rate_of_vat_not_known_is_neither_a_change_nor_a_figure_to_keep(closed, ask):
    settings = closed / "settings" / "settings.toml"
    settings.write_text(f'vat = "flat rate"\n{settings.read_text("utf-8")}', "utf-8")

    summary = run_month(closed)

    rate = (None, None, None, None, "a rate of VAT is not known")
    assert ask(closed, RESTATED) == [
        ("2026-001", "left", Decimal("2310.00"), *rate),
        ("2026-002", "left", Decimal("870.00"), *rate),
        (None, "left", Decimal("3180.00"), *rate),
    ]
    (sentence,) = summary.restated
    assert sentence == (
        "What April\xa02026 leaves is not known now, and £3,180 was printed when it was closed: "
        "a rate of VAT is not known."
    )
    assert ask(closed, KEPT) == AS_PRINTED


def test_a_month_closed_while_no_job_is_known_keeps_no_figure(tmp_path, ask):
    root = make_firm(tmp_path / "firm", FIRM)
    settings = root / "settings" / "settings.toml"
    settings.write_text(f'vat = "flat rate"\n{settings.read_text("utf-8")}', "utf-8")
    drop(root, {"closings.csv": CLOSED})

    run_month(root)

    assert ask(root, KEPT) == []
    assert ask(root, RESTATED) == []
    assert not run_month(root).is_new
