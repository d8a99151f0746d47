from tests.support.drawn import assert_drawn


def test_a_year_of_months_stands_and_the_last_three_are_late(relation):
    months = relation(
        "page.count_month",
        count_month="""
            month_on   | adds_up | span_count | not_tested_count | no_job_gbp | more_gbp | sums_sentence    | evidence_sentence
            -----------+---------+------------+------------------+------------+----------+------------------+------------------
            2025-05-01 | true    | 4          | 0                | 90.00      | 0        | The sums add up. | £90
            2025-06-01 | true    | 4          | 0                | 28.20      | 0        | The sums add up. | £28
            2026-02-01 | true    | 4          | 1                | 0          | 0        | The sums add up. | All
            2026-03-01 | false   | 5          | 0                | 135.33     | 151.20   | They do not.     | £135
        """,
    )

    assert_drawn(
        months,
        """
        month_on   | adds_up | span_count | not_tested_count | no_job_gbp | more_gbp | evidence_sentence | is_lately
        -----------+---------+------------+------------------+------------+----------+-------------------+----------
        2025-06-01 | true    | 4          | 0                | 28.20      | 0.00     | £28               | false
        2026-02-01 | true    | 4          | 1                | 0.00       | 0.00     | All               | false
        2026-03-01 | false   | 5          | 0                | 135.33     | 151.20   | £135              | true
        """,
    )
