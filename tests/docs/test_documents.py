"""README and DEVELOPERS say what is there."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from pipelines.cli.arguments import build_parser

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS = ("run", "demo", "new", "check", "allowances", "trace", "estimate")


def _commands():
    parser = build_parser()
    (choices,) = [action.choices for action in parser._actions if action.choices]  # noqa: SLF001 - argparse lists them nowhere else
    return choices


def test_the_commands_are_those_that_work():
    assert tuple(_commands()) == COMMANDS


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command):
    said = _commands()[command].format_help()

    assert f"example: roofyield {command}" in " ".join(said.split())
    assert "--json" in said


@pytest.mark.parametrize("command", ["run", "new", "check", "allowances", "trace", "estimate"])
def test_readme_names_every_command(command):
    assert f"roofyield {command}" in README


def test_every_folder_of_the_pipelines_is_on_the_map():
    folders = [
        path.name
        for path in (ROOT / "pipelines").iterdir()
        if path.is_dir() and not path.name.startswith("_")
    ]

    assert [name for name in folders if f"{name}/" not in DEVELOPERS] == []


def test_every_kind_of_test_is_on_the_map():
    folders = [path.name for path in (ROOT / "tests").iterdir() if path.is_dir()]

    known = [name for name in folders if name not in {"support", "__pycache__"}]
    assert [name for name in known if f"`{name}/`" not in DEVELOPERS] == []


def test_files_that_the_documents_name_are_there():
    linked = re.findall(r"\]\(([^)#]+)\)", README + DEVELOPERS)

    assert [name for name in linked if not (ROOT / name).exists()] == []


def test_the_figures_of_the_demo_in_readme(demo_counts):
    files, rows = re.search(r"takes (\d+) invented files \(([\d,]+) rows", README).groups()

    assert (int(files), int(rows.replace(",", ""))) == demo_counts


@pytest.fixture(scope="module")
def demo_counts(tmp_path_factory):
    root = tmp_path_factory.mktemp("told") / "demo"
    done = subprocess.run(
        [sys.executable, "-m", "pipelines", "demo", "--folder", str(root), "--json"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    told = json.loads(done.stdout)
    return told["files_count"], told["rows_read_count"]


def test_the_lock_names_versions_and_hashes_and_no_address():
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")

    assert "--hash=sha256:" in lock
    assert "://" not in lock
    pinned = [line for line in lock.splitlines() if line and not line.startswith((" ", "#"))]
    assert all("==" in line for line in pinned)
