"""Polars shapes of the tables, for rooms that build a frame row by row."""

from functools import cache

import polars as pl

from schemas.tables import TABLES


@cache
def shape_of(relation: str) -> pl.Schema:
    """
    Give the column names of a table, in order, with their polars types.

    Args:
        relation: a key of `TABLES`, such as `result.fit`.

    """
    columns = TABLES[relation].columns
    return pl.Schema({name: column.dtype.type for name, column in columns.items()})
