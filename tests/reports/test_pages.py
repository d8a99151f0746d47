"""The four pages in every state of a firm."""

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from reports import buyer, estimator, owner, start, theme
from reports.markup import write_html
from reports.page import Figure, Frames, Page
from reports.pages import PAGE_READS, write_pages
from tests.support.page_frames import HOSTILE, SCHEMAS, STATES

BUILD = {
    "start": start.build,
    "owner": owner.build,
    "estimator": estimator.build,
    "buyer": buyer.build,
}
NEVER = (
    "quantile", "pinball", "shrinkage", "tau", "cusum", "ewma", "fifo", "gls", "residual",
    "posterior", "back-test", "fill rate", "sku", "bom", "kpi", "variance", "budget", "waste",
    "remnant", "nesting", "yield", "take-off", "null", "none%", "nan",
)  # fmt: skip


class Reader(HTMLParser):
    """Collects what a page says, and its scripts."""

    def __init__(self) -> None:
        """Start with nothing read."""
        super().__init__()
        self.inside: list[str] = []
        self.text: list[str] = []
        self.scripts: list[tuple[dict[str, str | None], str]] = []
        self.style = ""
        self.meta: dict[str, str | None] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag that opens."""
        held = dict(attrs)
        if tag == "script":
            self.scripts.append((held, ""))
        if tag == "meta":
            self.meta[held.get("http-equiv") or held.get("name") or ""] = held.get("content")
        if tag not in ("meta", "br"):
            self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Check that a tag closes the one that was opened last."""
        assert self.inside.pop() == tag

    def handle_data(self, data: str) -> None:
        """Keep a text where it belongs."""
        if self.inside and self.inside[-1] == "script":
            self.scripts[-1] = (self.scripts[-1][0], self.scripts[-1][1] + data)
        elif self.inside and self.inside[-1] == "style":
            self.style += data
        else:
            self.text.append(data)


class Watched(Mapping[str, pl.DataFrame]):
    """Frames that note which of them were asked for."""

    def __init__(self, frames: Frames) -> None:
        """Watch these frames."""
        self.frames = frames
        self.asked: set[str] = set()

    def __getitem__(self, relation: str) -> pl.DataFrame:
        """Hand over a frame and note its name."""
        self.asked.add(relation)
        return self.frames[relation]

    def __iter__(self) -> Iterator[str]:
        """Give the names."""
        return iter(self.frames)

    def __len__(self) -> int:
        """Count the frames."""
        return len(self.frames)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


@cache
def built(state: str, name: str) -> Page:
    return BUILD[name](STATES[state]())


@cache
def written(state: str, name: str) -> str:
    return write_html(built(state, name), "0f")


def figures(page: Page) -> list[Figure]:
    return [each.figure for each in page.sections if each.figure is not None]


def views(spec: Any) -> Iterator[dict[str, Any]]:
    if "layer" in spec:
        yield spec
    for part in spec.get("concat", ()):
        yield from views(part)


def x_titles(view: dict[str, Any]) -> set[str]:
    axes = [(layer["encoding"].get("x") or {}).get("axis") for layer in view["layer"]]
    return {axis["title"] for axis in axes if axis and axis.get("title")}


STATES_AND_PAGES = [(state, name) for state in STATES for name in BUILD]


@pytest.mark.parametrize(("state", "name"), STATES_AND_PAGES)
def test_a_page_builds_and_uses_none_of_the_words_that_roofers_do_not_use(
    state: str, name: str
) -> None:
    page = built(state, name)
    said = " ".join(read(written(state, name)).text).lower()
    assert [word for word in NEVER if re.search(rf"\b{re.escape(word)}\b", said)] == []
    assert all(section.finding.endswith(".") for section in page.sections)


@pytest.mark.parametrize(("state", "name"), STATES_AND_PAGES)
def test_every_chart_has_a_sentence_a_table_and_named_axes_and_survives_json(
    state: str, name: str
) -> None:
    for section in built(state, name).sections:
        if section.figure is None:
            continue
        assert section.figure.says.endswith(".")
        assert section.figure.says.startswith(section.finding)
        assert section.figure.twin.rows
        for spec in section.figure.specs(section.canvases).values():
            json.dumps(spec, allow_nan=False)
            assert spec["description"] == section.figure.says
            named = [view.get("title") or x_titles(view) for view in views(spec)]
            assert named
            assert all(named)


@pytest.mark.parametrize("name", ["owner", "estimator", "buyer"])
def test_a_full_page_answers_with_at_least_three_figures(name: str) -> None:
    assert len(figures(built("full", name))) >= 3


@pytest.mark.parametrize("name", BUILD)
def test_charts_keep_to_the_chart_grammar(name: str) -> None:
    for figure in figures(built("full", name)):
        figure.draw(theme.FULL).to_dict(validate=True)


@pytest.mark.parametrize("name", BUILD)
def test_a_page_asks_for_exactly_what_it_says_it_reads(name: str) -> None:
    asked: set[str] = set()
    for state in ("full", "invoices only"):
        frames = Watched(STATES[state]())
        write_html(BUILD[name](frames), "0f")
        asked |= frames.asked
    assert asked == set(PAGE_READS[name])
    assert asked <= set(SCHEMAS)


@pytest.mark.parametrize("name", BUILD)
def test_a_hostile_text_stays_text(name: str) -> None:
    html = written("hostile", name)
    reader = read(html)
    assert HOSTILE in "".join(reader.text)
    assert len(reader.scripts) == 3
    data = next(text for held, text in reader.scripts if held.get("id") == "charts")
    charts = json.loads(data)["charts"]
    told = [spec["description"] for each in charts.values() for spec in each.values()]
    assert any(HOSTILE in sentence for sentence in told)
    assert "<!--" not in html


@pytest.mark.parametrize("name", BUILD)
def test_the_policy_lets_in_the_page_s_own_scripts_and_style_and_nothing_else(name: str) -> None:
    reader = read(written("full", name))
    run = [text for held, text in reader.scripts if held.get("type") == "module"]
    hashes = {
        "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"
        for text in (*run, reader.style)
    }
    policy = reader.meta["Content-Security-Policy"] or ""
    assert set(re.findall(r"'sha256-[^']+'", policy)) == hashes
    assert policy.startswith("default-src 'none'; script-src 'sha256-")
    assert "unsafe" not in policy


def test_a_firm_with_invoices_alone_reads_what_it_buys_and_no_pounds_of_difference() -> None:
    page = built("invoices only", "owner")
    section = page.sections[1]
    assert section.question == "How much do we buy for a square metre?"
    assert "between 1.61 and 1.78" in section.finding
    assert "£" not in section.finding + "".join(section.notes)


@pytest.mark.parametrize("name", BUILD)
def test_nothing_handed_in_makes_sentences_and_no_chart(name: str) -> None:
    page = built("empty", name)
    assert figures(page) == []
    assert all(section.finding for section in page.sections)


def test_one_type_surely_under_the_aim_is_named_with_its_pounds() -> None:
    finding = built("full", "owner").sections[0].finding
    assert "Dormers left £58 of every £100 of price, £8 under your aim" in finding
    assert finding.endswith("that is £1,117.")


def test_a_type_whose_range_reaches_the_aim_is_not_called_under_it() -> None:
    frames = dict(STATES["full"]())
    rows = frames["page.left_by_job_type"].with_columns(high_ratio=pl.lit(0.9))
    frames["page.left_by_job_type"] = rows
    page = owner.build(frames)
    assert page.sections[0].finding.startswith("No job type is surely under your aim")
    assert not [ask for ask in page.asks if ask.says.startswith("Reprice")]


def test_the_printed_total_is_the_sum_of_the_printed_rows() -> None:
    page = built("full", "owner")
    rows = STATES["full"]()["page.allowed_and_used"]["difference_gbp"]
    assert f"The roofs took £{sum(rows):,.0f} more material" in page.sections[1].finding


def test_safety_is_said_where_it_belongs() -> None:
    notes = " ".join(note for each in built("full", "buyer").sections for note in each.notes)
    assert notes.count("peroxide") == 1
    assert notes.count("not usable stock: ask the maker, or dispose of it") == 1
    notes = " ".join(note for each in built("full", "estimator").sections for note in each.notes)
    assert notes.count("never a saving") == 1


def test_crews_and_people_stand_beside_no_loss() -> None:
    section = built("full", "owner").sections[4]
    assert "Nothing here names a person." in section.notes[0]
    assert not [head for head in section.tables[0].heads if "crew" in head.lower()]


def test_pages_are_written_the_same_every_time(tmp_path: Path) -> None:
    first, again = tmp_path / "first", tmp_path / "again"
    for folder in (first, again):
        folder.mkdir()
        write_pages(STATES["full"](), folder, "ab12")
    names = sorted(path.name for path in first.iterdir())
    assert names == ["buyer.html", "estimator.html", "owner.html", "start.html"]
    for name in names:
        text = (first / name).read_text(encoding="utf-8")
        assert text == (again / name).read_text(encoding="utf-8")
        assert read(text).meta["fingerprint"] == "ab12"
