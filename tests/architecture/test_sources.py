"""What may not stand in the source."""

import ast
import importlib.util
import re
from collections import Counter
from pathlib import Path

import pytest

_spec = importlib.util.spec_from_file_location("sources", Path(__file__).with_name("sources.py"))
sources = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(sources)

PURE_FILES = [file for room in sources.PURE for file in sources.python_files(f"pipelines/{room}")]
CLOCK_FILE_CHANCE = {"now", "today", "utcnow", "open", "read_text", "read_bytes", "read_csv"}
CONVERSIONS = {100, 1000, 1_000_000}


@pytest.mark.parametrize("file", PURE_FILES, ids=lambda file: file.name)
def test_pure_rooms_know_no_clock_file_or_chance(file):
    tree = sources.parse(file)
    called = {
        node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
    }

    assert not called & CLOCK_FILE_CHANCE
    assert not {"random", "time", "duckdb"} & {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    }


def _outside_warehouse():
    files = sources.python_files("pipelines", "schemas", "reports")
    return [file for file in files if "warehouse" not in file.parts]


@pytest.mark.parametrize("file", _outside_warehouse(), ids=lambda file: file.name)
def test_no_sql_outside_the_warehouse(file):
    texts = [
        node.value
        for node in ast.walk(sources.parse(file))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]

    assert [text for text in texts if re.search(r"\bSELECT\b.+\bFROM\b", text, re.DOTALL)] == []


@pytest.mark.parametrize(
    "file",
    [file for file in sources.python_files("pipelines") if file.name != "quantities.py"],
    ids=lambda file: file.name,
)
def test_no_conversion_factor_outside_quantities(file):
    factors = [
        (node.lineno, side.value)
        for node in ast.walk(sources.parse(file))
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div)
        for side in (node.left, node.right)
        if isinstance(side, ast.Constant) and side.value in CONVERSIONS
    ]

    assert factors == []


def test_no_room_is_above_300_lines():
    files = sources.python_files(*sources.PACKAGES, "sample_data")

    long = [file.name for file in files if len(file.read_text("utf-8").splitlines()) > 300]

    assert long == []


def _length(function: ast.FunctionDef) -> int:
    body = function.body[1:] if ast.get_docstring(function) else function.body
    return body[-1].end_lineno - body[0].lineno + 1 if body else 0


def test_no_function_body_is_above_40_lines():
    long = [
        (file.name, node.name, _length(node))
        for file in sources.python_files(*sources.PACKAGES)
        for node in ast.walk(sources.parse(file))
        if isinstance(node, ast.FunctionDef) and _length(node) > 40
    ]

    assert long == []


def test_every_public_function_is_documented_and_used_by_the_program():
    files = sources.python_files(*sources.PACKAGES)
    used = Counter(name for file in files for name in sources.names_used(sources.parse(file)))
    public = [
        (file.name, node.name)
        for file in files
        for node in sources.parse(file).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]

    unused = [(file, name) for file, name in public if not used[name]]

    assert unused == []


@pytest.mark.parametrize(
    "file", sources.python_files("tests/external", "tests/worked"), ids=lambda file: file.name
)
def test_published_and_worked_figures_say_where_they_come_from(file):
    said = ast.get_docstring(sources.parse(file)) or ""

    assert len(said) > 40, "the module's docstring names the source, or says common practice"
