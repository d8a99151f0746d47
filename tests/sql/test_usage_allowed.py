from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | quoted_on  | completed_on | quoted_area_m2 | area_m2
    ---------+------------+--------------+----------------+--------
    2025-001 | 2025-05-31 | 2025-07-01   | 10             | 12
    2025-002 | 2025-06-01 | 2025-07-01   | 10             | 12
    2025-003 |            | 2025-07-01   |                | 12
"""
NEED = """
    job_ref  | material | kind  | base_unit | quoted_net_quantity | fitted_net_quantity
    ---------+----------+-------+-----------+---------------------+--------------------
    2025-001 | resin    | resin | kg        | 10.5                | 12.6
    2025-002 | resin    | resin | kg        | 10.5                | 12.6
    2025-003 | resin    | resin | kg        |                     | 12.6
"""


def test_the_newest_rule_that_held_on_the_day_of_the_quote(relation):
    allowed = relation(
        "usage.allowed",
        jobs=JOBS,
        net_quantity=NEED,
        allow="""
            material | from_on    | per_m2 | per_job
            ---------+------------+--------+--------
            resin    | 2025-01-01 | 1.5    |
            resin    | 2025-06-01 | 1.6    | 2
        """,
    )

    # 10 x 1.5; 10 x 1.6 + 2; without a quote the day and the area of the roof: 12 x 1.6 + 2
    assert_drawn(
        allowed,
        """
        job_ref  | allowed_quantity | how
        ---------+------------------+-----
        2025-001 | 15               | rule
        2025-002 | 18               | rule
        2025-003 | 21.2             | rule
        """,
    )


def test_the_quote_wins_and_a_ratio_is_on_the_bare_need(relation):
    allowed = relation(
        "usage.allowed",
        jobs=JOBS,
        net_quantity=NEED,
        job_quantity="""
            job_ref  | material | estimated_quantity
            ---------+----------+-------------------
            2025-001 | resin    | 14
        """,
        trimmed_edge="""
            job_ref  | quoted_trimmed_m
            ---------+-----------------
            2025-002 | 9
        """,
        allow="""
            material | from_on    | per_m | ratio_on_net
            ---------+------------+-------+-------------
            resin    | 2025-01-01 | 0.1   | 0.10
        """,
    )

    # 9 x 0.1 + 1.1 x 10.5 = 12.45; the third job's edges are not known, so neither is its allowance
    assert_drawn(
        allowed,
        """
        job_ref  | allowed_quantity | how
        ---------+------------------+------
        2025-001 | 14               | typed
        2025-002 | 12.45            | rule
        2025-003 |                  |
        """,
    )
