"""One run of the invented firm, and its papers read a second time."""

import csv
from collections.abc import Callable
from pathlib import Path

import duckdb
import pytest

from pipelines.month.demonstration import prepare_demonstration
from pipelines.month.run import run_month
from tests.agreement.papers import FIRM, Papers, read_papers

Ask = Callable[[str], dict]


@pytest.fixture(scope="session")
def ask(tmp_path_factory) -> Ask:
    """Return a function that asks the run's warehouse: rows by key, the key `keys` columns long."""
    root = tmp_path_factory.mktemp("agreement") / "firm"
    prepare_demonstration(root)
    run_month(root)

    def asked(question: str, keys: int = 1) -> dict:
        with duckdb.connect(str(root / "warehouse.duckdb"), read_only=True) as connection:
            rows = connection.execute(question).fetchall()
        by_key = {_alone(row[:keys]): _alone(row[keys:]) for row in rows}
        assert len(by_key) == len(rows)
        return by_key

    return asked


def _alone(cells: tuple) -> object:
    return cells[0] if len(cells) == 1 else cells


@pytest.fixture(scope="session")
def papers() -> Papers:
    return read_papers()


@pytest.fixture(scope="session")
def true_use() -> dict[tuple[str, str], float]:
    """Return what each job really used of each material, in base units."""
    with Path(FIRM.parent / "truth" / "use.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {(row["job_ref"], row["material"]): float(row["used"]) for row in rows}
