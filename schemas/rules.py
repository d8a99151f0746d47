"""Rules across columns that several records share."""

import polars as pl

from schemas.record import Rule


def not_before(later: str, earlier: str) -> Rule:
    """Return the rule that a day does not lie before another."""
    return Rule(
        f"{later}not_before_{earlier}",
        later,
        f"lies before {earlier}",
        pl.col(later) >= pl.col(earlier),
    )


NOT_BELOW_NOTHING = Rule(
    "quantity_not_below_nothing", "quantity", "is below 0", pl.col("quantity") >= 0
)

FIRST_OF_MONTH = Rule(
    "month_named_by_its_first_day",
    "month_on",
    "is not the first day of a month: write 2026-04-01 for April",
    pl.col("month_on").dt.day() == 1,
)


def filled_where_no_job(name: str) -> Rule:
    """Return the rule that a column is filled where the row names no job."""
    return Rule(
        f"{name}_where_no_job",
        name,
        "is blank, and the row names no job: one of the two is needed",
        pl.col(name).is_not_null() | pl.col("job_ref").is_not_null(),
    )


LOAD_NOT_BELOW_PRICE = Rule(
    "load_not_below_price",
    "load_ratio",
    "is below the price ratio that it contains",
    pl.col("load_ratio") >= pl.col("price_ratio"),
)
