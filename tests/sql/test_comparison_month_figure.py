"""comparison.month_figure."""

from tests.support.drawn import assert_drawn

JOBS = """
    month_on   | job_ref  | price_gbp | materials_gbp | left_gbp | completed_on
    -----------+----------+-----------+---------------+---------+-------------
    2026-04-01 | 2026-001 | 2400.00   | 90.00         | 2310.00  | 2026-04-10
    2026-04-01 | 2026-002 | 900.00    | 30.00         | 870.00   | 2026-04-10
    2026-04-01 | 2026-003 | 700.00    |               |          | 2026-04-10
    2026-04-01 | 2026-004 | 0.00      | 12.00         | -12.00   | 2026-04-10
"""


def test_totals_are_sums_of_the_jobs_that_have_price_and_materials(relation):
    rows = relation("comparison.month_figure", job=JOBS)

    assert_drawn(
        rows,
        """
        month_on   | job_ref  | figure    | gbp
        -----------+----------+-----------+--------
        2026-04-01 | 2026-001 | price     | 2400.00
        2026-04-01 | 2026-001 | materials | 90.00
        2026-04-01 | 2026-001 | left      | 2310.00
        2026-04-01 | 2026-002 | price     | 900.00
        2026-04-01 | 2026-002 | materials | 30.00
        2026-04-01 | 2026-002 | left      | 870.00
        2026-04-01 |          | price     | 3300.00
        2026-04-01 |          | materials | 120.00
        2026-04-01 |          | left      | 3180.00
        """,
    )


def test_they_are_what_the_owners_page_prints(relation):
    printed = relation("page.left_by_month", job=JOBS).row(0, named=True)
    rows = relation("comparison.month_figure", job=JOBS)
    totals = dict(rows.filter(rows["job_ref"].is_null()).select("figure", "gbp").iter_rows())

    assert totals == {name: printed[f"{name}_gbp"] for name in ("price", "materials", "left")}


def test_a_closed_month_without_a_job_stands_at_nothing(relation):
    closed = """
        month_on   | closed_on
        -----------+-----------
        2026-05-01 | 2026-06-01
    """
    rows = relation("comparison.month_figure", closings=closed)

    assert_drawn(
        rows,
        """
        month_on   | job_ref | figure    | gbp
        -----------+---------+-----------+-----
        2026-05-01 |         | price     | 0.00
        2026-05-01 |         | materials | 0.00
        2026-05-01 |         | left      | 0.00
        """,
    )


def test_a_closed_month_of_which_no_job_is_known_has_no_total(relation):
    closed = """
        month_on   | closed_on
        -----------+-----------
        2026-04-01 | 2026-05-08
    """
    jobs = """
        month_on   | job_ref  | price_gbp | own_gbp | left_gbp | completed_on
        -----------+----------+-----------+---------+----------+-------------
        2026-04-01 | 2026-001 | 2400.00   | 90.00   |          | 2026-04-10
    """

    assert relation("comparison.month_figure", closings=closed, job=jobs).is_empty()
