"""
The area of a roll of mat from its mass.

Source: a mat maker's specification (maker withheld): chopped-strand mat is sold in rolls of 30 to
35 kg, 450 g/m2 among the weights. 34 kg at 450 g/m2 is 75.56 m2; the division is in the line.
"""

from decimal import Decimal

import pytest

from pipelines.quantities import Item, to_base


@pytest.mark.parametrize(
    ("kg", "m2"),
    [("34", "75.556"), ("30", "66.667"), ("35", "77.778")],  # kg / 0.450
)
def test_a_roll_of_450_mat(kg, m2):
    mat = Item("mat", "mat", g_per_m2=Decimal(450))

    assert to_base(Decimal(kg), "kg", mat) == Decimal(m2)


def test_the_same_roll_in_grams():
    mat = Item("mat", "mat", g_per_m2=Decimal(450))

    assert to_base(Decimal(34_000), "g", mat) == Decimal("75.556")
