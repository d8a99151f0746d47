from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | job_type | status    | completed_on
    ---------+----------+-----------+-------------
    2025-001 | garage   | completed | 2026-05-01
    2025-002 | garage   | completed | 2026-05-02
    2025-003 | garage   | completed | 2026-05-03
    2025-004 | garage   | booked    |
"""
PLANS = """
    job_ref  | material  | stage  | plan     | lengths_count | net_quantity | lap_quantity | kerf_quantity | kept_quantity | binned_quantity | used_up_quantity | is_proven
    ---------+-----------+--------+----------+---------------+--------------+--------------+---------------+---------------+-----------------+------------------+----------
    2025-001 | drip trim | fitted | best     | 4             | 10.20        | 0.10         | 0.012         | 1.100         | 0.588           | 10.90            | true
    2025-001 | drip trim | quoted | best     | 4             | 10.00        | 0.10         | 0.012         | 1.300         | 0.588           | 10.70            | true
    2025-001 | drip trim | fitted | no reuse | 5             | 10.20        | 0.10         | 0.012         | 0             | 4.688           | 15.00            | true
    2025-002 | drip trim | fitted | best     | 1             | 2.50         | 0            | 0.003         | 0             | 0.497           | 3.00             | true
    2025-002 | face trim | fitted | best     | 1             | 2.50         | 0            | 0.003         | 0             | 0.497           | 3.00             | true
    2025-003 | drip trim | fitted | best     | 1             | 2.50         | 0            | 0.003         | 0             | 0.497           | 3.00             | false
    2025-004 | drip trim | fitted | best     | 1             | 2.50         | 0            | 0.003         | 0             | 0.497           | 3.00             | true
"""


def test_the_parts_of_what_was_used_add_up_and_a_part_below_zero_is_named(relation):
    split = relation(
        "comparison.cut_split",
        jobs=JOBS,
        cut_job=PLANS,
        job_quantity="""
            job_ref  | material  | kind | base_unit | used_quantity | racked_quantity | binned_quantity
            ---------+-----------+------+-----------+---------------+-----------------+----------------
            2025-001 | drip trim | trim | m         | 13.90         | 1.100           | 3.600
            2025-002 | drip trim | trim | m         | 2.90          | 0.100           |
            2025-002 | face trim | trim | m         | 3.00          |                 | 0.200
            2025-003 | drip trim | trim | m         | 6.00          | 1.000           |
            2025-004 | drip trim | trim | m         | 3.00          |                 |
        """,
    )

    # 2025-001: 3.600 - 0.588 binned beyond; 13.90 - 10.20 - 0.10 - 0.600 - 3.012 = -0.012
    assert_drawn(
        split,
        """
        job_ref  | material  | net_quantity | lap_quantity | unavoidable_quantity | avoidable_quantity | unexplained_quantity | beyond_plan_quantity | below_zero
        ---------+-----------+--------------+--------------+----------------------+--------------------+----------------------+----------------------+-----------------------
        2025-001 | drip trim | 10.20        | 0.10         | 0.600                | 3.012              | -0.012               | 3.000                | unexplained
        2025-002 | drip trim | 2.50         | 0            | 0.500                | -0.497             | 0.397                | -0.100               | avoidable
        2025-002 | face trim | 2.50         | 0            | 0.500                | -0.297             | 0.297                | 0                    | avoidable
        2025-003 | drip trim | 2.50         | 0            | 0.500                |                    |                      | 3.000                |
        """,
    )
    summed = (
        split["net_quantity"]
        + split["lap_quantity"]
        + split["unavoidable_quantity"]
        + split["beyond_plan_quantity"]
    )
    assert summed.to_list() == split["used_quantity"].to_list()
