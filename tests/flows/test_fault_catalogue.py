"""Seventy faults as such a firm's files have them: each alone, and all together."""

from datetime import UTC, datetime

import duckdb
import pytest

from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import judge_receipts
from pipelines.month.run import run_month
from pipelines.receiving.inbox import find_reason_to_leave
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.reading import read_file
from pipelines.receiving.register import Receipt
from pipelines.settings import read_settings
from schemas.records import RECORDS
from tests.support.fault_cases import read_catalogue
from tests.support.fault_lists import JOBS, MAPPING, MATERIALS
from tests.support.fault_outcomes import (
    assert_counts_add_up,
    assert_others_stand,
    assert_row,
    assert_told,
)
from tests.support.small_firm import make_firm

CASES = read_catalogue()
DAY = datetime(2026, 6, 1, 7, tzinfo=UTC)

CARD = """
job_ref,material,unit,issued_quantity,returned_quantity
2026-100,resin,kg,40,8
2026-100,mat 450,m2,26,2
"""
INVOICE = """
supplier,document_no,document_on,description,line_net_gbp,line_no,material,packs,pack_price_gbp
Quayside Resins,30000,2026-05-01,Resin,164.00,1,resin,2,82.00
"""


@pytest.fixture(scope="module")
def firm(tmp_path_factory):
    root = make_firm(
        tmp_path_factory.mktemp("catalogue") / "firm",
        {"jobs.csv": JOBS, "job materials.csv": CARD, "purchases.csv": INVOICE},
    )
    (root / "inbox" / "materials.csv").write_text(MATERIALS.strip(), encoding="utf-8")
    (root / "settings" / "mappings" / "cliffgate.toml").write_text(MAPPING, encoding="utf-8")
    return root


@pytest.fixture(scope="module")
def read_in(firm):
    """Return a function that reads files as receipts after the firm's own clean ones."""
    mappings = load_mappings(firm / "settings" / "mappings", RECORDS)

    def read(receipt_no, path, batch_no):
        receipt = Receipt(receipt_no, DAY.replace(day=batch_no), "", path.name, path)
        return ReadReceipt(receipt, batch_no, read_file(path, path.name, mappings, RECORDS))

    own = [read(no, path, 1) for no, path in enumerate(sorted((firm / "inbox").iterdir()), 1)]

    def with_case(case, folder):
        taken = [file for file in case.files if not (file.left or file.held)]
        later = [
            read(no, file.write(folder), 1 + file.batch)
            for no, file in enumerate(taken, len(own) + 1)
        ]
        return own, later

    return with_case


@pytest.fixture(scope="module")
def settings(firm):
    return read_settings(firm / "settings" / "settings.toml")


@pytest.fixture(scope="module")
def clean(read_in, settings, tmp_path_factory):
    own, _ = read_in(CASES[0], tmp_path_factory.mktemp("unused"))
    return judge_receipts(own, settings, DAY.date())


def test_the_catalogue_is_whole():
    assert [case.no for case in CASES] == list(range(1, 71))
    names = [file.name for case in CASES for file in case.files]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.no:02} {case.name}")
def test_a_fault_alone(case, read_in, settings, clean, tmp_path):
    """Hold what comes of each row, the counts of every file, and all other rows."""
    own, later = read_in(case, tmp_path)
    tables = judge_receipts([*own, *later], settings, DAY.date())

    for file in case.files:
        if file.left:
            left = find_reason_to_leave(file.write(tmp_path), set())
            assert left is not None
            assert all(word in left.why for word in file.left), left
    for file, received in zip(
        [file for file in case.files if not (file.left or file.held)], later, strict=True
    ):
        told = [(fault.why, fault.mend) for fault in received.file.faults]
        assert_told(file, told, received.file.notes, is_read=bool(received.file.sheets))
    for row in case.rows:
        assert_row(row, case, tables)
    assert_counts_add_up(tables)
    assert_others_stand(tables, clean, len(own))


@pytest.fixture(scope="module")
def all_dropped(firm):
    """Return the firm after every fault of the catalogue, and what its ledger said before."""
    run_month(firm)
    before = {name: _ledger(firm, name) for name in RECORDS}
    said = []
    for batch in (1, 2):
        for file in (file for case in CASES for file in case.files if file.batch == batch):
            file.write(firm / "inbox")
        said.append(run_month(firm))
    return firm, before, said


def _ledger(root, record):
    with duckdb.connect(str(root / "warehouse.duckdb"), read_only=True) as connection:
        return connection.sql(f"FROM ledger.{record}").pl()


@pytest.mark.parametrize("record", RECORDS)
def test_all_together_change_nothing_else_in_the_ledger(all_dropped, record):
    root, before, _ = all_dropped
    key = list(RECORDS[record].key)

    after = _ledger(root, record)
    same = after.join(before[record].select(key), on=key, nulls_equal=True, how="semi")

    assert same.sort(key).equals(before[record].sort(key))


def test_all_together_are_counted_as_each_alone(all_dropped, ask):
    root, _, said = all_dropped
    files = [file for case in CASES for file in case.files]

    not_read = """
        SELECT count(*) FROM receipt.file WHERE outcome IN ('could not be read', 'to type in')
    """
    assert ask(root, not_read) == [(sum(bool(file.not_read) for file in files),)]
    assert sum(summary.held_files_count for summary in said) == sum(file.held for file in files)
    left = {note.file_name for note in said[0].left_in_inbox}
    assert left == {file.name for file in files if file.left}


def test_all_together_come_out_as_each_alone(all_dropped, ask):
    root, *_ = all_dropped
    found = ask(
        root,
        """
        SELECT DISTINCT file.file_name, row_outcome.row_no, row_outcome.outcome
        FROM receipt.row_outcome AS row_outcome
        INNER JOIN receipt.file AS file ON row_outcome.receipt_no = file.receipt_no
        """,
    )

    rows = [(case.files[row.file - 1].name, row) for case in CASES for row in case.rows]
    expected = {(name, row.row, row.outcome) for name, row in rows}
    assert expected - set(found) == set()


def _later(kind):
    return [
        pytest.param(each, id=f"{case.no:02} {case.name}")
        for case in CASES
        for each in case.later.get(kind, ())
    ]


@pytest.mark.parametrize("expected", _later("held_back"))
def test_what_is_unlikely_is_booked_and_held_back(all_dropped, ask, expected):
    root, *_ = all_dropped
    place = (expected["job"], expected["material"])
    reasons = ask(
        root, "SELECT reason FROM learn.held_back WHERE job_ref = $1 AND material = $2", *place
    )

    said = " ".join(reason for (reason,) in reasons)
    assert all(word in said for word in expected["says"]), said
    booked = "SELECT count(*) FROM usage.job_quantity WHERE job_ref = $1 AND material = $2"
    assert ask(root, booked, *place) == [(1,)]
    learned = "SELECT count(*) FROM learn.use_line WHERE job_ref = $1 AND material = $2"
    assert ask(root, learned, *place) == [(0,)]


@pytest.mark.parametrize("expected", _later("not_learned"))
def test_an_open_job_teaches_nothing(all_dropped, ask, expected):
    root, *_ = all_dropped
    issued = "SELECT count(*) FROM usage.job_quantity WHERE job_ref = $1"
    learned = "SELECT count(*) FROM learn.use_line WHERE job_ref = $1"

    assert ask(root, issued, expected["job"]) == [(1,)]
    assert ask(root, learned, expected["job"]) == [(0,)]


@pytest.mark.parametrize("expected", _later("warning"))
def test_what_is_taken_in_with_a_warning(all_dropped, ask, expected):
    root, *_ = all_dropped
    warned = ask(root, "SELECT fault FROM result.check_outcome WHERE severity = 'warn'")

    assert any(all(word in (fault or "") for word in expected["says"]) for (fault,) in warned), (
        warned
    )


@pytest.mark.parametrize("expected", _later("first_look"))
def test_what_the_first_look_names(all_dropped, ask, expected):
    root, *_ = all_dropped
    found = ask(
        root,
        "SELECT multiplied_gbp FROM comparison.line_not_multiplying WHERE document_no = $1",
        expected["document"],
    )

    assert len(found) == 1
