"""The four pages in every state of a firm."""

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from reports import buyer, owner, theme
from reports.page import Figure, Frames, Page
from reports.pages import PAGE_READS, write_pages
from tests.support.page_frames import HOSTILE, SCHEMAS, STATES
from tests.support.written_pages import BUILD, built, written

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


def refuse(constant: str) -> None:
    pytest.fail(f"{constant} is no JSON")


def charts_of(html: str) -> dict[str, Any]:
    found = [text for held, text in read(html).scripts if held.get("id") == "charts"]
    charts: dict[str, Any] = {}
    for text in found:
        charts |= json.loads(text, parse_constant=refuse)["charts"]
    return charts


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
    drawn = charts_of(written(state, name))
    for number, section in enumerate(built(state, name).sections, start=1):
        if section.figure is None:
            continue
        assert section.figure.says.endswith(".")
        assert section.figure.says.startswith(section.finding)
        assert section.figure.twin.rows
        specs = drawn[f"q{number}"]
        assert list(specs) == [canvas.name for canvas in section.canvases]
        for spec in specs.values():
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
        BUILD[name](frames)
        asked |= frames.asked
    assert asked == set(PAGE_READS[name])
    assert asked <= set(SCHEMAS)


@pytest.mark.parametrize("name", BUILD)
def test_a_hostile_text_stays_text(name: str) -> None:
    html = written("hostile", name)
    reader = read(html)
    assert HOSTILE in "".join(reader.text)
    assert len(reader.scripts) == 3
    charts = charts_of(html).values()
    told = [spec["description"] for each in charts for spec in each.values()]
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


def test_a_firm_with_invoices_alone_is_asked_for_cards_and_not_told_that_all_is_well() -> None:
    first = built("invoices only", "owner").sections[0]
    assert "The job materials record" in first.finding
    assert first.action is not None
    assert first.action.heading == "Hand in return cards"
    assert built("invoices only", "estimator").heading == "No allowance can be judged yet"


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


def test_bars_that_are_drawn_together_add_up_to_the_total() -> None:
    frames = STATES["busy"]()
    figure = built("busy", "owner").sections[1].figure
    assert figure is not None
    drawn = parts_drawn(figure)
    assert len(drawn) == 9
    assert "16 others" in drawn
    total = sum(frames["page.allowed_and_used"]["difference_gbp"])
    assert sum(drawn.values()) == pytest.approx(float(total))


def parts_drawn(figure: Figure) -> dict[str, float]:
    data = figure.draw(theme.FULL).to_dict(validate=False)["datasets"].values()
    rows = [row for rows in data for row in rows if "difference_gbp" in row]
    return {row["material"]: row["difference_gbp"] for row in rows}


@pytest.mark.parametrize("name", ["owner", "estimator", "buyer"])
@pytest.mark.parametrize("state", ["full", "busy"])
def test_a_finding_is_no_longer_than_24_words(state: str, name: str) -> None:
    for section in built(state, name).sections:
        assert len(section.finding.split()) <= 24, section.finding


def test_a_busy_page_shows_what_matters_most_and_folds_the_rest() -> None:
    allowances, changes = built("busy", "estimator").sections[:2]
    assert allowances.figure is not None
    assert len(allowances.figure.draw(theme.FULL).concat) == 6
    assert len(changes.tables[0].rows) == 10
    others = STATES["busy"]()["page.suggestion"].height - 10
    by_size, folded = changes.folded[:2]
    assert len(by_size.rows) == 10
    assert len(folded.rows) == others
    assert folded.caption == f"The other {others}\u00a0suggestions as a table"


def test_only_allowances_that_are_off_or_not_stated_wait_for_a_decision() -> None:
    page = built("busy", "estimator")
    assert STATES["busy"]()["page.allowance"].filter("is_off").height == 9
    assert page.heading == "Nine allowances are off"
    states = [row[-1] for row in page.sections[1].folded[1].rows]
    assert {"agrees", "not stated"} <= set(states)


def test_a_suggestion_stands_in_the_trade_s_form_beside_its_part_for_every_job() -> None:
    row = built("full", "estimator").sections[1].tables[0].rows[0]
    assert [cell.replace("\u00a0", " ") for cell in row[:5]] == [
        "resin, dormer", "1.50 kg per m²", "1.45 kg per m² + 1.8 kg a job",
        "1.62 kg per m² + 1.8 kg a job", "£318",
    ]  # fmt: skip


def test_a_job_that_is_not_worth_a_call_is_not_listed() -> None:
    frames = dict(STATES["full"]())
    asked = frames["page.job_to_ask_about"]
    frames["page.job_to_ask_about"] = asked.with_columns(
        beyond_gbp=pl.Series(["10.00", "9.99", None]).cast(pl.Decimal(12, 2))
    )
    section = owner.build(frames).sections[4]
    assert [row[2] for row in section.tables[0].rows] == ["£10"]
    assert section.finding == "One job used more than its roof can explain, £10."
    frames["page.job_to_ask_about"] = asked.head(0)
    assert owner.build(frames).sections[4].finding.endswith("no call is needed.")


def test_prices_as_in_the_quotes_are_counted_and_not_drawn() -> None:
    section = built("full", "owner").sections[5]
    assert section.figure is not None
    names = section.figure.draw(theme.FULL).to_dict(validate=False)["datasets"].values()
    drawn = {row["material"] for rows in names for row in rows if "material" in row}
    assert drawn == {"resin", "light grey topcoat", "deck board"}
    assert "One is as in them." in section.notes[0]


def test_prices_below_the_quotes_are_said_too() -> None:
    frames = dict(STATES["full"]())
    prices = frames["page.price_in_quotes"].with_columns(
        -pl.col("lately_gap_gbp"), -pl.col("change_ratio")
    )
    frames["page.price_in_quotes"] = prices
    page = owner.build(frames)
    assert page.sections[5].finding.endswith("You paid £359 less than quoted in three months.")
    assert not [ask for ask in page.asks if "price list" in ask.says]


def test_the_axis_over_the_months_spans_twenty_pounds_and_holds_the_aim() -> None:
    figure = built("full", "owner").sections[3].figure
    assert figure is not None
    layers = figure.draw(theme.FULL).to_dict(validate=False)["concat"][0]["layer"]
    ((low, high),) = {tuple(layer["encoding"]["y"]["scale"]["domain"]) for layer in layers}
    assert high - low == pytest.approx(20)
    assert low < 66 < high


def test_the_material_that_runs_short_first_comes_first() -> None:
    page = built("full", "buyer")
    assert page.sections[0].finding.replace("\u00a0", " ") == (
        "Resin runs short first, on Tuesday 9 June; two materials are short for the booked jobs up "
        "to 24 June."
    )
    assert page.heading.startswith("Two materials short for the booked jobs, the first on Tuesday")
    assert page.asks[0].says.startswith("Order resin: the booked jobs are 24\u00a0kg short")


def test_what_is_on_order_is_not_ordered_again() -> None:
    frames = dict(STATES["full"]())
    orders = frames["page.open_order"].with_columns(material=pl.lit("resin"))
    frames["page.open_order"] = orders
    page = buyer.build(frames)
    assert page.asks[0].says.startswith("See that the order covers resin")
    assert page.sections[0].action is not None
    assert page.sections[0].action.says.endswith("On order already: resin.")


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
    names = sorted(path.name for path in first.glob("*.html"))
    assert names == ["buyer.html", "estimator.html", "owner.html", "start.html"]
    for name in names:
        text = (first / name).read_text(encoding="utf-8")
        assert text == (again / name).read_text(encoding="utf-8")
        assert read(text).meta["fingerprint"] == "ab12"
    books = [(folder / "allowances.xlsx").read_bytes() for folder in (first, again)]
    assert books[0] == books[1]


def test_material_that_cost_as_quoted_is_said_and_not_drawn() -> None:
    frames = dict(STATES["full"]())
    frames["page.margin_part"] = frames["page.margin_part"].with_columns(
        part_gbp=pl.lit(Decimal("0.10"), frames["page.margin_part"].schema["part_gbp"])
    )
    sections = owner.build(frames).sections
    (section,) = [each for each in sections if each.question == "Where did the margin go?"]
    *_, whole, delivery = section.tables[0].rows
    assert section.figure is None
    assert whole[1] == "+£1"
    assert delivery[:2] == ("Of what was bought dearer: delivery", "£61")


def test_what_lay_in_stock_and_came_is_what_went_and_is_left() -> None:
    (section,) = (
        each
        for each in owner.build(STATES["full"]()).sections
        if each.question == "Does the stock add up?"
    )
    rows = {row[0]: row[1:] for row in section.folded[0].rows}
    sums = [row[1:] for row in section.folded[0].rows if row[0] == "Together"]

    assert sums == [("£4,585.50", "£4,020.25"), ("£4,585.50", "£4,020.25")]
    assert rows["In stock at the end"] == ("£1,825.25", "£1,090.75")
    assert "Sent back" not in rows
