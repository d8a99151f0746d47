"""The pages in a real browser: nothing asked for, nothing complained of, all drawn, nothing cut."""

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from pipelines.month.demonstration import prepare_demonstration
from pipelines.month.run import run_month
from reports.page import NAMES
from tests.support import written_pages
from tests.support.browser import SWITCHES, find_browser

pytestmark = pytest.mark.browser

Written = Callable[[str, str], Path]
"""Gives the file of a state's page, written when it is first asked for."""


DEMO = "the invented firm"
CASES = [
    *((DEMO, name, width) for name in NAMES for width in (1280, 390)),
    *(("full", name, width) for name in NAMES for width in (1280, 390)),
    *(("long names", name, 390) for name in NAMES),
    ("long names", "owner", 1280),
    ("busy", "estimator", 1280),
    ("busy", "buyer", 390),
    ("full", "owner", 640),
    ("hostile", "estimator", 390),
    ("invoices only", "owner", 1280),
    ("invoices only", "estimator", 390),
    ("one job", "owner", 390),
    ("one job", "buyer", 1280),
    ("empty", "start", 390),
]

CUT_TEXTS = """() => {
  const cut = [];
  for (const svg of document.querySelectorAll(".chart svg")) {
    const frame = svg.getBoundingClientRect();
    if (frame.width === 0) continue;
    for (const text of svg.querySelectorAll("text")) {
      const box = text.getBoundingClientRect();
      const out = box.left < frame.left - 1.5 || box.right > frame.right + 1.5
        || box.top < frame.top - 1.5 || box.bottom > frame.bottom + 1.5;
      if (box.width > 0 && out) cut.push(text.textContent);
    }
  }
  return cut;
}"""
MARKS_BY_CHART = """() => [...document.querySelectorAll(".chart > div")].map(
  (place) => place.querySelectorAll(
    "svg .mark-symbol path, svg .mark-rule line, svg .mark-rect path, svg .mark-line path"
  ).length)"""
TOO_WIDE = """() => [...document.querySelectorAll("body *")].filter((each) => {
  const box = each.getBoundingClientRect();
  return box.width > 0 && box.right > innerWidth + 1 && !each.closest(".scroll, .skip, .chart svg")
    && getComputedStyle(each).position !== "absolute";
}).map((each) => each.tagName + " " + each.className)"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        pytest.skip("NO BROWSER: the pages were not looked at; name one in ROOFYIELD_CHROMIUM")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=list(SWITCHES))
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the pages of the invented firm, from received files on."""
    root = tmp_path_factory.mktemp("demo") / "firm"
    prepare_demonstration(root)
    return run_month(root).pages


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory, demo: Path) -> Written:
    folder = tmp_path_factory.mktemp("pages")

    @cache
    def write(state: str, name: str) -> Path:
        if state == DEMO:
            return demo / f"{name}.html"
        path = folder / f"{state} {name}.html"
        path.write_text(written_pages.written(state, name), encoding="utf-8")
        return path

    return write


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.set_default_timeout(20_000)
    yield page
    page.close()


def open_page(page: Page, path: Path, width: int = 1280) -> tuple[list[str], list[str]]:
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda line: said.append(f"{line.type}: {line.text}"))
    page.on("pageerror", lambda fault: said.append(f"error: {fault}"))
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(path.as_uri())
    if page.query_selector("#charts"):
        page.wait_for_selector("html[data-drawn]")
    return asked, said


@pytest.mark.parametrize(("state", "name", "width"), CASES)
def test_a_page_asks_for_nothing_complains_of_nothing_and_cuts_nothing(
    page: Page, written: Written, state: str, name: str, width: int
) -> None:
    path = written(state, name)
    asked, said = open_page(page, path, width)
    assert asked == [path.as_uri()]
    assert [line for line in said if line.startswith(("error", "warning"))] == []
    assert all(count >= 2 for count in page.evaluate(MARKS_BY_CHART))
    assert page.evaluate("document.scrollingElement.scrollWidth") <= width
    assert page.evaluate(TOO_WIDE) == []
    assert page.evaluate(CUT_TEXTS) == []


def test_every_figure_of_a_full_page_is_drawn_for_screen_phone_and_paper(
    page: Page, written: Written
) -> None:
    open_page(page, written("full", "owner"))
    assert page.locator(".chart").count() >= 3
    assert page.locator(".chart > div > svg").count() == 3 * page.locator(".chart").count()


def test_a_hostile_name_is_shown_as_text_and_runs_nothing(page: Page, written: Written) -> None:
    page.on("dialog", lambda _: pytest.fail("a name from a record was run"))
    open_page(page, written("hostile", "owner"))
    assert "</script><script>alert(1)</script>" in page.inner_text("main")
    assert page.locator("script").count() == 3


def test_paper_shows_the_charts_made_for_it_and_leaves_the_menu_out(
    page: Page, written: Written
) -> None:
    page.emulate_media(media="print")
    open_page(page, written("full", "owner"), 1050)
    assert page.locator(".chart .paper svg").first.is_visible()
    assert not page.locator(".chart .full svg").first.is_visible()
    assert not page.locator("nav").is_visible()


@pytest.mark.parametrize(("name", "most"), [("owner", 2), ("estimator", 3), ("buyer", 2)])
def test_a_page_fits_its_sheets(page: Page, written: Written, name: str, most: int) -> None:
    page.emulate_media(media="print")
    open_page(page, written("full", name), 1050)
    sheets = page.pdf(prefer_css_page_size=True).count(b"/Type /Page\n")
    assert 1 <= sheets <= most


def test_without_script_the_findings_and_tables_stand(browser: Browser, written: Written) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((written("full", "owner")).as_uri())
    assert page.locator("h2").count() >= 5
    assert page.locator("details table").count() >= 3
    context.close()
