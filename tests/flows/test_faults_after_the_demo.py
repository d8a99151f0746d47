"""Each fault of the catalogue handed in after two years of the invented firm's papers."""

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path

import polars as pl
import pytest

from pipelines.month.folder import open_folder
from pipelines.month.graph import Stage
from pipelines.month.progress import Silent
from pipelines.month.read_receipt import ReadReceipt
from pipelines.month.receipts import judge_receipts, read_receipts
from pipelines.month.stages import list_stages
from pipelines.month.working_out import work_out
from pipelines.receiving.mapping_files import load_mappings
from pipelines.receiving.mappings import SourceMapping
from pipelines.receiving.reading import read_file
from pipelines.receiving.register import Receipt, list_receipts, take_in
from pipelines.settings import Settings, read_settings
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.tables import fetch
from schemas.records import RECORDS
from tests.support.fault_cases import read_catalogue
from tests.support.fault_lists import JOBS, MAPPING, MATERIALS
from tests.support.fault_outcomes import (
    Tables,
    assert_counts_add_up,
    assert_others_stand,
    assert_row,
    assert_told,
)

CASES = read_catalogue()
DAY = datetime(2026, 6, 1, 7, tzinfo=UTC)
LEDGER = [f"ledger.{record}" for record in RECORDS]


@dataclass(frozen=True)
class Firm:
    """The invented firm with the catalogue's lists taken in after its own papers."""

    settings: Settings
    mappings: tuple[SourceMapping, ...]
    held: tuple[ReadReceipt, ...]

    def read(self, path: Path, later: int, batch: int) -> ReadReceipt:
        """Return a file as the receipt that many after those held, of that later batch."""
        number, batch_no = (max(found) for found in zip(*map(_numbers, self.held), strict=True))
        at = DAY + timedelta(hours=batch_no + batch)
        receipt = Receipt(number + later, at, "", path.name, path)
        file = read_file(path, path.name, self.mappings, RECORDS)
        return ReadReceipt(receipt, batch_no + batch, file)

    def work_out(self, later: list[ReadReceipt]) -> tuple[Tables, Tables]:
        """Return what judging says with the later receipts too, and every ledger relation."""
        judged = judge_receipts([*self.held, *later], self.settings, DAY.date())
        with open_in_memory() as connection:
            stages = [
                _as_judged(stage, judged) for stage in list_stages(self.settings, DAY.date(), ())
            ]
            work_out(connection, stages, Silent(), LEDGER)
            return judged, {name: fetch(connection, name) for name in LEDGER}


def _numbers(one: ReadReceipt) -> tuple[int, int]:
    return one.receipt.receipt_no, one.batch_no


def _as_judged(stage: Stage, judged: Tables) -> Stage:
    if stage.name != "judging":
        return stage
    return Stage(stage.name, stage.says, stage.reads, stage.writes, lambda _: judged)


@pytest.fixture(scope="module")
def firm(tmp_path_factory) -> Firm:
    """Return the firm; of the catalogue's materials, only those that it does not have itself."""
    folder = open_folder(
        shutil.copytree(
            str(files("sample_data") / "firm"), tmp_path_factory.mktemp("demo") / "firm"
        )
    )
    (folder.mappings / "cliffgate.toml").write_text(MAPPING, encoding="utf-8")
    take_in(folder.inbox, folder.received, DAY)
    settings = read_settings(folder.settings_file)
    mappings = load_mappings(folder.mappings, RECORDS)
    own = read_receipts(list_receipts(folder.received), mappings, lambda _done, _of: None)
    alone = Firm(settings, mappings, tuple(own))
    known = judge_receipts(own, settings, DAY.date())["history.materials"]["material"].to_list()
    heading, *rows = MATERIALS.strip().splitlines()
    rows = [row for row in rows if row.split(",")[0] not in known]
    lists = {"materials catalogue.csv": "\n".join([heading, *rows]), "jobs catalogue.csv": JOBS}
    for name, text in lists.items():
        (folder.inbox / name).write_text(text, encoding="utf-8")
    brought = [alone.read(folder.inbox / name, later, 1) for later, name in enumerate(lists, 1)]
    return Firm(settings, mappings, (*own, *brought))


@pytest.fixture(scope="module")
def before(firm) -> tuple[Tables, Tables]:
    return firm.work_out([])


def _thinned():
    """Give every seventh case to the ordinary run, and all of them to the slow one."""
    return [
        pytest.param(
            case,
            id=f"{case.no:02} {case.name}",
            marks=() if case.no % 7 == 0 else pytest.mark.slow,
        )
        for case in CASES
    ]


def test_the_firm_takes_in_the_lists_whole(before):
    judged, ledger = before
    files = judged["receipt.file"].filter(pl.col("file_name").str.contains("catalogue"))

    assert files["rejected_count"].to_list() == [0, 0]
    assert ledger["ledger.jobs"].height == 312 + 71


@pytest.mark.parametrize("case", _thinned())
def test_a_fault_changes_nothing_else_in_the_ledger(case, firm, before, tmp_path):
    """Hold the case's rows, the counts of all files, and the ledger but for the case's own keys."""
    taken = [file for file in case.files if not (file.left or file.held)]
    later = [
        firm.read(file.write(tmp_path), number, file.batch) for number, file in enumerate(taken, 1)
    ]

    judged, ledger = firm.work_out(later)

    for file, one in zip(taken, later, strict=True):
        told = [(fault.why, fault.mend) for fault in one.file.faults]
        assert_told(file, told, one.file.notes, is_read=bool(one.file.sheets))
    for row in case.rows:
        assert_row(row, case, judged)
    assert_counts_add_up(judged)
    assert_others_stand(judged, before[0], len(firm.held))
    for record, kind in RECORDS.items():
        own = _own_keys(judged, f"history.{record}", len(firm.held))
        others, was = ledger[f"ledger.{record}"], before[1][f"ledger.{record}"]
        if own is not None:
            others = others.join(own, on=list(kind.key), nulls_equal=True, how="anti")
        assert others.sort(others.columns).equals(was.sort(was.columns)), record


def _own_keys(judged: Tables, history: str, held_count: int) -> pl.DataFrame | None:
    """Return the keys of the rows that came later; None where nothing of that kind ever came."""
    if history not in judged:
        return None
    key = list(RECORDS[history.removeprefix("history.")].key)
    return judged[history].filter(pl.col("receipt_no") > held_count).select(key)
