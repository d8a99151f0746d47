"""A firm whose run is broken off, and what the next run must come to: an undisturbed run."""

import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipelines.month import run as month
from tests.flows.killed_run import AS_OF, KILLED, FixedClock
from tests.support.small_firm import drop, make_firm

FIRST = {
    "jobs.csv": """
        job_ref,job_type,completed_on,quoted_area_m2
        2026-001,garage,2026-05-04,12
        2026-002,porch,2026-05-05,4
        """,
    "job materials.csv": """
        job_ref,material,unit,issued_quantity
        2026-001,resin,kg,21.5
        """,
}
SECOND = {
    "jobs (2).csv": """
        job_ref,job_type,completed_on,quoted_area_m2
        2026-001,garage,2026-05-04,14
        2026-003,castle,2026-05-06,10
        """,
    "jobs from the office.csv": """
        job_ref,job_type,completed_on,quoted_area_m2
        2026-004,garage,2026-05-11,9
        """,
    "jobs from the van.csv": """
        job_ref,job_type,completed_on,quoted_area_m2
        2026-004,garage,2026-05-11,19
        """,
}
"""A correction, a job type that nobody knows, and two files that contradict each other."""


@dataclass(frozen=True)
class Standing:
    """All that stands in a firm's folder after a run."""

    inbox: frozenset[str]
    received: dict[str, bytes]
    relations: dict[str, list[tuple[Any, ...]]]
    pages: dict[str, bytes]
    rejects: dict[str, bytes]


def make_waiting_firm(root: Path) -> Path:
    """Write a firm that has been run once, with new files in its inbox."""
    make_firm(root, FIRST)
    run_on_fixed_clock(root)
    drop(root, SECOND)
    return root


def run_on_fixed_clock(root: Path) -> None:
    """Run the firm's month at the same moment as every other run of these tests."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(month, "datetime", FixedClock)
        month.run_month(root, AS_OF)


def stand(root: Path) -> Standing:
    """Return all that stands in the folder."""
    return Standing(
        inbox=frozenset(path.name for path in (root / "inbox").iterdir()),
        received=_read(root / "received"),
        relations=_relations(root / "warehouse.duckdb"),
        pages=_read(root / "pages"),
        rejects=_read(root / "rejects"),
    )


def run_killed(root: Path, at: int, side: str) -> int | None:
    """
    Run the firm in a process that dies `side` (before, after) its step `at`.

    Return the count of steps where the run came to its end, else None.
    """
    ended = subprocess.run(
        [sys.executable, "-m", "tests.flows.killed_run", str(root), str(at), side],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode in {0, KILLED}, ended.stderr
    return int(ended.stdout) if ended.returncode == 0 else None


def copy_firm(waiting: Path, root: Path) -> Path:
    """Copy a whole firm's folder."""
    shutil.copytree(waiting, root)
    return root


def _read(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _relations(warehouse: Path) -> dict[str, list[tuple[Any, ...]]]:
    with duckdb.connect(str(warehouse), read_only=True) as connection:
        names = connection.execute(
            """
            SELECT DISTINCT columns.schema_name || '.' || columns.table_name
            FROM duckdb_columns() AS columns
            WHERE columns.schema_name NOT IN ('information_schema', 'main', 'pg_catalog')
            ORDER BY ALL
            """
        ).fetchall()
        return {
            name: connection.execute(f"FROM {name} ORDER BY ALL").fetchall() for (name,) in names
        }
