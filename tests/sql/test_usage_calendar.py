from tests.support.drawn import assert_drawn


def test_months_are_counted_back_from_the_month_end(relation):
    calendar = relation(
        "usage.calendar",
        firm="""
            firm       | as_of      | month_end_on
            -----------+------------+-------------
            Test Roofs | 2026-03-12 | 2026-02-28
        """,
    )

    assert_drawn(
        calendar,
        """
        lately_from_on | before_from_on | year_from_on | two_years_from_on
        ---------------+----------------+--------------+------------------
        2025-12-01     | 2025-09-01     | 2025-03-01   | 2024-03-01
        """,
    )
