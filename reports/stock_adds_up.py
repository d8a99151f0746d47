"""Whether the stock adds up: counts held against the papers."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import polars as pl

from reports import bridge, charts, theme, words
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS_OWNER = ("page.count_month", *bridge.READS)
READS = ("page.count_month", "page.count_test", "page.shared_use", "page.place_as_counted")

_QUESTION = "Does the stock add up?"
_MOST_ROWS = 10
_WORDS = {
    "missing delivery note": ("missing note", "Ask for the paper"),
    "lasting loss": ("lasting loss", "Look where it went"),
    "miscount": ("miscount", "Count it twice"),
    "doubtful card": ("a card in doubt", "Look at the card"),
    "cannot say": ("cannot say", "Count again"),
}
"""What a difference looks like, and what to do; in the order in which to do it."""
_PACKS = {"trim": "length", "batten": "length", "firring": "length", "board": "board"}
_WHOLE = Decimal("0.05")
_READING = (
    "Filled bar: more lay there than the papers say; open: less. Only what counting and weighing "
    "alone hardly make, and what is worth asking about. What it looks like is a likeness, no proof."
)


def make_section(frames: Frames, firm: Firm) -> Section:
    """Return what the counts of late differ from the papers, and what that looks like."""
    months, found = frames["page.count_month"], frames["page.count_test"]
    tables = tuple(_list_shared(frames))
    places = tuple(_list_places(frames))
    finding = _find(months, firm)
    if months.is_empty():
        return Section(_QUESTION, finding, tables=tables, folded=places, is_printed=False)
    folded = (*_list_reasons(found), _list_months(months), *places)
    drawn = found.drop_nulls("difference_gbp").head(_MOST_ROWS)
    figure = None if drawn.is_empty() else Figure(
        f"{finding} What counts of the last year found, in pounds.",
        lambda canvas: _draw(drawn, canvas),
        _list_found(found),
    )  # fmt: skip
    notes = tuple(_notes(months, found, is_drawn=figure is not None))
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
    for kind, (_, heading) in _WORDS.items():
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
    packs, kinds = tuple(map(_packs, rows)), tuple(map(_kind, rows))
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


def _packs(row: dict[str, Any]) -> str:
    count = row["pack_count"]
    if count is None:
        return ""
    whole = round(count)
    thing = _PACKS.get(row["kind"], "pack")
    if abs(count - whole) < _WHOLE:
        return words.counted(whole, thing)
    return f"{count:.1f}{words.NO_BREAK}{thing}s"


def _kind(row: dict[str, Any]) -> str:
    kind: str = row["signature"]
    return _WORDS[kind][0] if kind in _WORDS else kind


def _list_found(found: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.day(row["to_on"]),
            words.signed_quantity(-row["difference_quantity"], row["base_unit"]),
            _packs(row),
            "not known" if row["difference_gbp"] is None
            else words.signed_pounds(-row["difference_gbp"]),
            _kind(row),
        )
        for row in found.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Material", "Counted", "Beside the papers", "In packs", "Worth", "Looks like")
    return Table("What the counts found", heads, tuple(rows), frozenset({2, 3, 4}))


def _list_reasons(found: pl.DataFrame) -> Iterable[Table]:
    rows = tuple(
        (row["material"], words.day(row["to_on"]), row["because"])
        for row in found.iter_rows(named=True)
    )
    if rows:
        yield Table("Why it looks so", ("Material", "Counted", "What points to it"), rows)


def _list_months(months: pl.DataFrame) -> Table:
    rows = tuple(
        (
            words.month(row["month_on"]),
            words.pounds(row["no_job_gbp"]),
            words.pounds(row["more_gbp"]),
            f"{row['span_count'] - row['not_tested_count']} of {row['span_count']}",
            "yes" if row["adds_up"] else "no",
        )
        for row in months.iter_rows(named=True)
    )
    heads = ("Month", "No job against it", "More than the papers", "Materials told", "Sums add up")
    return Table("Month by month", heads, rows, frozenset({1, 2, 3}))


def _list_shared(frames: Frames) -> Iterable[Table]:
    rows = tuple(
        (
            row["material"],
            words.quantity(row["shared_quantity"], row["base_unit"]),
            words.counted(row["job_count"], "job"),
            _ratio(row),
            row["note"] or row["label"],
        )
        for row in frames["page.shared_use"].iter_rows(named=True)
    )
    if rows:
        heads = ("Material", "Went in a year", "Over", "Used for 100 needed", "How known")
        yield Table("Shared out over the jobs, not measured", heads, rows, frozenset({1, 2, 3}))


def _ratio(row: dict[str, Any]) -> str:
    if row["use_ratio"] is None:
        return "not known"
    names = ("use_ratio", "low_ratio", "high_ratio")
    used, low, high = (f"{100 * (1 + row[name]):.0f}" for name in names)
    return f"{used}, between {low} and {high}"


def _list_places(frames: Frames) -> Iterable[Table]:
    rows = tuple(
        (
            row["material"],
            row["place"],
            words.day(row["counted_on"]),
            words.quantity(row["quantity"], row["base_unit"]),
            "" if row["value_gbp"] is None else words.pounds(row["value_gbp"]),
        )
        for row in frames["page.place_as_counted"].iter_rows(named=True)
    )
    if rows:
        heads = ("Material", "Place", "Last counted", "Lay there", "Worth")
        yield Table("Where it lay when last counted", heads, rows, frozenset({3, 4}))
