"""Whole runs on real files."""

from dataclasses import dataclass
from pathlib import Path

import duckdb
import pytest

from pipelines.month.demonstration import prepare_demonstration
from pipelines.month.run import run_month
from pipelines.month.summary import RunSummary


@dataclass(frozen=True)
class Ran:
    """A folder after its run, and what the run said."""

    root: Path
    summary: RunSummary


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Ran:
    root = tmp_path_factory.mktemp("demo") / "firm"
    prepare_demonstration(root)
    return Ran(root, run_month(root))


@pytest.fixture
def ask():
    """Return a function that asks a firm's published warehouse and gives rows as tuples."""

    def asked(root: Path, question: str, *values):
        with duckdb.connect(str(root / "warehouse.duckdb"), read_only=True) as connection:
            return connection.execute(question, list(values)).fetchall()

    return asked
