"""A page as one HTML file that asks for nothing else and lets nothing else in."""

import base64
import hashlib
import json
import re
from collections.abc import Sequence
from functools import cache
from html import escape

import vl_convert

from reports import page as pages
from reports import style, theme
from reports.page import Action, Ask, Figure, Page, Section, Table

_LONG_LETTERS = 90
"""A longer cell gets the whole width of a phone, its label above it."""


@cache
def _libraries() -> str:
    return f"\n{vl_convert.javascript_bundle('window.vegaEmbed = vegaEmbed;')}\n"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _policy(scripts: Sequence[str]) -> str:
    allowed = " ".join(_hash(script) for script in scripts) or "'none'"
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_hash(style.STYLE)}; "
        "base-uri 'none'; form-action 'none'"
    )


def write_html(page: Page, fingerprint: str) -> str:
    """Return the page as HTML; all its texts are escaped here and nowhere else."""
    charts = {
        f"q{number}": section.figure.specs(section.canvases)
        for number, section in enumerate(page.sections, start=1)
        if section.figure is not None
    }
    scripts = [_libraries(), style.SCRIPT] if charts else []
    book = json.dumps({"config": theme.chart_config(), "charts": charts}, ensure_ascii=False)
    data = f'<script type="application/json" id="charts">{_safe_in_script(book)}</script>'
    return "\n".join(
        [
            "<!doctype html>",
            '<html lang="en-GB">',
            _head(page, fingerprint, _policy(scripts)),
            _body(page),
            data if charts else "",
            *(f'<script type="module">{script}</script>' for script in scripts),
            "</body>",
            "</html>\n",
        ]
    )


def _safe_in_script(text: str) -> str:
    closed = re.sub("</(script)", r"<\\/\1", text, flags=re.IGNORECASE)
    return closed.replace("<!--", "<\\u0021--")


def _head(page: Page, fingerprint: str, policy: str) -> str:
    return "\n".join(
        [
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{escape(policy)}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f'<meta name="fingerprint" content="{escape(fingerprint)}">',
            f"<title>{escape(page.name.capitalize())}: {escape(page.firm)}</title>",
            f"<style>{style.STYLE}</style>",
            "</head>",
        ]
    )


def _body(page: Page) -> str:
    sections = [_section(each, number) for number, each in enumerate(page.sections, start=1)]
    return "\n".join(
        [
            "<body>",
            '<a class="skip" href="#main">To the page</a>',
            '<div class="sheet">',
            _header(page),
            '<main id="main">',
            _top(page),
            '<div class="columns">',
            *sections,
            "</div>",
            "</main>",
            _footer(page),
            "</div>",
        ]
    )


def _header(page: Page) -> str:
    links = [
        f'<a href="{name}.html"{_current(name, page)}>{name.capitalize()}</a>'
        for name in pages.NAMES
    ]
    menu = f'<nav aria-label="Pages">{"".join(links)}</nav>'
    return f"<header><p>{escape(page.firm)}</p>{menu}</header>"


def _current(name: str, page: Page) -> str:
    return ' aria-current="page"' if name == page.name else ""


def _top(page: Page) -> str:
    beside = "<br>".join(escape(line) for line in page.beside)
    opening = f'<p class="opening">{escape(page.opening)}</p>' if page.opening else ""
    asks = "".join(_ask(each, number) for number, each in enumerate(page.asks, start=1))
    listed = f'<ol class="asks">{asks}</ol>' if asks else ""
    return (
        f'<div class="top"><p class="beside">{beside}</p>'
        f'<div class="said"><h1>{escape(page.heading)}</h1>{opening}{listed}</div></div>'
    )


def _ask(ask: Ask, number: int) -> str:
    return f"<li><b>{number}</b><span>{escape(ask.says)}</span>{_link(ask.link)}</li>"


def _link(link: tuple[str, str]) -> str:
    words, target = link
    return f'<a href="{escape(target)}">{escape(words)}</a>'


def _section(section: Section, number: int) -> str:
    heading = f"q{number}"
    names = ["wide"] * section.is_wide + ["unprinted"] * (not section.is_printed)
    kind = f' class="{" ".join(names)}"' if names else ""
    notes = [f'<p class="note">{escape(note)}</p>' for note in section.notes]
    return "\n".join(
        [
            f'<section{kind} id="{heading}" aria-labelledby="{heading}-found">',
            f'<p class="ask"><b>{number}</b>{escape(section.question)}</p>',
            f'<div class="found"><h2 id="{heading}-found">{escape(section.finding)}</h2>',
            _figure(section.figure, heading),
            *(_table(table) for table in section.tables),
            *notes,
            _twin(section.figure),
            *(_fold(table.caption, table) for table in section.folded),
            "</div>",
            _action(section.action),
            "</section>",
        ]
    )


def _figure(figure: Figure | None, heading: str) -> str:
    if figure is None:
        return ""
    places = [
        f'<div class="{canvas.name}" id="{heading}-{canvas.name}"></div>'
        for canvas in theme.CANVASES
    ]
    label = escape(figure.says)
    return f'<div class="chart" role="img" aria-label="{label}">{"".join(places)}</div>'


def _twin(figure: Figure | None) -> str:
    if figure is None:
        return ""
    return _fold("The same figures as a table", figure.twin)


def _fold(words: str, table: Table) -> str:
    return f"<details><summary>{escape(words)}</summary>{_table(table)}</details>"


def _action(action: Action | None) -> str:
    if action is None:
        return ""
    link = f"<p>{_link(action.link)}</p>" if action.link else ""
    says = f"<p>{escape(action.says)}</p>"
    return f'<div class="do"><h3>{escape(action.heading)}</h3> {says}{link}</div>'


def _table(table: Table) -> str:
    kind = "counts" if table.is_counts else "list"
    heads = [
        f'<th role="columnheader" scope="col"{_side(number, table)}>{escape(head)}</th>'
        for number, head in enumerate(table.heads)
    ]
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{escape(table.caption)}">'
        f'<table role="table" class="{kind}"><caption>{escape(table.caption)}</caption>'
        f'<thead role="rowgroup"><tr role="row">{"".join(heads)}</tr></thead>'
        f'<tbody role="rowgroup">{"".join(_row(row, table) for row in table.rows)}</tbody>'
        "</table></div>"
    )


def _side(number: int, table: Table) -> str:
    return ' class="n"' if number in table.figures else ""


def _kind(number: int, cell: str, table: Table) -> str:
    return ' class="w"' if len(cell) > _LONG_LETTERS else _side(number, table)


def _row(row: tuple[str, ...], table: Table) -> str:
    first = _link((row[0], table.links[row[0]])) if row[0] in table.links else escape(row[0])
    cells = [
        f'<td role="cell"{_kind(number, cell, table)} data-l="{escape(table.heads[number])}">'
        f"<span>{escape(cell)}</span></td>"
        for number, cell in enumerate(row[1:], start=1)
    ]
    return f'<tr role="row"><th role="rowheader" scope="row">{first}</th>{"".join(cells)}</tr>'


def _footer(page: Page) -> str:
    lines = [_trusted(is_well, sentence) for is_well, sentence in page.trust]
    return f'<footer><p class="ask">How far to trust it</p><div>{"".join(lines)}</div></footer>'


def _trusted(is_well: bool, sentence: str) -> str:  # noqa: FBT001 - the two halves of a line
    mark = "✓" if is_well else "!"
    return f'<p class="{"well" if is_well else "look"}"><b>{mark}</b> {escape(sentence)}</p>'
