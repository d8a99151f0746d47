"""Parts of the margin add exactly, on any job, in any order."""

from pipelines.warehouse.relations import views
from tests.support.margin_lines import open_lines

PARTS = views()["comparison.margin_part"].select

DRAWN = """
SELECT
    cast(job_no AS VARCHAR) AS job_ref,
    'trim ' || job_no AS material,
    cast(1 + hash(job_no, 1) % 90000 AS DECIMAL(18, 3)) / 1000 AS quoted_net,
    cast(1 + hash(job_no, 2) % 90000 AS DECIMAL(18, 3)) / 1000 AS fitted_net,
    hash(job_no, 3) % 4 AS shape
FROM range({count}) AS numbered (job_no)
ORDER BY hash(job_no, {order})
"""
LINES = """
SELECT
    job_ref,
    material,
    cast(quoted_net AS DECIMAL(18, 3)) AS quoted_net_quantity,
    CASE WHEN shape != 1 THEN cast(fitted_net AS DECIMAL(18, 3)) END AS fitted_net_quantity,
    cast(hash(job_ref, 4) % 120000 / 1000 AS DECIMAL(18, 3)) AS allowed_quantity,
    cast(hash(job_ref, 5) % 120000 / 1000 AS DECIMAL(18, 3)) AS used_quantity,
    cast({scale} * (hash(job_ref, 6) % 90000) / 100 AS DECIMAL(12, 2)) AS used_gbp,
    CASE WHEN shape > 1 THEN cast(hash(job_ref, 7) % 900 / 1000 AS DECIMAL(18, 3)) END
        AS quoted_lap_quantity,
    cast(hash(job_ref, 8) % 3000 / 1000 AS DECIMAL(18, 3)) AS quoted_cut_quantity,
    cast(hash(job_ref, 9) % 900 / 1000 AS DECIMAL(18, 3)) AS lap_quantity,
    cast(hash(job_ref, 10) % 3000 / 1000 AS DECIMAL(18, 3)) AS unavoidable_quantity,
    CASE WHEN shape = 3 THEN cast(hash(job_ref, 11) % 3000 / 1000 - 1 AS DECIMAL(18, 3)) END
        AS avoidable_quantity,
    cast({scale} * (1 + hash(job_ref, 12) % 99999) / 7919 AS DECIMAL(20, 12)) AS quoted_price_gbp,
    cast({scale} * (1 + hash(job_ref, 13) % 99999) / 7919 AS DECIMAL(20, 12)) AS price_gbp
FROM ({drawn})
"""
SUMS = """
SELECT job_ref, sum(part_gbp) AS parts_gbp, any_value(cost_gbp - quoted_gbp) AS total_gbp,
    count(part_gbp) AS known_count
FROM ({parts}) GROUP BY job_ref
"""


def draw_lines(count: int, order: int = 0, scale: int = 1) -> str:
    """Give the SELECT of so many jobs of every shape: unmeasured, uncut, offcuts known or not."""
    return LINES.format(drawn=DRAWN.format(count=count, order=order), scale=scale)


def test_the_parts_of_ten_thousand_jobs_add_to_the_penny():
    with open_lines(draw_lines(10_000)) as connection:
        sums = connection.sql(SUMS.format(parts=PARTS)).pl()

    assert sums.height == 10_000
    assert sums.filter(sums["parts_gbp"] != sums["total_gbp"]).height == 0
    assert set(sums["known_count"]) == {3, 4, 6, 9}


def test_the_order_of_the_rows_changes_nothing():
    found = []
    for order in (0, 1):
        with open_lines(draw_lines(500, order)) as connection:
            found.append(connection.sql(PARTS).pl().sort("job_ref", "part_no"))

    assert found[0].equals(found[1])


def test_twice_the_prices_are_twice_the_parts_but_for_rounding():
    found = []
    for scale in (1, 2):
        with open_lines(draw_lines(500, 0, scale)) as connection:
            found.append(connection.sql(PARTS).pl().sort("job_ref", "part_no")["part_gbp"])

    apart = (found[1].cast(float) - 2 * found[0].cast(float)).abs().drop_nulls()
    assert apart.max() <= 0.0301
    assert found[0].null_count() == found[1].null_count()
