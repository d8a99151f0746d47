"""Prices in the quotes beside the prices on invoices, and what was paid by month."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import charts, months, theme, words
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS_QUOTES = ("page.price_in_quotes",)
READS_PAID = ("page.bought_by_month",)

WORTH_SAYING_GBP = 25
_SAME_RATIO = 0.005
"""Up to half of one per cent a price is as in the quotes: packs are priced in whole pence."""
_MOST_ROWS = 8
_AXIS_TITLE = "Last three invoices, % of the price in your quotes"


def changed(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the materials whose newest invoice is not as the quotes say, most pounds first."""
    listed = frame.filter(pl.col("list_price_gbp") > 0)
    moved = listed.filter(pl.col("change_ratio").abs() > _SAME_RATIO)
    return moved.sort(
        pl.col("lately_gap_gbp").fill_null(0).abs(), descending=True, maintain_order=True
    )


def gap_of(frame: pl.DataFrame) -> Decimal:
    """Return the pounds that old prices cost lately: the sum of the rows that took money."""
    return sum((gap for gap in frame["lately_gap_gbp"] if gap and gap > 0), Decimal(0))


def _saved(frame: pl.DataFrame) -> Decimal:
    return sum((-gap for gap in frame["lately_gap_gbp"] if gap and gap < 0), Decimal(0))


def make_quote_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that says whether the prices in the quotes are still right."""
    frame = frames["page.price_in_quotes"]
    question = "Are the prices in the quotes still right?"
    both = frame.filter(pl.col("list_price_gbp") > 0).drop_nulls("change_ratio")
    if both.is_empty():
        return Section(question, _cannot_say(frame))
    moved = changed(frame)
    if moved.is_empty():
        finding = f"All {both.height} prices in your quotes are as on the newest invoices."
        return Section(question, finding, folded=(_list_gap(frame),))
    finding = _find_gap(moved, firm)
    figure = Figure(
        f"{finding} {_AXIS_TITLE}, by material.",
        lambda canvas: _draw_gap(moved.head(_MOST_ROWS), canvas),
        _list_gap(frame),
    )
    return Section(question, finding, figure, _notes(frame, both, moved), action=_act(moved))


def _cannot_say(frame: pl.DataFrame) -> str:
    missing = "invoices with materials named" if frame.is_empty() else "the prices that you quote"
    record = "purchases" if frame.is_empty() else "prices"
    return f"We cannot say yet: {missing} are missing. The {record} record would answer this."


def _find_gap(frame: pl.DataFrame, firm: Firm) -> str:
    total, saved = gap_of(frame), _saved(frame)
    if total >= WORTH_SAYING_GBP:
        dearer = frame.filter(pl.col("lately_gap_gbp") > 0).row(0, named=True)
        cost = f"Old prices cost {words.pounds(total)} in three months."
        return f"Quotes still use {_at(dearer)}. {cost}"
    if saved >= WORTH_SAYING_GBP:
        cheaper = frame.filter(pl.col("lately_gap_gbp") < 0).row(0, named=True)
        return (
            f"Quotes use {_at(cheaper)}. You paid {words.pounds(saved)} less than quoted in three "
            "months."
        )
    return f"The prices in your quotes agree with the invoices of {firm.lately}, to within £25."


def _at(row: dict[str, Any]) -> str:
    old = words.unit_price(row["list_price_gbp"], row["base_unit"])
    new = words.unit_price(row[_NEWEST], row["base_unit"]).partition(words.NO_BREAK)[0]
    return f"{row['material']} at {old}; the newest invoice says {new}"


_NEWEST = "invoice_price_1_gbp"
_COLUMN_HEADS = ("quotes → newest", "3 months")


def _notes(
    frame: pl.DataFrame, both: pl.DataFrame, moved: pl.DataFrame
) -> tuple[str, ...]:  # fmt: skip
    text = (
        "Filled dot: the newest invoice. Open dots: the two before. At the right, what three "
        "months' invoices came to beyond the prices in your quotes."
    )
    drawn = min(moved.height, _MOST_ROWS)
    if drawn < moved.height:
        text += f" {moved.height - drawn} more that differ stand in the table."
    if same := both.height - moved.height:
        text += f" {same} others are as in your quotes." if same > 1 else " One is as in them."
    left_out = [name for name in frame["material"] if name not in set(both["material"])]
    if not left_out:
        return (text,)
    return (text, f"Without a price in the quotes, so not drawn: {words.listed(left_out)}.")


def _act(frame: pl.DataFrame) -> Action | None:
    if gap_of(frame) < WORTH_SAYING_GBP:
        return None
    return Action(
        "Bring the price list up to date",
        "Hand in a prices record with the new pack prices and the day from which they hold. "
        "Quotes made from that day use them.",
    )


def _draw_gap(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shares = charts.as_floats(frame).with_columns(
        (pl.col(f"invoice_price_{n}_gbp") / pl.col("list_price_gbp") - 1).alias(f"share_{n}")
        for n in (1, 2, 3)
    ).with_columns(nothing=pl.lit(0.0))  # fmt: skip
    values = [value for n in (1, 2, 3) for value in shares[f"share_{n}"]]
    axis = charts.round_axis(values, _AXIS_TITLE, words.signed_percent, from_zero=True)
    money = tuple(words.signed_pounds(gap or 0) for gap in frame["lately_gap_gbp"])
    prices = tuple(_from_to(row) for row in frame.iter_rows(named=True))
    both = tuple(map(", ".join, zip(prices, money, strict=True)))
    shown, heads = ((both,), ()) if canvas.is_narrow else ((prices, money), _COLUMN_HEADS)
    chart = RowChart(canvas, axis, tuple(frame["material"]), shown, heads)
    placed = chart.place(shares)
    earlier = [
        chart.dots(placed.drop_nulls(name), name, size=36, is_open=True)
        for name in ("share_3", "share_2")
    ]
    return chart.finish(
        [
            *chart.line_at(0, "price in your quotes"),
            chart.spans(placed, "nothing", "share_1", width=4, colour=theme.PALE_BLUE),
            *earlier,
            chart.dots(placed, "share_1"),
        ]
    )


def _from_to(row: dict[str, Any]) -> str:
    new = words.unit_price(row[_NEWEST], row["base_unit"])
    old = words.unit_price(row["list_price_gbp"], row["base_unit"]).split(words.NO_BREAK)[0]
    return f"{old} → {new}"


def _list_gap(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            _price(row["list_price_gbp"], row),
            "" if row["list_from_on"] is None else words.day(row["list_from_on"]),
            _price(row["invoice_price_3_gbp"], row),
            _price(row["invoice_price_2_gbp"], row),
            _price(row[_NEWEST], row),
            words.day(row["invoice_on_1"]) if row["invoice_on_1"] else "",
            row["supplier"] or "",
            "" if row["lately_gap_gbp"] is None else words.signed_pounds(row["lately_gap_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = (
        "Material", "In your quotes", "Since", "Two invoices back", "One back", "Newest invoice",
        "Of", "Supplier", "More or less in three months",
    )  # fmt: skip
    return Table("Prices ex VAT", heads, tuple(rows), frozenset({1, 3, 4, 5, 8}))


def _price(value: Decimal | None, row: dict[str, Any]) -> str:
    return "" if value is None else words.unit_price(value, row["base_unit"])


def make_paid_section(frames: Frames) -> Section:
    """Return the section that shows what was paid, month by month."""
    frame = frames["page.bought_by_month"].sort("month_on", maintain_order=True)
    question = "What have we been paying?"
    if frame.is_empty():
        return Section(
            question,
            "We cannot say yet: no invoice names a material. The purchases record would answer.",
        )
    finding = _find_paid(frame)
    if frame["month_on"].n_unique() == 1:
        return Section(question, finding, tables=(_list_paid(frame),))
    panels = [_paid_panel(frame.filter(material=name)) for name in _by_money(frame)]
    figure = Figure(
        f"{finding} Price paid for a unit of each material, by month.",
        lambda canvas: months.month_charts(panels, canvas),
        _list_paid(frame),
    )
    paper = " On paper the first four." if len(panels) > months.MOST_ON_PAPER else ""
    note = f"Price paid for one unit, ex VAT; a month without an invoice has no dot.{paper}"
    return Section(question, finding, figure, (note,))


def _by_money(frame: pl.DataFrame) -> list[str]:
    return frame["material"].unique(maintain_order=True).to_list()


def _paid_panel(frame: pl.DataFrame) -> months.Panel:
    unit = frame["base_unit"][0]
    shown = charts.as_floats(frame).select("month_on", value="price_gbp", is_outside=False)
    title = f"{words.start_upper(frame['material'][0])}, £ a {words.unit_sign(unit) or 'piece'}"
    places = 4 if max(shown["value"]) < 1 / 10 else 2
    return months.Panel(title, shown, lambda price: words.exact_pounds(price, places))


def _find_paid(frame: pl.DataFrame) -> str:
    name = _by_money(frame)[0]
    own = frame.filter(material=name)
    unit = own["base_unit"][0]
    last = own.row(-1, named=True)
    now = (
        f"{words.start_upper(name)} was {words.unit_price(last['price_gbp'], unit)} in "
        f"{words.month(last['month_on'])}"
    )
    if own.height == 1:
        return f"{now}; one month of invoices does not show a change."
    first = own.row(0, named=True)
    was = words.unit_price(first["price_gbp"], unit).split(words.NO_BREAK)[0]
    return f"{now}; in {words.month(first['month_on'])} it was {was}."


def _list_paid(frame: pl.DataFrame) -> Table:
    rows = [
        (
            words.month(row["month_on"]),
            row["material"],
            words.quantity(row["quantity"], row["base_unit"]),
            words.unit_price(row["price_gbp"], row["base_unit"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Month", "Material", "Bought", "Price")
    return Table("Bought by month, ex VAT", heads, tuple(rows), frozenset({2, 3}))
