"""The owner's page: what falls short, what took more, and what to ask."""

from decimal import Decimal

from reports import (
    beside_margin,
    closings,
    left,
    margin,
    prices,
    questions,
    stock_adds_up,
    use,
    words,
)
from reports import firm as firms
from reports.firm import Firm
from reports.page import Ask, Frames, Page

READS: tuple[str, ...] = (
    *firms.READS, *left.READS, *use.READS_TAKEN, *use.READS_MONTHS, *questions.READS,
    *prices.READS_QUOTES, *margin.READS, *beside_margin.READS, *stock_adds_up.READS_OWNER,
    *closings.READS,
)  # fmt: skip

HEAD_READS: tuple[str, ...] = (
    "page.firm",
    "page.left_by_job_type",
    *prices.READS_QUOTES,
    *questions.READS,
)
"""What the heading alone stands on."""

_MOST_ASKS = 3


def build(frames: Frames) -> Page:
    """Return the page; `frames` hold every relation of `READS`."""
    firm = firms.read_firm(frames)
    sections = (
        left.make_type_section(frames, firm),
        use.make_taken_section(frames, firm),
        use.make_month_section(frames),
        left.make_month_section(frames, firm),
        questions.make_question_section(frames, firm),
        prices.make_quote_section(frames, firm),
        margin.make_section(frames, firm),
        *beside_margin.make_sections(frames),
        stock_adds_up.make_owner_section(frames, firm),
        closings.make_section(frames),
    )
    asks = _asks(frames, firm)
    return Page(
        "owner", firm.title, firm.beside, head(frames), _open(frames, firm), asks, sections,
        firms.read_trust(frames),
    )  # fmt: skip


def head(frames: Frames) -> str:
    """Return the heading: how many things the month asks of the owner."""
    firm = firms.read_firm(frames)
    count = len(_asks(frames, firm))
    if not firm.finished_job_count:
        return "No finished job yet"
    return f"{firm.month} asks {_things(count)} of you"


def _things(count: int) -> str:
    return "nothing" if count == 0 else words.counted_in_words(count, "thing")


def _open(frames: Frames, firm: Firm) -> str:
    rows = frames["page.left_by_job_type"]
    if rows.is_empty():
        return (
            "What was left of the price lately cannot be said yet; each question names the record "
            "that would help."
        )
    priced, kept = (
        sum(rows[name].to_list(), Decimal(0)) for name in ("price_gbp", "left_gbp")
    )  # fmt: skip
    jobs = words.counted(int(rows["job_count"].sum()), "job")
    return (
        f"{firm.lately}: {jobs} with a price of {words.pounds(priced)} left "
        f"{words.pounds(kept)} after materials, labour not taken off."
    )


def _asks(frames: Frames, firm: Firm) -> tuple[Ask, ...]:
    found = [*_ask_types(frames, firm), *_ask_prices(frames), *_ask_questions(frames)]
    found.sort(key=lambda each: -each[0])
    return tuple(ask for _, ask in found[:_MOST_ASKS])


def _ask_types(frames: Frames, firm: Firm) -> list[tuple[Decimal, Ask]]:
    under = left.surely_under(frames["page.left_by_job_type"], firm)
    return [
        (
            row["below_aim_gbp"],
            Ask(
                f"Reprice {words.plural(row['job_type'])}, or take fewer of them: "
                f"{words.pounds(row['below_aim_gbp'])} under your aim.",
                ("Question 1", "#q1"),
            ),
        )
        for row in under.drop_nulls("below_aim_gbp").head(1).iter_rows(named=True)
    ]


def _ask_prices(frames: Frames) -> list[tuple[Decimal, Ask]]:
    gap = prices.gap_of(prices.changed(frames["page.price_in_quotes"]))
    if gap < prices.WORTH_SAYING_GBP:
        return []
    text = f"Bring the price list up to date: {words.pounds(gap)} in three months."
    return [(gap, Ask(text, ("Question 6", "#q6")))]


def _ask_questions(frames: Frames) -> list[tuple[Decimal, Ask]]:
    rows = questions.worth_asking(frames["page.job_to_ask_about"])
    if rows.is_empty():
        return []
    money = sum(rows["beyond_gbp"].to_list(), Decimal(0))
    jobs = words.counted_in_words(rows["job_ref"].n_unique(), "job")
    return [(money, Ask(f"Ask about {jobs}: {words.pounds(money)}.", ("Question 5", "#q5")))]
