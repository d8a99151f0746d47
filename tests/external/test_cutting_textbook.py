"""
Published cutting-stock cases whose least number of lengths is known.

Runs and optima are carried literally; there is no lap, no saw cut, no leftover worth keeping and
no join. Sources: encyclopaedia articles on the cutting stock problem (paper rolls of 5600 mm, 13
widths, 219 rolls, optimum 73 stated there); a public model library's page on the column generation
of Gilmore and Gomory (width 100, optimum 453); a public modelling-language manual (width 110,
optimum 47); a public solver manual (its lengths doubled to whole numbers, optimum 161 stated there;
its roll width of 94 is from memory). All four optima were proven again by two other methods,
column generation and arc flow, before they were written here.
"""

from dataclasses import asdict

import pytest

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.plans import LengthRules, Run
from tests.support.cut_plans import find_faults

CASES = {
    "paper rolls": (
        5600,
        {
            2200: 20, 2150: 18, 2140: 16, 2100: 14, 2050: 12, 2000: 10, 1930: 20, 1880: 18,
            1820: 18, 1710: 14, 1560: 12, 1520: 25, 1380: 22,
        },
        73,
    ),
    "column generation page": (100, {45: 97, 36: 610, 31: 395, 14: 211}, 453),
    "modelling-language manual": (110, {75: 8, 55: 10, 50: 24, 45: 35, 20: 48}, 47),
    "solver manual": (188, {59: 227, 48: 108, 45: 48, 42: 96, 34: 150}, 161),
}  # fmt: skip


@pytest.mark.parametrize(("stock", "wanted", "optimum"), CASES.values(), ids=CASES)
def test_the_published_optimum_is_found_and_proven(stock, wanted, optimum):
    widths = [width for width, count in wanted.items() for _ in range(count)]
    rules = LengthRules(stock, lap_mm=0, kerf_mm=0, keep_from_mm=stock + 1)

    found = plan_least([Run(no, width) for no, width in enumerate(widths, start=1)], rules)

    assert find_faults(asdict(found)) == []
    assert found.is_proven
    assert found.new_lengths_count == optimum
    assert found.joints_count == 0
