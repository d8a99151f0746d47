"""The order in which rows were received."""

import polars as pl

IN_ORDER = ("receipt_no", "sheet", "row_no", "part_no")


def put_in_order(rows: pl.DataFrame) -> pl.DataFrame:
    """Return rows in the order in which they were received; as they are where they stand so."""
    return rows if _stand_in_order(rows.select(IN_ORDER)) else rows.sort(IN_ORDER)


def _stand_in_order(places: pl.DataFrame) -> bool:
    """Return whether no place comes before the one above it."""
    holds = pl.lit(value=True)
    for name in reversed(IN_ORDER):
        above, here = pl.col(name).shift(1), pl.col(name)
        holds = (above < here) | ((above == here) & holds)
    return bool(places.select(holds.fill_null(value=True).all()).item())
