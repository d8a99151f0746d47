"""From a figure of the demo back to the rows that it rests on."""

import json
import shutil
from decimal import Decimal
from pathlib import Path

import duckdb
import polars as pl
import pytest

from pipelines.cli import main
from pipelines.errors import UnknownNameError
from pipelines.month.history_cells import HistoryCells
from pipelines.month.run import run_month
from pipelines.month.tracing import trace_job
from pipelines.warehouse.connection import open_for_reading
from tests.support.small_firm import make_firm

JOBS = ("2024-001", "2025-014", "2025-080")
QUANTITIES = ("issued", "returned", "used")


@pytest.fixture(scope="module")
def corrected(demo, tmp_path_factory) -> Path:
    """Return the demo after a later version of a quote workbook came in."""
    root = tmp_path_factory.mktemp("corrected") / "firm"
    shutil.copytree(demo.root, root)
    later = next((root / "later").iterdir())
    shutil.copy(later, root / "inbox" / later.name)
    run_month(root)
    return root


def _figures(material):
    return {figure.figure: figure for figure in material.figures}


def _rests(figure, column):
    return [Decimal(source.value) for source in figure.rests_on if source.column == column]


@pytest.mark.parametrize("job", JOBS)
def test_figures_are_those_of_the_relations(job, demo, ask):
    traced = trace_job(demo.root, job)

    shown = {each.material: _figures(each) for each in traced.materials}
    told = ask(
        demo.root,
        """
        SELECT material, issued_quantity, returned_quantity, used_quantity
        FROM usage.job_quantity WHERE job_ref = ?
        """,
        job,
    )
    assert told
    for material, *quantities in told:
        assert [shown[material][name].value for name in QUANTITIES] == quantities
    money = ask(
        demo.root, "SELECT material, used_gbp FROM comparison.use_by_job WHERE job_ref = ?", job
    )
    assert {material: shown[material]["used money"].value for material, _ in money} == dict(money)


@pytest.mark.parametrize("job", JOBS)
def test_the_rows_come_to_the_figures_that_rest_on_them(job, demo):
    traced = trace_job(demo.root, job)
    assert len(traced.materials) > 8

    for material in traced.materials:
        figures = _figures(material)
        for name in ("issued", "returned"):
            rows = _rests(figures[name], f"{name}_quantity")
            assert sum(rows) == (figures[name].value or 0)
        moved = {name: figures[name].value or 0 for name in figures["used"].made_of}
        if figures["used"].value is not None:
            assert figures["used"].value == (
                moved["issued"] + moved["from rack"] - moved["returned"] - moved["racked"]
            )
        if material.base_unit == "m":
            for name in ("from rack", "racked"):
                pieces = [
                    Decimal(source.value) * Decimal(source.key["length_mm"]) / 1000
                    for source in figures[name].rests_on
                ]
                assert sum(pieces) == (figures[name].value or 0)
        if figures["price"].how == "list":
            (source,) = figures["price"].rests_on
            price = Decimal(source.value) / Decimal(source.key["pack_size"])
            assert figures["price"].value == pytest.approx(price, abs=Decimal("0.00005"))
    own = {figure.figure: figure.value for figure in traced.figures}
    costs = [_figures(each)["cost"].value for each in traced.materials]
    assert own["materials"] == sum(value for value in costs if value is not None)
    assert own["left"] == own["price"] - own["materials"]


def test_a_mended_value_shows_what_came_in(demo):
    traced = trace_job(demo.root, "2025-080")

    (price,) = [figure for figure in traced.figures if figure.figure == "price"]
    quoted = price.rests_on[0]
    assert quoted.value == "1660.00"
    assert [(each.before, each.after) for each in quoted.mended] == [("1,660.00", "1660.00")]


def test_a_converted_value_shows_what_came_in(demo):
    (trim,) = trace_job(demo.root, "2025-014", "drip trim").materials

    (issued,) = _figures(trim)["issued"].rests_on
    assert issued.value == "6.000"
    assert [each.before for each in issued.mended] == ["2 lengths"]


def test_a_replaced_value_shows_with_its_file_and_row(corrected):
    traced = trace_job(corrected, "2025-002")

    (price,) = [figure for figure in traced.figures if figure.figure == "price"]
    quoted = price.rests_on[0]
    assert (quoted.value, quoted.file, quoted.row) == ("1830.00", "quotes 2025 q1 v2.xlsx", 3)
    (older,) = quoted.replaced
    assert (older.value, older.file, older.row) == ("1770.00", "quotes 2025 q1.xlsx", 3)
    assert older.replaced_by == f"quotes 2025 q1 v2.xlsx, sheet {quoted.sheet}, row 3"
    (received,) = (corrected / "received").glob("*quotes 2025 q1 v2.xlsx")
    assert f"{older.replaced_on:%Y%m%d}" in received.name


def test_what_was_printed_at_a_closing_stands_beside_what_stands_now(demo, ask):
    (job,) = ask(demo.root, "SELECT min(job_ref) FROM ledger.closed_figures")[0]
    shown = {figure.figure: figure for figure in trace_job(demo.root, job).figures}

    for name in ("price", "materials", "left"):
        printed = shown[f"{name} as printed when closed"]
        assert (printed.value, printed.how) == (shown[name].value, "as it stands")
        (kept,) = printed.rests_on
        assert kept.file.startswith("closed figures 2026-")


@pytest.mark.parametrize(
    ("record", "columns", "ledger"),
    [
        ("jobs", ("quoted_area_m2", "quoted_price_gbp", "lay_up"), "ledger.jobs_as_typed"),
        ("job_materials", ("issued_quantity", "estimated_quantity"), "ledger.job_materials"),
        ("edges", ("quoted_mm", "fitted_mm"), "ledger.edges"),
        ("offcuts", ("pieces",), "ledger.offcuts"),
        ("prices", ("pack_price_gbp",), "ledger.prices"),
        ("purchases", ("line_net_gbp",), "ledger.purchases"),
    ],
)
def test_what_a_trace_calls_in_force_is_what_the_ledger_holds(corrected, record, columns, ledger):
    with open_for_reading(corrected / "warehouse.duckdb") as published:
        sources = HistoryCells(published).sources(record, pl.lit(value=True), columns)
    with duckdb.connect(str(corrected / "warehouse.duckdb"), read_only=True) as connection:
        for column in columns:
            told = connection.execute(
                f"SELECT CAST({column} AS VARCHAR) FROM {ledger} WHERE {column} IS NOT NULL"  # noqa: S608 - names of this file
            ).fetchall()
            shown = [each.value for each in sources if each.column == column]
            assert told
            assert sorted(shown) == sorted(value for (value,) in told)


def test_without_a_list_a_price_rests_on_the_invoice_lines_paid_last(tmp_path):
    files = {
        "jobs.csv": """
            job_ref,job_type,completed_on,quoted_area_m2
            2026-001,garage,2026-04-20,20
        """,
        "job_materials.csv": """
            job_ref,material,issued_quantity,unit
            2026-001,resin,30,kg
        """,
        "purchases.csv": """
            supplier,document_no,line_no,document_on,description,material,packs,pack_size,unit,line_net_gbp
            Slip End,71,1,2026-03-10,tin,resin,5,20,kg,300.00
            Slip End,72,1,2026-04-10,tin,resin,2,20,kg,124.00
            Slip End,73,1,2026-05-10,tin,resin,2,20,kg,140.00
        """,
    }
    root = make_firm(tmp_path / "firm", files)
    run_month(root)

    (resin,) = trace_job(root, "2026-001", "resin").materials

    price = _figures(resin)["price"]
    assert price.value == Decimal("3.1")  # 124 for 40 kg, ten days before
    rows = [(source.column, source.value, source.row) for source in price.rests_on]
    assert rows == [("quantity", "40.000", 3), ("line_net_gbp", "124.00", 3)]
    assert _figures(resin)["used money"].value == 93


def test_why_a_line_is_held_back_stands_beside_it(demo, ask):
    (job, material, reason), *_ = ask(
        demo.root, "SELECT job_ref, material, reason FROM learn.held_back ORDER BY ALL"
    )

    (traced,) = trace_job(demo.root, job, material).materials

    assert reason in traced.held_back


def test_a_spelling_of_a_job_is_that_job(demo):
    assert trace_job(demo.root, "2025/014", "Drip Trim").job_ref == "2025-014"


@pytest.mark.parametrize(
    ("job", "material", "near"),
    [("2025-0144", None, "2025-014"), ("2025-014", "drip", "drip trim")],
)
def test_an_unknown_name_brings_near_ones(job, material, near, demo):
    with pytest.raises(UnknownNameError, match=near):
        trace_job(demo.root, job, material)


def test_the_command_says_it_in_words_and_as_json(demo, capsys):
    words = ["trace", "2025-014", "drip trim", "--folder", str(demo.root)]

    assert main(words) == 0
    said = capsys.readouterr().out
    assert "2025-014, dormer, finished 19 March 2025" in said
    assert "came as 2 lengths, kept as 6.000 m: converted" in said
    assert main([*words, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert list(told) == [
        "job_ref", "job_type", "status", "completed_on", "figures", "materials",
    ]  # fmt: skip
    source = told["materials"][0]["figures"][0]["rests_on"][0]
    assert list(source) == [
        "record", "key", "column", "value", "file", "sheet", "row", "mended", "replaced",
    ]  # fmt: skip


def test_the_command_ends_with_4_where_nothing_is_known(demo, capsys):
    assert main(["trace", "2031-999", "--folder", str(demo.root)]) == 4
    assert "is no job that is known" in capsys.readouterr().err
