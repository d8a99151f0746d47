"""
Laminates against published figures.

ISO 12215-5 (small craft, scantlings), Annex C: thickness by Eq. C.1, nominal glass contents by
Table C.2, read in an open implementation that quotes the equation and table numbers. The 6 kg
example is a resin maker's training text on glass content.
"""

import pytest

from pipelines.estimating.laminate import NOMINAL_GLASS_RATIO, laminate


@pytest.mark.parametrize(("mat_g_per_m2", "thickness_mm"), [(450, 1.0508), (600, 1.4010)])
def test_thickness_is_that_of_equation_c1(mat_g_per_m2: int, thickness_mm: float) -> None:
    assert laminate([mat_g_per_m2]).thickness_mm == pytest.approx(thickness_mm, abs=1e-4)


def test_nominal_glass_contents_are_those_of_table_c2() -> None:
    assert dict(NOMINAL_GLASS_RATIO) == {"simple": 0.30, "complex": 0.25, "vacuum": 0.36}


def test_six_kilograms_of_glass_at_thirty_per_cent_take_fourteen_of_resin() -> None:
    ten_mats = laminate([600] * 10, 0.30)

    assert ten_mats.glass_kg_per_m2 == 6
    assert ten_mats.resin_kg_per_m2 == pytest.approx(14, abs=1e-9)
    assert ten_mats.total_kg_per_m2 == pytest.approx(20, abs=1e-9)


def test_a_complex_surface_takes_two_sevenths_more_resin_than_a_simple_one() -> None:
    complex_surface, simple = laminate([450], "complex"), laminate([450], "simple")

    assert complex_surface.resin_kg_per_m2 / simple.resin_kg_per_m2 == pytest.approx(
        1.285714, abs=1e-6
    )
