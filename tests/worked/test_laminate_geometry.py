"""
Geometry: a laminate without voids is as thick as its glass and its resin together.

With glass of 2.56 and resin of 1.20 g per cm3 that is the formula of the standard, since
3.072 = 2.56 x 1.20 and 1.36 = 2.56 - 1.20.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.errors import QuantityError
from pipelines.estimating.laminate import laminate

mats = st.lists(st.integers(100, 1200), min_size=1, max_size=5)
glass_ratios = st.floats(0.20, 0.60)


@given(mats=mats, glass_ratio=glass_ratios)
@settings(max_examples=50, deadline=None)
def test_thickness_is_that_of_glass_and_resin_laid_side_by_side(
    mats: list[int], glass_ratio: float
) -> None:
    found = laminate(mats, glass_ratio)

    glass = sum(mats) / 1000
    resin = glass * (1 - glass_ratio) / glass_ratio
    assert found.thickness_mm == pytest.approx(glass / 2.56 + resin / 1.20, rel=1e-9)


@given(mats=mats, glass_ratio=glass_ratios)
@settings(max_examples=50, deadline=None)
def test_glass_and_resin_make_the_whole(mats: list[int], glass_ratio: float) -> None:
    found = laminate(mats, glass_ratio)

    whole = found.total_kg_per_m2
    assert found.glass_kg_per_m2 + found.resin_kg_per_m2 == pytest.approx(whole, rel=1e-12)


def test_450_mat_at_thirty_per_cent_holds_1_05_kg_of_resin() -> None:
    assert laminate([450]).resin_kg_per_m2 == pytest.approx(1.05, abs=1e-9)


@pytest.mark.parametrize(
    ("mats", "glass_ratio", "says"),
    [
        ([], 0.30, "at least one mat"),
        ([450, 0], 0.30, "0 is not a mass"),
        ([450], 0.19, "0.19 is not allowed; .* between 0.20 and 0.60"),
        ([450], 0.61, "0.61 is not allowed; .* between 0.20 and 0.60"),
        ([450], float("nan"), "between 0.20 and 0.60"),
        ([450], "sprayed", "allowed: simple, complex, vacuum"),
    ],
)
def test_what_can_not_be_a_laminate_is_refused_with_what_is_allowed(
    mats: list[int], glass_ratio: float | str, says: str
) -> None:
    with pytest.raises(QuantityError, match=says):
        laminate(mats, glass_ratio)
