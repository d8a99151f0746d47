"""Each planted fault alone, and all together: what was expected and what was found."""

import shutil
from datetime import UTC, date, datetime
from importlib.resources import files
from types import SimpleNamespace

import polars as pl
import pytest

from pipelines.month.receipts import judge_receipts, read_receipts
from pipelines.month.run import run_month
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.register import list_receipts, take_in
from pipelines.settings import read_settings
from sample_data.faults import PLANTED, plant
from sample_data.generate import generate
from schemas.records import RECORDS

PLACE = ["file_name", "sheet", "row_no"]
READ = ("repaired", "rejected", "already held", "skipped")


@pytest.fixture(scope="module")
def clean(tmp_path_factory):
    root = tmp_path_factory.mktemp("clean")
    generate(root)
    return root


def _judged(firm):
    take_in(firm / "inbox", firm / "received", datetime(2026, 6, 1, 7, tzinfo=UTC))
    settings = read_settings(firm / "settings" / "settings.toml")
    mappings = load_mappings(firm / "settings" / "mappings", RECORDS)
    read = read_receipts(list_receipts(firm / "received"), mappings, lambda _done, _of: None)
    return judge_receipts(read, settings, date(2026, 6, 1))


def _outcomes(tables):
    files = tables["receipt.file"].select("receipt_no", "file_name")
    return tables["receipt.row_outcome"].join(files, on="receipt_no").drop("receipt_no")


@pytest.fixture(scope="module")
def sound(clean, tmp_path_factory):
    firm = shutil.copytree(clean / "firm", tmp_path_factory.mktemp("sound") / "firm")
    return _outcomes(_judged(firm))


def test_without_faults_nothing_is_rejected_or_mended(sound):
    found = sound.filter(pl.col("outcome").is_in(["rejected", "repaired", "already held"]))

    assert found.is_empty(), found


@pytest.mark.parametrize("fault", PLANTED, ids=lambda fault: fault.name)
def test_one_fault_alone_is_found_and_touches_no_other_row(clean, sound, tmp_path, fault):
    firm = shutil.copytree(clean / "firm", tmp_path / "firm")
    planted = plant(firm / "inbox", [fault.name])

    tables = _judged(firm)
    outcomes = _outcomes(tables)

    places = pl.DataFrame(
        [(each.file, each.sheet, each.row_no) for each in planted], PLACE, orient="row"
    )
    here = outcomes.join(places, on=PLACE)
    if fault.outcome in READ:
        concerned = here.filter(pl.col("outcome") == fault.outcome)
        assert concerned.select(PLACE).unique().height == places.height, here
    else:
        assert set(here["outcome"]) == {"clean"}, here
    told = _told(tables, fault)
    assert all(word in told for word in fault.words), told
    assert _others(outcomes, places).equals(_others(sound, places))


def _told(tables, fault):
    if fault.outcome == "repaired":
        return " ".join(tables["receipt.repair"].filter(pl.col("rule") != "converted")["rule"])
    if fault.outcome == "rejected":
        return " ".join(tables["receipt.reject"]["reason"])
    if fault.outcome in {"already held", "skipped"}:
        return " ".join(tables["receipt.row_outcome"]["reason"].drop_nulls())
    return " ".join(fault.words)  # what is held back shows only in the ledger: see below


def _others(outcomes, places):
    """Rows of other files as they were; a fault may add a row to its own file."""
    kept = outcomes.join(places.select("file_name").unique(), on="file_name", how="anti")
    return kept.drop("reason").sort(kept.drop("reason").columns)


def test_counts_add_up_for_every_file_with_every_fault(demo, ask):
    stops = ask(
        demo.root,
        "SELECT check_name, fault_count FROM result.check_outcome WHERE severity = 'stop'",
    )

    assert ("rows_not_accounted_for", 0) in stops
    assert [name for name, count in stops if count] == []


HELD_BACK = [fault for fault in PLANTED if fault.outcome == "held back"]


def _planted_rows():
    text = (files("sample_data") / "truth" / "planted.csv").read_text(encoding="utf-8")
    rows = pl.read_csv(text.encode(), infer_schema=False).to_dicts()
    return [SimpleNamespace(**{**row, "sheet": row["sheet"] or ""}) for row in rows]


@pytest.mark.parametrize("row", _planted_rows(), ids=lambda row: f"{row.fault} {row.row_no}")
def test_all_faults_together_are_found(demo, ask, row):
    found = ask(
        demo.root,
        """
        SELECT DISTINCT row_outcome.outcome
        FROM receipt.row_outcome AS row_outcome
        INNER JOIN receipt.file AS file ON row_outcome.receipt_no = file.receipt_no
        WHERE file.file_name = $1 AND row_outcome.sheet = $2 AND row_outcome.row_no = $3
        """,
        row.file,
        row.sheet,
        int(row.row_no),
    )

    expected = "clean" if row.outcome == "held back" else row.outcome
    assert (expected,) in found


@pytest.mark.parametrize("fault", HELD_BACK, ids=lambda fault: fault.name)
def test_what_is_odd_is_booked_and_held_back_from_learning(demo, ask, fault):
    row = next(row for row in _planted_rows() if row.fault == fault.name)
    held = ask(
        demo.root,
        """
        SELECT held_back.job_ref, held_back.reason
        FROM learn.held_back AS held_back
        INNER JOIN history.job_materials AS used
            ON held_back.job_ref = used.job_ref AND held_back.material = used.material
        INNER JOIN receipt.file AS file ON used.receipt_no = file.receipt_no
        WHERE held_back.material = 'resin' AND file.file_name = $1 AND used.row_no = $2
        """,
        row.file,
        int(row.row_no),
    )

    assert held
    job_ref = held[0][0]
    assert ask(
        demo.root,
        "SELECT count(*) FROM comparison.use_by_job WHERE job_ref = $1 AND material = 'resin' "
        "AND used_gbp > 0",
        job_ref,
    ) == [(1,)]
    assert ask(
        demo.root,
        "SELECT count(*) FROM learn.use_line WHERE job_ref = $1 AND material = 'resin'",
        job_ref,
    ) == [(0,)]


@pytest.mark.slow
def test_a_whole_run_on_clean_files_warns_only_of_what_was_lost_without_a_word(clean, tmp_path):
    firm = shutil.copytree(clean / "firm", tmp_path / "firm")

    summary = run_month(firm)

    assert summary.rejected_count == 0
    assert len(summary.warnings) == 1
    assert "of material this month has no job against it" in summary.warnings[0]
