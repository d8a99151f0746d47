"""
Price and quantity of materials against worked answers that others published.

The figures were read in the free accounting texts named beside each; figures only, no text. There
a saving is above 0, here what cost more is. The quote's quantity stands for the standard quantity,
the price list, unchanged from quote to job, for the standard price.
"""

from decimal import Decimal

import pytest

from pipelines.warehouse.relations import views
from tests.support.margin_lines import open_lines

PUBLISHED = {
    "pipe (Walther, Principles of Accounting, variance chapter)": (
        ("80", "90", "4100", "4250", "-41000", "12000"),
    ),
    "burger (free textbook, problem on materials variances)": (
        ("3.00", "3.20", "1250", "1350", "-250", "300"),
    ),
    "units (textbook exercise 23-5)": (("6.90", "6.50", "450", "430", "180", "-138"),),
    "three inputs (textbook case 11-55)": (
        ("0.02", "0.02", "2325000", "2250000", "0", "-1500"),
        ("0.15", "0.20", "1330000", "1125000", "-66500", "-30750"),
        ("0.50", "0.50", "240000", "225000", "0", "-7500"),
    ),
}
"""Standard price, price paid, quantity used, standard quantity; price and quantity variance."""

LINE = """
SELECT
    '2025-001' AS job_ref, 'material' AS material,
    cast({standard} AS DECIMAL(18, 3)) AS quoted_net_quantity,
    cast(NULL AS DECIMAL(18, 3)) AS fitted_net_quantity,
    cast({standard} AS DECIMAL(18, 3)) AS allowed_quantity,
    cast({used} AS DECIMAL(18, 3)) AS used_quantity,
    cast({cost} AS DECIMAL(12, 2)) AS used_gbp,
    cast(NULL AS DECIMAL(18, 3)) AS quoted_lap_quantity,
    cast(NULL AS DECIMAL(18, 3)) AS quoted_cut_quantity,
    cast(NULL AS DECIMAL(18, 3)) AS lap_quantity,
    cast(NULL AS DECIMAL(18, 3)) AS unavoidable_quantity,
    cast(NULL AS DECIMAL(18, 3)) AS avoidable_quantity,
    cast({price} AS DECIMAL(20, 12)) AS quoted_price_gbp,
    cast({price} AS DECIMAL(20, 12)) AS price_gbp
"""


@pytest.mark.parametrize("source", PUBLISHED)
def test_price_and_quantity_as_published(source):
    for price, paid, used, standard, by_price, by_quantity in PUBLISHED[source]:
        cost = Decimal(paid) * Decimal(used)
        line = LINE.format(price=price, cost=cost, used=used, standard=standard)
        with open_lines(line) as connection:
            rows = connection.sql(views()["comparison.margin_part"].select).pl()
        parts = dict(zip(rows["part"], rows["part_gbp"], strict=True))

        assert parts["price list out of date"] == 0
        assert parts["buying price"] == -Decimal(by_price)
        assert parts["not split"] == -Decimal(by_quantity)
