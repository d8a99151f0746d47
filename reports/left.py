"""What is left of the price after materials, by job type and by month."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import polars as pl

from reports import charts, months, theme, words
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.left_by_job_type", "page.left_by_month")

ENOUGH_JOBS = 3
_LEAST_SPAN = 20
"""Pounds of every £100 that the axis over the months spans: £2 are not to look like £20."""
_MOST_NAMED = 4
_MEASURE = "Left after materials, of every £100 of price (labour not in)"


def surely_under(frame: pl.DataFrame, firm: Firm) -> pl.DataFrame:
    """Return the job types whose whole range lies under the firm's aim, most pounds first."""
    if firm.left_aim_ratio is None:
        return frame.head(0)
    under = (pl.col("job_count") >= ENOUGH_JOBS) & (pl.col("high_ratio") < firm.left_aim_ratio)
    return frame.filter(under).sort("below_aim_gbp", descending=True, maintain_order=True)


def make_type_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that says which job types fall short."""
    frame = frames["page.left_by_job_type"]
    question = "Which job types fall short?"
    if frame.is_empty():
        return Section(question, _no_margin(firm), action=_hand_in_prices(firm))
    ordered = frame.sort(
        pl.col("below_aim_gbp").fill_null(0),
        -pl.col("left_ratio"),
        descending=True,
        maintain_order=True,
    )
    finding = _find_types(ordered, firm)
    figure = Figure(
        f"{finding} {_MEASURE}, by job type.",
        lambda canvas: _draw_types(ordered, firm, canvas),
        _list_types(ordered),
    )
    notes = (*_notes(firm), *_say_unpriced(ordered, lambda row: words.plural(row["job_type"])))
    return Section(question, finding, figure, notes, action=_act_on_types(ordered, firm))


def _no_margin(firm: Firm) -> str:
    if firm.vat_unknown_count:
        return (
            f"We cannot say yet: of {words.counted(firm.vat_unknown_count, 'job')} finished lately "
            "a material's rate of VAT is not known. The rate on the purchases record would "
            "answer this."
        )
    start = "We cannot say yet: no job finished lately has both a price and its materials."
    if not firm.has_issues:
        return f"{start} The job materials record, what went out and came back, would answer this."
    return f"{start} The price on the jobs record would answer this."


def _hand_in_prices(firm: Firm) -> Action:
    if firm.vat_unknown_count:
        return Action(
            "Hand in rates of VAT", "Fill vat_pct on the purchases, or in the supplier's mapping."
        )
    if not firm.has_issues:
        return Action("Hand in return cards", "What went out to each job, and what came back.")
    return Action(
        "Hand in prices", "Fill quoted price and day of finishing on the jobs record, a row a job."
    )


def _find_types(frame: pl.DataFrame, firm: Firm) -> str:
    aim = firm.left_aim_ratio
    if aim is None:
        least = frame.sort("left_ratio", maintain_order=True).row(0, named=True)
        return f"{_left(least)} after materials, the least of {_types(frame.height)}."
    under = surely_under(frame, firm)
    if under.height == 1:
        return _one_under(under.row(0, named=True), aim, firm)
    if under.height > 1:
        names = [words.plural(name) for name in under["job_type"].to_list()]
        total = words.pounds(sum(under["below_aim_gbp"].to_list(), Decimal(0)))
        return (
            f"{words.start_upper(words.listed(names))} are under your aim, together {total}; "
            f"{names[0]} are the larger part."
        )
    return _none_surely_under(frame, aim)


def _one_under(row: dict[str, Any], aim: float, firm: Firm) -> str:
    short = words.of_hundred(aim - row["left_ratio"])
    return (
        f"{_left(row)}, {short} under your aim; from {firm.lately} that is "
        f"{words.pounds(row['below_aim_gbp'])}."
    )


def _none_surely_under(frame: pl.DataFrame, aim: float) -> str:
    maybe = frame.filter(pl.col("left_ratio") < aim)
    if maybe.is_empty():
        few = frame.filter(pl.col("job_count") >= ENOUGH_JOBS).is_empty()
        return (
            f"No job type was under your aim of {words.of_hundred(aim)} of every £100."
            if few
            else "Every job type with three jobs or more met your aim."
        )
    row = maybe.row(0, named=True)
    name = words.plural(row["job_type"])
    return (
        f"No job type is surely under your aim; {name} may be, "
        f"on {words.counted(row['job_count'], 'job')}."
    )


def _left(row: dict[str, Any]) -> str:
    name = words.start_upper(words.plural(row["job_type"]))
    return f"{name} left {words.of_hundred(row['left_ratio'])} of every £100 of price"


def _types(count: int) -> str:
    return words.counted_in_words(count, "job type")


def _notes(firm: Firm) -> tuple[str, ...]:
    return (
        (
            f"Filled dot: {firm.lately}. Open dot: the three months before. The bar is where the "
            "true figure lies, nine times in ten. Small dot: one or two jobs, too few to judge. "
            f"{words.counted(firm.lately_job_count, 'job')} finished."
        ),
    )


def _say_unpriced(frame: pl.DataFrame, name: Callable[[dict[str, Any]], str]) -> tuple[str, ...]:
    lacking = frame.filter(pl.col("unpriced_count") > 0).to_dicts()
    if not lacking:
        return ()
    told = [f"{name(row)} ({row['unpriced_count']})" for row in lacking[:_MOST_NAMED]]
    more = len(lacking) - _MOST_NAMED
    named = words.listed([*told, f"{more} more in the table"] if more > 0 else told)
    return (f"Materials without a price are not in it, so that less is left: {named}.",)


def _left_gbp(row: dict[str, Any]) -> str:
    left = words.pounds(row["left_gbp"])
    count = row["unpriced_count"]
    if not count:
        return left
    be = words.is_or_are(count)
    return f"{left}; {words.counted(count, 'material')} without a price {be} not in it"


def _act_on_types(frame: pl.DataFrame, firm: Firm) -> Action | None:
    under = surely_under(frame, firm)
    if under.is_empty():
        return None
    name = words.start_upper(words.plural(under.row(0, named=True)["job_type"]))
    return Action(
        f"{name}: reprice, or take fewer",
        "Look first whether the allowance is off: then the next quotes mend it by themselves.",
        ("The allowances", "estimator.html#q1"),
    )


def _draw_types(frame: pl.DataFrame, firm: Firm, canvas: theme.Canvas) -> Drawing:
    shares = charts.as_floats(frame).with_columns(
        (pl.col("left_ratio", "low_ratio", "high_ratio", "before_ratio") * 100),
        label=pl.col("left_ratio").map_elements(words.of_hundred, return_dtype=pl.String),
    )
    aim = None if firm.left_aim_ratio is None else firm.left_aim_ratio * 100
    shown = shares.select("left_ratio", "low_ratio", "high_ratio", "before_ratio")
    values = [value for row in shown.iter_rows() for value in row] + [aim]
    axis = charts.round_axis(values, _MEASURE.split(" (", maxsplit=1)[0], words.pounds)
    chart = RowChart(
        canvas, axis, tuple(frame["job_type"]), _columns(frame), has_grid=True, labels_above=True
    )
    placed = chart.place(shares)
    thin = placed.filter(pl.col("job_count") < ENOUGH_JOBS)
    enough = placed.filter(pl.col("job_count") >= ENOUGH_JOBS)
    return chart.finish(
        [
            *([] if aim is None else chart.line_at(aim, f"your aim, {words.pounds(aim)}")),
            *chart.intervals(enough, "low_ratio", "high_ratio"),
            chart.dots(placed.drop_nulls("before_ratio"), "before_ratio", size=40, is_open=True),
            chart.dots(enough, "left_ratio"),
            chart.dots(thin, "left_ratio", size=24, colour=theme.SOFT),
            *chart.labels(placed, "left_ratio"),
        ]
    )


def _columns(frame: pl.DataFrame) -> tuple[tuple[str, ...], ...]:
    jobs = tuple(_jobs(row) for row in frame.iter_rows(named=True))
    priced = tuple(f"{words.pounds(price)} priced" for price in frame["price_gbp"])
    if frame["below_aim_gbp"].null_count() == frame.height:
        return (priced, jobs)
    below = tuple(
        f"{count}, {words.pounds(gap)} below" if gap is not None and gap > 0 else count
        for count, gap in zip(jobs, frame["below_aim_gbp"], strict=True)
    )
    return (priced, below)


def _jobs(row: dict[str, Any]) -> str:
    jobs, lacking = words.counted(row["job_count"], "job"), row["unpriced_count"]
    return f"{jobs}, {lacking}{words.NO_BREAK}unpriced" if lacking else jobs


def _list_types(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["job_type"],
            words.counted(row["job_count"], "job"),
            words.pounds(row["price_gbp"]),
            words.pounds(row["materials_gbp"]),
            "not known" if row["labour_gbp"] is None else words.pounds(row["labour_gbp"]),
            _left_gbp(row),
            words.of_hundred(row["left_ratio"]),
            _between(row),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = (
        "Job type", "Jobs", "Price", "Materials", "Labour", "Left after materials",
        "Of every £100", "Nine times in ten between",
    )  # fmt: skip
    return Table(_MEASURE, heads, tuple(rows), frozenset(range(1, 7)))


def _between(row: dict[str, Any]) -> str:
    if row["low_ratio"] is None or row["high_ratio"] is None:
        return "too few jobs"
    return f"{words.of_hundred(row['low_ratio'])} and {words.of_hundred(row['high_ratio'])}"


def make_month_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that shows what was left, month by month."""
    frame = frames["page.left_by_month"].sort("month_on", maintain_order=True)
    question = "Is what is left holding?"
    if frame.is_empty():
        return Section(question, _no_margin(firm))
    finding = _find_months(frame)
    panel = months.Panel(
        _MEASURE,
        frame.select("month_on", pl.col("left_ratio") * 100, is_outside=False).rename(
            {"left_ratio": "value"}
        ),
        words.pounds,
        None if firm.left_aim_ratio is None else firm.left_aim_ratio * 100,
        least_span=_LEAST_SPAN,
        allowed_word="your aim",
    )
    if frame.height == 1:
        return Section(question, finding, tables=(_list_months(frame),))
    figure = Figure(
        f"{finding} {_MEASURE}, by month.",
        lambda canvas: months.month_charts([panel], canvas, height=canvas.high(140)),
        _list_months(frame),
    )
    aim = "" if firm.left_aim_ratio is None else " The broken line is your aim."
    note = f"Each dot is the jobs finished in that month; how many stands in the table.{aim}"
    lacking = _say_unpriced(frame, lambda row: words.month(row["month_on"]))
    return Section(question, finding, figure, (note, *lacking))


def _find_months(frame: pl.DataFrame) -> str:
    last = frame.row(-1, named=True)
    now = (
        f"{words.month_name(last['month_on'])} left {words.of_hundred(last['left_ratio'])} of "
        f"every £100 of price after materials, on {words.counted(last['job_count'], 'job')}"
    )
    if frame.height == 1:
        return f"{now}; one month says little."
    low, high = frame["left_ratio"].min(), frame["left_ratio"].max()
    ends = [words.of_hundred(float(str(each))) for each in (low, high)]
    return f"{now}; the {frame.height} months lie between {ends[0]} and {ends[1]}."


def _list_months(frame: pl.DataFrame) -> Table:
    rows = [
        (
            words.month(row["month_on"]),
            words.counted(row["job_count"], "job"),
            words.pounds(row["price_gbp"]),
            words.pounds(row["materials_gbp"]),
            _left_gbp(row),
            words.of_hundred(row["left_ratio"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Month", "Jobs", "Price", "Materials", "Left after materials", "Of every £100")
    return Table(_MEASURE, heads, tuple(rows), frozenset(range(1, 6)))
