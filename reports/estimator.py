"""The estimator's page: which allowances are off, and what the roofs say of the measuring."""

from reports import (
    allowance,
    bought,
    cold_months,
    consumables,
    crews,
    cuts,
    drift,
    roofs,
    scores,
    suggestion,
    words,
)
from reports import firm as firms
from reports.firm import Firm
from reports.page import Ask, Frames, Page, Section

READS: tuple[str, ...] = (
    *firms.READS, *allowance.READS, *suggestion.READS, *bought.READS, *roofs.READS_MEASURING,
    *roofs.READS_SIZE, *cuts.READS, *roofs.READS_LAY_UPS, *roofs.READS_ASIDE, *scores.READS,
    *drift.READS, *consumables.READS, *cold_months.READS, *crews.READS,
)  # fmt: skip

HEAD_READS: tuple[str, ...] = suggestion.READS_TO_DECIDE
"""What the heading alone stands on."""

_MOST_ASKS = 3


def build(frames: Frames) -> Page:
    """Return the page; `frames` hold every relation of `READS`."""
    firm = firms.read_firm(frames)
    sections = (
        _first_section(frames, firm),
        suggestion.make_section(frames),
        scores.make_section(frames),
        roofs.make_measuring_section(frames),
        roofs.make_size_section(frames),
        cuts.make_section(frames),
        roofs.make_lay_up_section(frames),
        drift.make_section(frames),
        consumables.make_section(frames),
        roofs.make_aside_section(frames),
        cold_months.make_section(frames),
        crews.make_section(frames),
    )
    beside = (*firm.beside[:2], words.counted(firm.finished_job_count, "finished job"))
    opening = (
        "Nothing changes by itself. You decide, hand the decision in, and the next estimate uses "
        "it from that day."
    )
    return Page(
        "estimator", firm.title, beside, head(frames), opening, _asks(frames),
        tuple(section for section in sections if section is not None),
        firms.read_trust(frames),
    )  # fmt: skip


def _first_section(frames: Frames, firm: Firm) -> Section:
    if firm.has_issues or frames["page.bought_rate"].is_empty():
        return allowance.make_section(frames)
    return bought.make_bought_section(frames)


def head(frames: Frames) -> str:
    """Return the heading: how many allowances are off, or not stated yet."""
    open_rows = suggestion.to_decide(frames)
    off = open_rows.filter("is_off").height
    if off:
        count = words.start_upper(words.counted_in_words(off, "allowance"))
        return f"{count} {words.is_or_are(off)} off"
    if open_rows.height:
        count = words.start_upper(words.counted_in_words(open_rows.height, "allowance"))
        return f"{count} to state"
    if frames["page.allowance"]["suggested_rate"].drop_nulls().is_empty():
        return "No allowance can be judged yet"
    return "No allowance is off"


def _asks(frames: Frames) -> tuple[Ask, ...]:
    offered = suggestion.to_decide(frames).head(_MOST_ASKS)
    return tuple(
        Ask(f"Decide on {row['material']} for {words.plural(row['job_type'])}{_stake(row)}.",
            ("Question 2", "#q2"))
        for row in offered.iter_rows(named=True)
    )  # fmt: skip


def _stake(row: dict[str, object]) -> str:
    money = row["at_stake_gbp"]
    return f": {words.pounds(money)} at stake in a year" if isinstance(money, words.NUMBERS) else ""
