from tests.support.drawn import assert_drawn


def test_short_is_booked_less_counted_less_bought_since(relation):
    position = relation(
        "stock.position",
        materials="""
            material | kind  | base_unit
            ---------+-------+----------
            resin    | resin | kg
            mat      | mat   | m2
        """,
        last_count="""
            material | counted_on | quantity | place_count
            ---------+------------+----------+------------
            resin    | 2026-04-30 | 25       | 2
            mat      | 2026-04-30 | 100      | 1
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.205
        """,
        jobs="""
            job_ref  | status
            ---------+----------
            2026-001 | booked
            2026-002 | booked
            2026-003 | completed
        """,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-001 | resin    | 40
            2026-002 | resin    | 30.5
            2026-003 | resin    | 50
            2026-001 | mat      | 30
        """,
        purchases="""
            material | line_kind | document_on | delivered_on | quantity
            ---------+-----------+-------------+--------------+---------
            resin    | goods     | 2026-04-28  | 2026-05-02   | 40
            resin    | goods     | 2026-05-20  |              | -20
            resin    | goods     | 2026-04-30  |              | 20
            resin    | goods     | 2026-06-02  |              | 20
        """,
    )

    # resin: 70.5 booked - 25 counted - (40 - 20) since = 25.5; worth 25 x 3.205 = 80.125
    assert_drawn(
        position,
        """
        material | value_gbp | booked_quantity | bought_since_quantity | short_quantity
        ---------+-----------+-----------------+-----------------------+---------------
        mat      |           | 30              | 0                     |
        resin    | 80.13     | 70.5            | 20                    | 25.5
        """,
    )


def test_what_went_since_the_count_lowers_what_is_expected_and_what_is_still_to_come(relation):
    position = relation(
        "stock.position",
        materials="""
            material | kind  | base_unit
            ---------+-------+----------
            resin    | resin | kg
        """,
        last_count="""
            material | counted_on | quantity | place_count
            ---------+------------+----------+------------
            resin    | 2026-04-30 | 60       | 2
        """,
        jobs="""
            job_ref  | status
            ---------+----------
            2026-001 | booked
            2026-002 | booked
        """,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-001 | resin    | 40
            2026-002 | resin    | 30
        """,
        job_quantity="""
            job_ref  | material | drawn_quantity
            ---------+----------+---------------
            2026-001 | resin    | 25
        """,
        purchases="""
            material | line_kind | document_on | quantity
            ---------+-----------+-------------+---------
            resin    | goods     | 2026-05-20  | 20
        """,
        stock_move="""
            material | moved_on   | flow     | quantity
            ---------+------------+----------+---------
            resin    | 2026-04-30 | issued   | -15
            resin    | 2026-05-20 | bought   | 20
            resin    | 2026-05-21 | issued   | -50
            resin    | 2026-05-21 | returned | 2
        """,
        lot_position="""
            material | lot  | expires_on | left_quantity
            ---------+------+------------+--------------
            resin    | old  | 2026-05-01 | 12
            resin    | gone | 2026-04-01 | 0
            resin    | new  | 2026-09-01 | 20
        """,
    )

    # 60 + 20 - 48 = 32 should be there; 15 + 30 are still to come
    assert_drawn(
        position,
        """
        taken_since_quantity | expected_quantity | booked_quantity | to_come_quantity | short_quantity | first_expires_on | past_date_quantity
        ---------------------+-------------------+-----------------+------------------+----------------+------------------+-------------------
        48                   | 32                | 70              | 45               | 13             | 2026-05-01       | 12
        """,
    )
