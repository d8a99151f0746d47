from tests.support.drawn import assert_drawn

DAYS = """
    material | counted_on | quantity | sealed_quantity | variance | sealed_variance | missing_places
    ---------+------------+----------+-----------------+----------+-----------------+---------------
    resin    | 2026-03-31 | 50       | 40              | 0.25     | 0               |
    resin    | 2026-04-15 | 10       | 10              | 0.25     | 0               | van
    resin    | 2026-04-30 | 30       | 20              | 0.5      | 0               |
    nails    | 2026-03-31 | 5        | 4               | 0.16     | 0               |
    nails    | 2026-04-30 | 3.5      | 3               | 0.16     | 0               |
"""

MOVES = """
    material | moved_on   | flow        | how         | quantity | variance
    ---------+------------+-------------+-------------+----------+---------
    resin    | 2026-03-31 | bought      |             | 100      | 0
    resin    | 2026-04-01 | bought      |             | 60       | 0
    resin    | 2026-04-10 | issued      | weighed     | -70      | 0.25
    resin    | 2026-04-10 | returned    | weighed     | 12       | 0.25
    resin    | 2026-04-20 | to supplier |             | -20      | 0
    resin    | 2026-04-30 | lost        |             | -1       | 0
    resin    | 2026-05-01 | issued      | weighed     | -20      | 0.25
    nails    | 2026-04-12 | issued      | whole packs | -1       | 0
"""

HABITS = """
    material | is_whole_packs
    ---------+---------------
    resin    | false
    nails    | true
"""

MATERIALS = """
    material | base_unit
    ---------+----------
    resin    | kg
    nails    | each
"""


def test_opening_and_movements_less_closing_are_the_difference(relation):
    span = relation(
        "stock.count_interval",
        count_day=DAYS,
        issue_habit=HABITS,
        stock_move=MOVES,
        materials=MATERIALS,
        price_step="""
            material | from_on    | until_on   | price_gbp
            ---------+------------+------------+----------
            resin    | 2026-01-01 | 2026-04-30 | 9
            resin    | 2026-04-30 | 9999-12-31 | 3.25
        """,
    )

    # resin: 50 + 60 - 20 - 70 + 12 - 1 - 30 = 1; at 3.25 from the day of the count. The count of
    # the 15th lacks the van. Nails: 4 sealed - 1 opened - 3 sealed = 0
    assert_drawn(
        span,
        """
        material | from_on    | to_on      | opening_quantity | bought_quantity | to_supplier_quantity | issued_quantity | returned_quantity | lost_quantity | closing_quantity | difference_quantity | difference_gbp | issue_variance | is_whole_packs
        ---------+------------+------------+------------------+-----------------+----------------------+-----------------+-------------------+---------------+------------------+---------------------+----------------+----------------+---------------
        resin    | 2026-03-31 | 2026-04-30 | 50               | 60              | 20                   | 70              | 12                | 1             | 30               | 1                   | 3.25           | 0.5            | false
        nails    | 2026-03-31 | 2026-04-30 | 4                | 0               | 0                    | 1               | 0                 | 0             | 3                | 0                   |                | 0              | true
        """,
    )


def test_jobs_that_do_not_say_what_they_took_are_counted(relation):
    span = relation(
        "stock.count_interval",
        count_day=DAYS,
        issue_habit=HABITS,
        stock_move=MOVES,
        materials=MATERIALS,
        jobs="""
            job_ref  | status    | completed_on
            ---------+-----------+-------------
            2026-001 | completed | 2026-04-10
            2026-002 | completed | 2026-04-30
            2026-003 | completed | 2026-03-31
            2026-004 | completed | 2026-05-01
            2026-005 | booked    |
        """,
        net_quantity="""
            job_ref  | material | quoted_net_quantity | fitted_net_quantity
            ---------+----------+---------------------+--------------------
            2026-001 | resin    | 30                  | 31
            2026-002 | resin    | 20                  |
            2026-003 | resin    | 20                  |
            2026-004 | resin    | 20                  |
            2026-005 | resin    | 20                  |
            2026-002 | nails    | 200                 |
        """,
        job_quantity="""
            job_ref  | material | drawn_quantity
            ---------+----------+---------------
            2026-001 | resin    | 58
        """,
    )

    # of the jobs finished between the counts, 2026-002 says nothing; nails go by whole packs
    assert_drawn(
        span,
        """
        material | unrecorded_count | has_issue_records
        ---------+------------------+------------------
        resin    | 1                | true
        nails    | 0                | true
        """,
    )
