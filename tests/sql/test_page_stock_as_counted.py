from tests.support.drawn import assert_drawn


def test_a_material_is_short_from_the_first_booked_job_that_what_is_there_does_not_cover(relation):
    stood = relation(
        "page.stock_as_counted",
        position="""
            material | quantity | expected_quantity | short_quantity | value_gbp
            ---------+----------+-------------------+----------------+----------
            resin    | 20       | 15                | 5              | 33.00
            topcoat  | 3        | 3                 | 7              | 12.00
            mat      | 3        | 3                 | 2              | 3.00
            nails    | 40       | 100               |                | 1.00
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.30
            topcoat  | 4.00
        """,
        jobs="""
            job_ref  | status    | planned_on
            ---------+-----------+-----------
            2026-001 | booked    | 2026-06-20
            2026-002 | booked    | 2026-06-09
            2026-003 | booked    |
            2026-004 | completed | 2026-05-01
        """,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-001 | resin    | 5
            2026-002 | resin    | 19
            2026-004 | resin    | 90
            2026-001 | topcoat  | 5
            2026-002 | topcoat  | 5
            2026-001 | mat      | 3
            2026-003 | mat      | 2
            2026-001 | nails    | 60
        """,
        job_quantity="""
            job_ref  | material | drawn_quantity
            ---------+----------+---------------
            2026-002 | resin    | 4
        """,
    )

    # 15 kg serve the 19 - 4 kg still to come on the 9th, not the 5 kg of the 20th

    assert_drawn(
        stood,
        """
        material | since_quantity | short_quantity | short_on   | short_gbp
        ---------+----------------+----------------+------------+----------
        topcoat  | 0              | 7              | 2026-06-09 | 28.00
        resin    | -5             | 5              | 2026-06-20 | 16.50
        mat      | 0              | 2              |            |
        nails    | 60             |                |            |
        """,
    )
    assert stood["material"].to_list() == ["topcoat", "resin", "mat", "nails"]
