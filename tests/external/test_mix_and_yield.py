"""
Mix and yield of materials that stand in for one another, against answers that others published.

The figures were read in the texts named beside each; figures only, no text. There a saving is
above 0, here what cost more is. The standard quantity for the output made stands for what was
allowed, the standard price for the price list. Where a source prints no answer, it was worked out
by hand in fractions, and says so. Examples whose standard quantity is no thousandth are left out.
"""

from dataclasses import dataclass
from decimal import Decimal

import duckdb
import pytest

from pipelines.warehouse.relations import views

TABLES = """
CREATE SCHEMA ledger; CREATE SCHEMA usage; CREATE SCHEMA stock;
CREATE TABLE ledger.jobs AS SELECT '2025-001' AS job_ref, 'completed' AS status,
    DATE '2025-05-01' AS completed_on;
CREATE TABLE usage.calendar AS SELECT DATE '2025-06-01' AS as_of;
CREATE TABLE ledger.materials (material VARCHAR, kind VARCHAR, g_per_m2 DECIMAL(18, 6));
CREATE TABLE usage.allowed (
    job_ref VARCHAR, material VARCHAR, allowed_quantity DECIMAL(18, 3)
);
CREATE TABLE usage.job_quantity (
    job_ref VARCHAR, material VARCHAR, used_quantity DECIMAL(18, 3)
);
CREATE TABLE stock.price_step (
    material VARCHAR, from_on DATE, until_on DATE, price_gbp DECIMAL(20, 12)
);
"""


@dataclass(frozen=True)
class Published:
    """Standard price, standard quantity and quantity used of each input; mix and yield."""

    inputs: tuple[tuple[str, str, str], ...]
    mix: str
    yields: str


PUBLISHED = {
    "60/40, 1.6 in for 1 out (university slides, printed)": Published(
        (("200", "288", "275"), ("100", "192", "225")), "2500", "-3200"
    ),
    "apples 50/30/20 (cost accounting textbook, exhibit 17.2; mix printed)": Published(
        (("70", "3250", "3250"), ("80", "1950", "2275"), ("90", "1300", "975")), "3250", "0"
    ),
    "three litres (exam question, printed)": Published(
        (("2", "1500", "1400"), ("3", "3000", "3100"), ("1", "1500", "1250")), "-412.50", "562.50"
    ),
    "5 and 6 for 10 (exam question; by hand from its figures)": Published(
        (("16", "2400", "2200"), ("25", "2880", "2750")), "-450", "6900"
    ),
    "cleaner (textbook question; by hand from its figures)": Published(
        (("8", "4000", "3700"), ("5", "5600", "6000"), ("7", "2400", "2800")), "800", "-3200"
    ),
    "60/30/10 (accounting magazine, November 2020; by hand from its figures)": Published(
        (("75", "60", "65"), ("60", "30", "28"), ("40", "10", "11")), "-27", "-268"
    ),
}


@pytest.mark.parametrize("published", PUBLISHED.values(), ids=PUBLISHED)
def test_mix_and_yield_as_published(published: Published) -> None:
    with duckdb.connect() as connection:
        connection.execute(TABLES)
        for no, (price, standard, used) in enumerate(published.inputs):
            name = f"resin {no}"
            connection.execute("INSERT INTO ledger.materials VALUES ($1, 'resin', NULL)", [name])
            connection.execute(
                "INSERT INTO usage.allowed VALUES ('2025-001', $1, $2)", [name, standard]
            )
            connection.execute(
                "INSERT INTO usage.job_quantity VALUES ('2025-001', $1, $2)", [name, used]
            )
            connection.execute(
                "INSERT INTO stock.price_step VALUES "
                "($1, DATE '1900-01-01', DATE '9999-12-31', $2)",
                [name, price],
            )
        (row,) = connection.sql(views()["comparison.mix_yield"].select).pl().to_dicts()

    assert row["mix_gbp"] == -Decimal(published.mix)
    assert row["yield_gbp"] == -Decimal(published.yields)
    assert row["usage_gbp"] == row["mix_gbp"] + row["yield_gbp"]
