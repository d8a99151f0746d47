"""A draft of a mapping for a file that none fits: it loads as it is, and says what to finish."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from glob import escape
from pathlib import PurePath

from pipelines.receiving.handed_over import fold
from pipelines.receiving.looking import SeenSheet

_GUESSES = {
    "document_no": ("invoice no", "invoice number", "invoice", "inv no", "document", "doc", "ref"),
    "document_on": ("date", "invoice date", "dated", "tax date", "day"),
    "document_type": ("type", "document type"),
    "line_no": ("line", "line no"),
    "description": ("description", "item", "product", "details", "goods", "text"),
    "packs": ("qty", "quantity", "packs", "units"),
    "pack_price_gbp": ("price", "unit price", "each", "price each", "unit cost"),
    "line_net_gbp": ("net", "amount", "line total", "goods total", "net amount", "value", "total"),
    "vat_pct": ("vat %", "vat rate"),
    "order_no": ("your order", "order", "your ref", "order no"),
    "job_ref": ("job", "job ref", "site"),
}
"""Headings that often stand over a column of purchases: only a guess, and marked as one."""

_FORM = """kind = "form"
# TO FINISH: name for each label the column of ours that it means; take out what is no label.
[[records]]
record = "jobs"
[records.constants]
# job_type = "TO FINISH"
[records.labels]
"""


_PDF = r"""kind = "pdf"
record = "purchases"
# TO FINISH: patterns of whole lines that say which document it is
# find = ['Invoice no:? (?P<document_no>\S+)', 'Date:? (?P<document_on>\S+)']
"""


@dataclass(frozen=True)
class Evidence:
    """What a file proves of itself: order of day and month, and decimal mark; None where not."""

    date_order: str | None
    decimal_mark: str | None


def draft_mapping(file_name: str, sheets: Sequence[SeenSheet], evidence: Evidence) -> str:
    """Return the text of a mapping for the first sheet that seems to hold a table, else a form."""
    stem = PurePath(file_name).stem
    tables = [sheet for sheet in sheets if sheet.heading_row_no]
    lines = [
        "# A draft: read it through, finish what is marked TO FINISH, then run 'roofyield check'.",
        f"name = {_quote(stem)}",
        "# TO FINISH: which files it fits; * stands for any letters, as in 'yard lines*.csv'",
        f"files = [{_quote(escape(file_name))}]",
    ]
    if PurePath(file_name).suffix.casefold() == ".pdf":
        return "\n".join([*lines, *_draft_pdf(tables, evidence)]) + "\n"
    if not tables:
        return "\n".join([*lines, *_draft_form(sheets)]) + "\n"
    return "\n".join([*lines, *_draft_table(tables[0], evidence)]) + "\n"


def guess_columns(headings: Sequence[str]) -> dict[str, str]:
    """Return heading -> the column of purchases that it may mean, each column once."""
    found: dict[str, str] = {}
    for column, words in _GUESSES.items():
        by_fold = {fold(heading): heading for heading in reversed(headings)}
        likely = [by_fold[word] for word in words if word in by_fold]
        free = [heading for heading in likely if heading not in found]
        if free:
            found[free[0]] = column
    return found


def _draft_table(sheet: SeenSheet, evidence: Evidence) -> Iterator[str]:
    headings = [column.heading for column in sheet.columns]
    guesses = guess_columns(headings) or {headings[0]: "description"}
    if sheet.name:
        yield f"sheets = [{_quote(sheet.name)}]"
    yield 'kind = "table"'
    yield "# TO FINISH: which record these rows are; purchases is a guess"
    yield 'record = "purchases"'
    yield "# TO FINISH: the headings by which the heading row is found; a few that always stand"
    yield f"header = [{', '.join(_quote(heading) for heading in guesses)}]"
    yield from _draft_evidence(evidence)
    yield "# TO FINISH where prices hold VAT: vat_included = true"
    yield from _draft_columns(headings, guesses)


def _draft_columns(headings: Sequence[str], guesses: Mapping[str, str]) -> Iterator[str]:
    yield "[columns]"
    for heading in headings:
        known = guesses.get(heading)
        line = f"{_quote(heading)} = {_quote(known or 'TO FINISH')}"
        yield f"{line}  # a guess" if known else f"# {line}"
    if "supplier" not in guesses.values():
        yield "[constants]"
        yield '# supplier = "TO FINISH"'


def _draft_evidence(evidence: Evidence) -> Iterator[str]:
    if evidence.date_order:
        yield f'date_order = "{evidence.date_order}"  # its dates can be read no other way'
    else:
        yield '# TO FINISH where dates are written with figures only: date_order = "dmy"'
    if evidence.decimal_mark:
        yield f'decimal_mark = "{evidence.decimal_mark}"  # as its figures are written'


def _draft_pdf(tables: Sequence[SeenSheet], evidence: Evidence) -> Iterator[str]:
    headings = [column.heading for sheet in tables[:1] for column in sheet.columns]
    guesses = guess_columns(headings) or dict.fromkeys(headings[:1], "description")
    yield from _PDF.splitlines()
    yield from _draft_evidence(evidence)
    if guesses:
        yield "# TO FINISH: the headings by which the heading's line is found"
        yield f"header = [{', '.join(_quote(heading) for heading in guesses)}]"
        yield from _draft_columns(headings, guesses)
    else:
        yield "# TO FINISH: a pattern of the lines that ask for money"
        yield "lines = ['(?P<description>.+) (?P<line_net_gbp>[0-9.,]+)']"
    yield "[proof]"
    yield "# TO FINISH: the labels of its totals; a line of the PDF ends in each one's amount"
    yield 'total = "total*"'
    yield '# vat = "vat*"'
    yield '# net = "net*"'


def _draft_form(sheets: Sequence[SeenSheet]) -> Iterator[str]:
    labels = [label for sheet in sheets for label in sheet.labels]
    yield from _FORM.splitlines()
    yield f'{_quote(labels[0] if labels else "Notes")} = "notes"'
    for label in labels[1:]:
        yield f'# {_quote(label)} = "TO FINISH"'


def _quote(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
