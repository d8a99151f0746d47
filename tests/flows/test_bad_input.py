"""What a person reads, and which exit code a command ends with, when something is wrong."""

import pytest

from pipelines.cli import main
from tests.support.small_firm import SETTINGS, drop, make_firm

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
    2026-001,garage,2026-05-04,18.0,2400.00
"""


def _run(root, capsys):
    code = main(["run", "--folder", str(root)])
    said = capsys.readouterr()
    return code, " ".join((said.out + said.err).split())


def test_no_such_folder(tmp_path, capsys):
    code, said = _run(tmp_path / "nowhere", capsys)

    assert code == 13
    assert "there is no such folder" in said
    assert "roofyield new" in said


def test_an_empty_folder_is_no_firms_folder(tmp_path, capsys):
    code, said = _run(tmp_path, capsys)

    assert code == 13
    assert "settings/settings.toml" in said


def test_an_empty_inbox(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {})
    (root / "inbox" / "materials.csv").unlink()

    code, said = _run(root, capsys)

    assert code == 4
    assert "The inbox is empty" in said


def test_an_unknown_setting_names_file_key_and_what_is_known(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {}, SETTINGS.replace("as_of", "asof"))

    code, said = _run(root, capsys)

    assert code == 11
    assert "settings.toml: setting 'asof' is not known; known here are:" in said
    assert "as_of" in said.split("known here are:")[1]
    assert [file.name for file in (root / "inbox").iterdir()] == ["materials.csv"]


def test_a_setting_of_another_kind(tmp_path, capsys):
    root = make_firm(
        tmp_path / "firm", {}, SETTINGS.replace("day_first = true", 'day_first = "yes"')
    )

    code, said = _run(root, capsys)

    assert code == 11
    assert "setting 'day_first' is 'yes'; it must be true or false" in said


def test_an_unreadable_file_and_the_others_are_taken_in(tmp_path, capsys, ask):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})
    (root / "inbox" / "edges.csv").write_bytes(b"job_ref,edge_no\n\x00\x01\x02\xff\xfe\x00")

    code, said = _run(root, capsys)

    assert code == 3
    assert "edges.csv" in said
    assert ask(root, "SELECT job_ref FROM ledger.jobs") == [("2026-001",)]
    assert any("edges.csv" in file.name for file in (root / "received").iterdir())


def test_a_file_of_another_kind(tmp_path, capsys, ask):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})
    (root / "inbox" / "roof.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(50))

    code, said = _run(root, capsys)

    assert code == 6
    assert "roof.png" in said
    assert "picture" in said
    assert ask(root, "SELECT count(*) FROM ledger.jobs") == [(1,)]
    assert any("roof.png" in file.name for file in (root / "received").iterdir())


def test_a_missing_column_is_named_with_what_was_found(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {"edges.csv": "job_ref,edge_no,quoted_mm\n2026-001,1,6000"})

    code, said = _run(root, capsys)

    assert code == 7
    assert "edges.csv" in said
    assert "material" in said


def test_two_files_that_contradict_each_other(tmp_path, capsys, ask):
    root = make_firm(
        tmp_path / "firm",
        {
            "jobs.csv": JOBS,
            "office jobs.csv": JOBS.replace("2400.00", "2450.00"),
        },
    )

    code, said = _run(root, capsys)

    assert code == 5
    assert "contradicts" in said
    assert "2450.00" in said
    assert "jobs.csv, row 2" in said
    assert ask(root, "SELECT count(*) FROM ledger.jobs") == [(0,)]
    rejects = ask(root, "SELECT column_name, value, reason, row_text FROM receipt.reject")
    assert {(column, value) for column, value, _, _ in rejects} == {
        ("quoted_price_gbp", "2400.00"),
        ("quoted_price_gbp", "2450.00"),
    }
    assert all("2026-001" in text for *_, text in rejects)


def test_a_contradicted_row_is_mended_by_handing_in_the_right_one(tmp_path, capsys, ask):
    root = make_firm(
        tmp_path / "firm",
        {"jobs.csv": JOBS, "office jobs.csv": JOBS.replace("2400.00", "2450.00")},
    )
    _run(root, capsys)
    drop(root, {"jobs put right.csv": JOBS.replace("2400.00", "2450.00").replace("18.0", "18.5")})

    code, _ = _run(root, capsys)

    assert code == 0
    assert ask(root, "SELECT quoted_price_gbp::VARCHAR FROM ledger.jobs") == [("2450.00",)]


@pytest.mark.parametrize("name", ["~$jobs.xlsx", "jobs.csv.part"])
def test_a_file_that_is_not_whole_stays_in_the_inbox(tmp_path, capsys, name):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})
    (root / "inbox" / name).write_bytes(b"half")

    code, said = _run(root, capsys)

    assert code == 0
    assert name in said
    assert [file.name for file in (root / "inbox").iterdir()] == [name]


def test_a_mapping_with_an_unknown_key(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {})
    (root / "settings" / "mappings" / "odd.toml").write_text(
        'name = "odd"\nkind = "table"\nrecord = "jobs"\nfiles = ["*"]\nheader = ["Job"]\n'
        'colour = "red"\n[columns]\n"Job" = "job_ref"\n'
    )

    code, said = _run(root, capsys)

    assert code == 12
    assert "odd.toml" in said
    assert "colour" in said


def test_another_run_at_work(tmp_path, capsys):
    from filelock import FileLock  # noqa: PLC0415 - one test alone holds the lock

    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})
    with FileLock(root / "run.lock"):
        code, said = _run(root, capsys)

    assert code == 14
    assert "another run is at work" in said


def test_a_row_that_cannot_be_read_names_file_row_column_value_and_remedy(tmp_path, capsys):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS.replace("2026-05-04", "31/02/2026")})

    code = main(["check", str(root / "inbox" / "jobs.csv"), "--folder", str(root)])
    said = " ".join(capsys.readouterr().out.split())

    assert code == 0
    assert "row 2, completed_on '31/02/2026' is no day of the calendar" in said
    assert "2026-03-31" in said
    assert not (root / "received").exists()
    assert not (root / "warehouse.duckdb").exists()
