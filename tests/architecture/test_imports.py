"""Who may import whom, and what stands apart from what."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def test_import_contracts_hold():
    done = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports"))],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout


def _imported(file: Path) -> set[str]:
    roots = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            roots.update(alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            roots.add(node.module.split(".")[0])
    return roots


@pytest.mark.parametrize(
    "file", sorted((ROOT / "sample_data").rglob("*.py")), ids=lambda file: file.name
)
def test_the_invented_firm_knows_nothing_of_the_program(file):
    assert not _imported(file) & {"pipelines", "schemas", "sql", "reports"}


@pytest.mark.parametrize(
    "file", sorted((ROOT / "tests" / "support").rglob("*.py")), ids=lambda file: file.name
)
def test_what_tests_lean_on_knows_nothing_of_the_pipelines(file):
    assert "pipelines" not in _imported(file)


def test_one_module_alone_loads_the_orchestrator():
    files = [file for folder in ("pipelines", "reports") for file in (ROOT / folder).rglob("*.py")]

    loading = [file.relative_to(ROOT).as_posix() for file in files if "prefect" in _imported(file)]

    assert loading == ["pipelines/flows/month.py"]
