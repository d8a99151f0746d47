"""Each file of sql/ is one relation: its header true, its reads lower, nobody an orphan."""

import re
from pathlib import Path

import pytest

from pipelines.month.stages import list_stages
from pipelines.settings import Settings
from pipelines.warehouse.checks import checks
from pipelines.warehouse.relations import LEVELS, read_sql_files, views
from reports.pages import PAGE_READS

ROOT = Path(__file__).parents[2]
TEXTS = read_sql_files()
LEVEL = {schema: at for at, schemas in enumerate(LEVELS) for schema in schemas}
HEADINGS = ("Grain", "Reads", "Units", "Left out")


def _header(text: str) -> str:
    return "\n".join(line for line in text.splitlines() if line.startswith("--"))


def _stated_reads(text: str) -> set[str]:
    told = re.search(
        r"^-- Reads:\s+(.+?)(?=^-- \w[\w ]*:|\Z)", _header(text), re.MULTILINE | re.DOTALL
    )
    assert told, "the header has no Reads"
    return set(re.split(r",\s*", re.sub(r"\s*\n--\s+", " ", told[1]).strip()))


@pytest.mark.parametrize("name", TEXTS, ids=str)
def test_header_says_grain_reads_units_and_what_is_left_out(name):
    header = _header(TEXTS[name])

    assert [heading for heading in HEADINGS if f"-- {heading}:" not in header] == []
    assert header.splitlines()[0].rstrip().endswith((".", ",", "?")) or len(header) > 80


@pytest.mark.parametrize("name", TEXTS, ids=str)
def test_header_names_the_relations_that_are_read(name):
    assert _stated_reads(TEXTS[name]) == set(views()[name].reads)


@pytest.mark.parametrize("check", checks().values(), ids=lambda check: check.name)
def test_a_check_names_what_it_reads(check):
    assert _stated_reads(check.select) == set(check.reads)


@pytest.mark.parametrize("name", views(), ids=str)
def test_a_view_reads_its_own_level_or_lower(name):
    own = LEVEL[name.split(".")[0]]

    assert [read for read in views()[name].reads if LEVEL[read.split(".")[0]] > own] == []


@pytest.mark.parametrize("name", TEXTS, ids=str)
def test_no_clock_no_chance_no_star(name):
    bare = re.sub(r"--.*|'(?:[^']|'')*'", "", TEXTS[name]).lower()

    assert not re.search(r"\b(now|today|current_date|current_timestamp|random)\b", bare)
    assert not re.search(r"select\s+\*|\.\*", bare)
    assert not re.search(r"\b(read_\w+|glob|query)\s*\(", bare)


def test_no_view_is_an_orphan():
    read = {name for view in views().values() for name in view.reads}
    read |= {name for check in checks().values() for name in check.reads}
    read |= {name for stage in list_stages(Settings(firm=""), None, ()) for name in stage.reads}
    read |= set().union(*PAGE_READS.values())

    assert sorted(set(TEXTS) - read) == []


def _has_arithmetic(text: str) -> bool:
    bare = re.sub(r"--.*", "", text)
    return bool(re.search(r"\b(sum|count|avg|round|stddev\w*)\s*\(|[^*]\*[^*]|\s/\s", bare))


@pytest.mark.parametrize(
    "name", sorted(name for name, text in TEXTS.items() if _has_arithmetic(text)), ids=str
)
def test_a_view_that_reckons_has_a_test(name):
    tests = (ROOT / "tests" / "sql").rglob("test_*.py")

    assert any(name in test.read_text(encoding="utf-8") for test in tests)
