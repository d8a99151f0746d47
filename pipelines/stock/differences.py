"""The difference of one count interval, beside how far counting alone can be out."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import sqrt
from typing import Any

STANDARD_ERRORS = 2
"""A difference within two standard errors is what counting and weighing alone can make."""


@dataclass(frozen=True)
class Difference:
    """
    What is unaccounted for from one count of a material to the next.

    Quantities in base units, above 0 where there is less than the papers say; variances in base
    units squared.
    """

    material: str
    base_unit: str
    from_on: date
    to_on: date
    quantity: Decimal
    value_gbp: Decimal | None
    opening_variance: float
    issue_variance: float
    closing_variance: float
    unrecorded_count: int
    has_issue_records: bool

    @property
    def variance(self) -> float:
        """Variance of the difference: both counts and what was weighed out between them."""
        return self.opening_variance + self.issue_variance + self.closing_variance

    @property
    def error(self) -> float:
        """Standard error of the difference, in base units."""
        return sqrt(self.variance)

    @property
    def is_tested(self) -> bool:
        """Whether every job between the counts says what it took."""
        return self.has_issue_records and not self.unrecorded_count

    @property
    def is_beyond_error(self) -> bool:
        """Whether counting and weighing alone would hardly make such a difference."""
        return self.is_tested and _is_beyond(self.quantity, self.variance)


def read_difference(row: Mapping[str, Any]) -> Difference:
    """Return the difference in a row of `stock.count_interval`."""
    return Difference(
        row["material"],
        row["base_unit"],
        row["from_on"],
        row["to_on"],
        row["difference_quantity"],
        row["difference_gbp"],
        row["opening_variance"],
        row["issue_variance"],
        row["closing_variance"],
        row["unrecorded_count"],
        row["has_issue_records"],
    )


def cancels(first: Difference, second: Difference) -> bool:
    """
    Say whether a difference comes back with the opposite sign at the next count.

    The count between the two drops out of their sum, and its error with it: the sum is tested
    against the counts before and after, and what was weighed out.
    """
    opposite = first.quantity * second.quantity < 0
    return opposite and not _is_beyond(first.quantity + second.quantity, _joint(first, second))


def lasts(first: Difference, second: Difference) -> bool:
    """Say whether a difference still stands, with its sign, when the next count is added."""
    both = first.quantity + second.quantity
    return both * first.quantity > 0 and _is_beyond(both, _joint(first, second))


def _joint(first: Difference, second: Difference) -> float:
    issues = first.issue_variance + second.issue_variance
    return first.opening_variance + issues + second.closing_variance


def _is_beyond(quantity: Decimal, variance: float) -> bool:
    return abs(float(quantity)) > STANDARD_ERRORS * sqrt(variance)
