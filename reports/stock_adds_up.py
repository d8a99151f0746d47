"""Whether the stock adds up: counts held against the papers."""

from collections.abc import Iterable
from decimal import Decimal

import polars as pl

from reports import bridge, charts, theme, words
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section
from reports.rows import RowChart
from reports.stock_tables import (
    list_credits,
    list_found,
    list_months,
    list_places,
    list_reasons,
    list_shared,
    say_kind,
    say_packs,
)

READS_OWNER = ("page.count_month", *bridge.READS)
READS = (
    "page.count_month", "page.count_test", "page.shared_use", "page.place_as_counted",
    "page.credit_apart",
)  # fmt: skip

_QUESTION = "Does the stock add up?"
_MOST_ROWS = 10
_HEADINGS = {
    "missing delivery note": "Ask for the paper",
    "lasting loss": "Look where it went",
    "miscount": "Count it twice",
    "doubtful card": "Look at the card",
    "cannot say": "Count again",
}
"""What to do about a difference, by what it looks like; in the order in which to do it."""
_READING = (
    "Filled bar: more lay there than the papers say; open: less. Only what counting and weighing "
    "alone hardly make, and what is worth asking about. What it looks like is a likeness, no proof."
)


def make_section(frames: Frames, firm: Firm) -> Section:
    """Return what the counts of late differ from the papers, and what that looks like."""
    months, found = frames["page.count_month"], frames["page.count_test"]
    tables = tuple(list_shared(frames))
    places = (*list_credits(frames), *list_places(frames))
    credited = tuple(_say_credits(frames))
    finding = _find(months, firm)
    if months.is_empty():
        return Section(
            _QUESTION, finding, notes=credited, tables=tables, folded=places, is_printed=False
        )
    folded = (*list_reasons(found), list_months(months), *places)
    drawn = found.drop_nulls("difference_gbp").head(_MOST_ROWS)
    figure = None if drawn.is_empty() else Figure(
        f"{finding} What counts of the last year found, in pounds.",
        lambda canvas: _draw(drawn, canvas),
        list_found(found),
    )  # fmt: skip
    if figure is None and not found.is_empty():
        tables = (list_found(found), *tables)
    notes = (*_notes(months, found, is_drawn=figure is not None), *credited)
    return Section(
        _QUESTION, finding, figure, notes, tables, _act(found), folded=folded, is_printed=False
    )


def make_owner_section(frames: Frames, firm: Firm) -> Section:
    """Return the same finding, the two sentences of the month counted last, and the bridge."""
    months = frames["page.count_month"]
    finding, terms = _find(months, firm), bridge.list_terms(frames)
    said = bridge.note_prices(frames)
    if months.is_empty():
        return Section(_QUESTION, finding, notes=said, folded=terms, is_printed=False)
    last = months.row(-1, named=True)
    month = words.month(last["month_on"])
    notes = (f"{month}: {last['sums_sentence']} {last['evidence_sentence']}", *said)
    action = Action(
        "Each difference",
        "The buyer's page names them one by one.",
        ("The buyer's page", "buyer.html"),
    )
    return Section(_QUESTION, finding, notes=notes, action=action, folded=terms, is_printed=False)


def _find(months: pl.DataFrame, firm: Firm) -> str:
    if months.is_empty():
        return (
            "We cannot say yet: nothing was counted twice. The stock counts record, at two month "
            "ends, would answer this."
        )
    late = months.filter("is_lately")
    if late.is_empty():
        return f"Nothing was counted for {firm.lately}: a count at each month end answers this."
    lead = "The sums add up" if late["adds_up"].all() else "The sums do not add up"
    if late["not_tested_count"].sum() == late["span_count"].sum():
        return f"{lead}; what is missing is not known, as jobs do not say what they took."
    since = words.month_name(firm.lately_from_on)
    return f"{lead}; {_say_money(late, since)}."


def _say_money(late: pl.DataFrame, since: str) -> str:
    no_job, more = _sum(late, "no_job_gbp"), _sum(late, "more_gbp")
    lacks = f"{words.pounds(no_job)} of material since {since} has no job against it"
    beyond = f"{words.pounds(more)} more lay there than the papers say"
    told = [text for text, gbp in ((lacks, no_job), (beyond, more)) if round(gbp) > 0]
    return words.listed(told) if told else "nothing is out by more than counting can be"


def _sum(frame: pl.DataFrame, name: str) -> Decimal:
    return sum(frame[name].to_list(), Decimal(0))


def _notes(months: pl.DataFrame, found: pl.DataFrame, *, is_drawn: bool) -> Iterable[str]:
    if is_drawn:
        yield _READING
    unknown = found["difference_gbp"].null_count()
    if unknown:
        yield f"Of {words.counted(unknown, 'difference')} no price is known: see the table."
    late = months.filter("is_lately")
    spans, silent = int(late["span_count"].sum()), int(late["not_tested_count"].sum())
    if silent:
        yield (
            f"Of {silent} of {words.counted(spans, 'span')} between counts nothing can be said: "
            "jobs do not say what they took."
        )


def _act(found: pl.DataFrame) -> Action | None:
    late = found.filter("is_lately").to_dicts()
    for kind, heading in _HEADINGS.items():
        for row in (each for each in late if each["signature"] == kind):
            what = words.amount(abs(row["difference_quantity"]), row["base_unit"])
            because = row["because"][:1].lower() + row["because"][1:]
            return Action(heading, f"{what} of {row['material']}: {because}")
    return None


def _draw(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    rows = frame.to_dicts()
    worth = [-row["difference_gbp"] for row in rows]
    shown = pl.DataFrame({
        "worth": [float(each) for each in worth],
        "nothing": [0.0] * len(rows),
        "label": [words.signed_pounds(each) for each in worth],
    })  # fmt: skip
    values = shown["worth"].to_list()
    room = (max(*values, 0) - min(*values, 0)) * 0.15
    ends = [*values, max(*values, 0) + room, min(*values, 0) - room]
    title = "Pounds more or less than the papers say"
    axis = charts.round_axis(ends, title, words.signed_pounds, from_zero=True, parts=3)
    names = tuple(f"{row['material']}, {words.short_month(row['to_on'])}" for row in rows)
    packs, kinds = tuple(map(say_packs, rows)), tuple(map(say_kind, rows))
    both = tuple(", ".join(filter(None, each)) for each in zip(packs, kinds, strict=True))
    columns, heads = (
        ((both,), ()) if canvas.is_narrow else ((packs, kinds), ("packs", "looks like"))
    )
    chart = RowChart(canvas, axis, names, columns, heads)
    placed = chart.place(shown)
    more, less = placed.filter(pl.col("worth") > 0), placed.filter(pl.col("worth") <= 0)
    return chart.finish(
        [
            *chart.line_at(0, "as the papers say", dash=()),
            chart.bars(more, "nothing", "worth"),
            chart.bars(less, "nothing", "worth", is_open=True),
            *chart.labels(more, "worth", align="left", dx=6, dy=0),
            *chart.labels(less, "worth", align="right", dx=-6, dy=0),
        ]
    )


def _say_credits(frames: Frames) -> Iterable[str]:
    credits_apart = frames["page.credit_apart"]
    if not credits_apart.is_empty():
        yield (
            f"{words.start_upper(words.counted_in_words(credits_apart.height, 'credit'))} of the "
            f"last year, {words.pounds(_sum(credits_apart, 'credit_gbp'))}, name no delivery that "
            "they lower: no job is cheaper for them."
        )
