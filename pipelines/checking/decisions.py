"""Decisions: the figures that an accept or a keep takes, where its own are blank."""

from collections.abc import Iterator
from typing import Any

import polars as pl

from pipelines.checking.findings import Fault, Findings, Repair

FIGURES = ("fixed_loss", "price_ratio", "load_ratio")
BASE_FIGURES = ("blend_ratio", "piece_shift")
"""What a decision stands on; blank where the base is not blended, and nothing ends on pieces."""
_TAKES = {"accept": "suggested", "keep": "in_force"}
_SAYS = {"accept": "the suggestion", "keep": "the allowance in force"}


def complete_decisions(rows: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """
    Return decisions with their figures filled: an accept takes the suggested ones beside it.

    A keep takes those in force. A figure typed that differs from the one beside it, and a figure
    that nothing fills, is a fault: no allowance is adopted by a slip. `BASE_FIGURES` may be blank.
    """
    every = (*FIGURES, *BASE_FIGURES)
    filled = rows.with_columns(_figure(name).alias(name) for name in every)
    before = rows.select("row_id", *(pl.col(name).alias(f"typed_{name}") for name in every))
    for row in filled.join(before, on="row_id").iter_rows(named=True):
        findings.reject(_faults(row))
        findings.mend(_fills(row))
    return filled


def _figure(name: str) -> pl.Expr:
    beside = pl.when(pl.col("decision") == "accept").then(f"suggested_{name}")
    return pl.coalesce(
        name, beside.when(pl.col("decision") == "keep").then(f"in_force_{name}").otherwise(None)
    )


def _fills(row: dict[str, Any]) -> Iterator[Repair]:
    for name in (*FIGURES, *BASE_FIGURES):
        if row[f"typed_{name}"] is None and row[name] is not None:
            rule = f"{row['decision']} takes {_SAYS[row['decision']]}"
            yield Repair(row["row_id"], name, None, str(row[name]), rule, mends=False)


def _faults(row: dict[str, Any]) -> Iterator[Fault]:
    decision = row["decision"]
    for name in FIGURES if decision else ():
        if row[name] is None:
            reason = "is blank, and a decision carries its three figures"
            yield Fault(row["row_id"], name, None, reason, f"fill {name}, or clear the decision")
    for name in (*FIGURES, *BASE_FIGURES) if decision in _TAKES else ():
        beside = row[f"{_TAKES[decision]}_{name}"]
        if beside is not None and row[name] is not None and row[name] != beside:
            reason = f"differs from {_SAYS[decision]}, {beside}, that the row says to {decision}"
            remedy = f"write set as the decision, or clear {name}"
            yield Fault(row["row_id"], name, str(row[name]), reason, remedy)
