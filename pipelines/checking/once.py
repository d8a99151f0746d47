"""Work that is the same for equal cells, done once."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import polars as pl


def work_out_once(
    rows: pl.DataFrame,
    by: Sequence[str],
    work: Callable[[Mapping[str, Any]], tuple[Any, ...]],
    shape: Mapping[str, pl.DataType],
) -> pl.DataFrame:
    """
    Return row by row, in the columns of `shape`, what `work` makes of the row's columns `by`.

    It is asked once for rows that are equal in those columns, so it may look at nothing else.
    """
    cells = rows.select(pl.col(name).alias(f"of {name}") for name in by)
    each = cells.unique(maintain_order=True)
    found = [work(dict(zip(by, way, strict=True))) for way in each.iter_rows()]
    worked = each.hstack(pl.DataFrame(found, schema=shape, orient="row"))
    joined = cells.join(
        worked, on=each.columns, how="left", nulls_equal=True, maintain_order="left"
    )
    return joined.select(shape.keys())
