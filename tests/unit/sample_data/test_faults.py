"""Planted faults: where they are said to be, and nowhere else; committed files are fresh."""

import csv
import shutil
from collections import Counter
from pathlib import Path

import pytest

import sample_data
from sample_data.books import open_page
from sample_data.differences import plant_differences, write_differences
from sample_data.faults import PLANTED, Planted, plant, write_planted
from sample_data.generate import generate

COMMITTED = Path(sample_data.__file__).parent


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("clean")
    generate(folder)
    return folder


@pytest.fixture(scope="module")
def faulty(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Planted]]:
    folder = tmp_path_factory.mktemp("faulty")
    generate(folder)
    planted = plant(folder / "firm" / "inbox")
    write_planted(folder / "truth", planted)
    return folder, planted


def read_bytes(folder: Path) -> dict[str, bytes]:
    files = (
        path for top in ("firm", "truth") for path in (folder / top).rglob("*") if path.is_file()
    )
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_committed_files_are_a_fresh_generation(
    faulty: tuple[Path, list[Planted]], tmp_path: Path
) -> None:
    folder = shutil.copytree(faulty[0], tmp_path / "made")
    write_differences(folder / "truth", plant_differences(folder / "firm" / "inbox"))

    fresh, committed = read_bytes(folder), read_bytes(COMMITTED)

    assert sorted(fresh) == sorted(committed)
    assert [name for name in fresh if fresh[name] != committed[name]] == []


def test_committed_files_are_small() -> None:
    assert sum(map(len, read_bytes(COMMITTED).values())) < 3_000_000


def test_twelve_different_faults_of_every_outcome() -> None:
    assert len({fault.name for fault in PLANTED}) == 12
    assert Counter(fault.outcome for fault in PLANTED) == {
        "repaired": 4,
        "rejected": 4,
        "held back": 2,
        "already held": 1,
        "skipped": 1,
    }


def test_every_planted_value_stands_in_its_row(faulty: tuple[Path, list[Planted]]) -> None:
    for planted in faulty[1]:
        rows = open_page(faulty[0] / "firm" / "inbox" / planted.file, planted.sheet).read_rows()
        header = next(row for row in rows.values() if planted.column in row)
        assert rows[planted.row_no][header.index(planted.column)] == planted.value, planted.name


def test_only_planted_files_differ(clean: Path, faulty: tuple[Path, list[Planted]]) -> None:
    before, after = read_bytes(clean), read_bytes(faulty[0])
    changed = {Path(name).name for name in before if before[name] != after[name]}
    assert changed == {planted.file for planted in faulty[1]}


def test_planted_list_names_what_was_planted(faulty: tuple[Path, list[Planted]]) -> None:
    with (faulty[0] / "truth" / "planted.csv").open(encoding="utf-8", newline="") as file:
        listed = [(row["fault"], row["file"], int(row["row_no"])) for row in csv.DictReader(file)]
    assert listed == [(each.name, each.file, each.row_no) for each in faulty[1]]


def test_one_fault_alone_changes_one_cell(clean: Path, tmp_path: Path) -> None:
    name = "extras.csv"
    (tmp_path / name).write_bytes((clean / "firm" / "inbox" / name).read_bytes())
    planted = plant(tmp_path, {"date that is no day"})
    before = open_page(clean / "firm" / "inbox" / name, "").read_rows()
    after = open_page(tmp_path / name, "").read_rows()
    changed = [row_no for row_no in before if before[row_no] != after[row_no]]
    assert changed == [planted[0].row_no]


def test_a_fault_without_its_row_says_which(tmp_path: Path) -> None:
    (tmp_path / "extras.csv").write_text("job_ref,agreed_on\r\n2024-001,2024-06-03\r\n")
    with pytest.raises(
        ValueError, match=r"extras\.csv: no row for the fault 'date that is no day'"
    ):
        plant(tmp_path, {"date that is no day"})
