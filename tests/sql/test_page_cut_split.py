from tests.support.drawn import assert_drawn


def test_parts_are_summed_over_the_year_and_unwritten_leftovers_stay_one_figure(relation):
    split = relation(
        "page.cut_split",
        cut_split="""
            job_ref  | material  | kind | base_unit | completed_on | used_quantity | net_quantity | lap_quantity | unavoidable_quantity | avoidable_quantity | unexplained_quantity | beyond_plan_quantity | is_proven | below_zero
            ---------+-----------+------+-----------+--------------+---------------+--------------+--------------+----------------------+--------------------+----------------------+----------------------+-----------+------------
            2025-001 | drip trim | trim | m         | 2026-05-01   | 14.0          | 10.0         | 0.5          | 0.5                  | 2.5                | 0.5                  | 3.0                  | true      |
            2025-002 | drip trim | trim | m         | 2025-07-01   | 6.0           | 5.0          | 0            | 0.2                  |                    |                      | 0.8                  | false     |
            2025-003 | drip trim | trim | m         | 2025-08-01   | 5.0           | 5.0          | 0            | 0.2                  | -0.3               | 0.1                  | -0.2                 | true      | avoidable
            2024-003 | drip trim | trim | m         | 2024-08-01   | 9.0           | 5.0          | 0            | 0.2                  | 3.8                | 0                    | 3.8                  | true      |
        """,
        price_in_force="""
            material  | price_gbp
            ----------+----------
            drip trim | 4.00
        """,
    )

    # 25 used on 20: a quarter more; (2.2 + 0.6 + 0.8) x 4.00
    assert_drawn(
        split,
        """
        material  | job_count | written_count | below_zero_count | proven_count | lap_quantity | unavoidable_quantity | avoidable_quantity | unexplained_quantity | beyond_plan_quantity | lost_ratio | beyond_gbp
        ----------+-----------+---------------+------------------+--------------+--------------+----------------------+--------------------+----------------------+----------------------+------------+-----------
        drip trim | 3         | 2             | 1                | 2            | 0.5          | 0.9                  | 2.2                | 0.6                  | 0.8                  | 0.25       | 14.40
        """,
    )
