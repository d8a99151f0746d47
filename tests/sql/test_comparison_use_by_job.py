from tests.support.drawn import assert_drawn


def test_each_side_is_rounded_once_at_the_price_of_the_day(relation):
    use = relation(
        "comparison.use_by_job",
        jobs="""
            job_ref  | job_type | status    | completed_on | area_m2
            ---------+----------+-----------+--------------+--------
            2025-001 | garage   | completed | 2026-05-31   | 10
            2025-002 | garage   | completed | 2026-04-30   | 10
            2025-003 | garage   | booked    |              | 10
            2025-004 | garage   | completed | 2026-06-02   | 10
        """,
        allowed="""
            job_ref  | material | kind  | base_unit | allowed_quantity
            ---------+----------+-------+-----------+-----------------
            2025-001 | resin    | resin | kg        | 15
            2025-001 | mat      | mat   | m2        |
            2025-001 | board    | board | m2        |
            2025-002 | resin    | resin | kg        | 15
            2025-003 | resin    | resin | kg        | 15
            2025-004 | resin    | resin | kg        | 15
        """,
        net_quantity="""
            job_ref  | material | fitted_net_quantity
            ---------+----------+--------------------
            2025-001 | resin    | 10.5
            2025-001 | mat      | 10
            2025-001 | board    |
            2025-002 | resin    | 10.5
        """,
        job_quantity="""
            job_ref  | material | used_quantity
            ---------+----------+--------------
            2025-001 | resin    | 17.35
            2025-001 | mat      | 11
        """,
        price_step="""
            material | from_on    | until_on   | price_gbp | how
            ---------+------------+------------+-----------+----------
            resin    | 1900-01-01 | 2026-05-31 | 3.0       | last paid
            resin    | 2026-05-31 | 9999-12-31 | 3.1       | list
            mat      | 1900-01-01 | 9999-12-31 | 2         | list
        """,
        used_cost="""
            job_ref  | material | used_gbp | how
            ---------+----------+----------+-------------
            2025-001 | resin    | 51.02    | next receipt
            2025-001 | mat      |          | no day
        """,
    )

    # 17.35 x 3.1 = 53.785, away from zero 53.79; 15 x 3.1 = 46.50
    assert_drawn(
        use,
        """
        job_ref  | material | month_on   | allowed_gbp | used_gbp | difference_quantity | difference_gbp | price_how | cost_gbp | cost_how
        ---------+----------+------------+-------------+----------+---------------------+----------------+-----------+----------+---------------
        2025-001 | mat      | 2026-05-01 |             | 22.00    |                     |                | list      | 22.00    | price in force
        2025-001 | resin    | 2026-05-01 | 46.50       | 53.79    | 2.35                | 7.29           | list      | 51.02    | next receipt
        2025-002 | resin    | 2026-04-01 | 45.00       |          |                     |                | last paid |          |
        """,
    )


def test_whole_packs_come_to_the_price_of_their_packs_and_half_pennies_go_up(relation):
    use = relation(
        "comparison.use_by_job",
        jobs="""
            job_ref  | job_type | status    | completed_on | area_m2
            ---------+----------+-----------+--------------+--------
            2025-001 | garage   | completed | 2026-05-31   | 10
        """,
        allowed="""
            job_ref  | material | kind     | base_unit | allowed_quantity
            ---------+----------+----------+-----------+-----------------
            2025-001 | adhesive | adhesive | ml        | 465
            2025-001 | sealant  | sealant  | ml        | 310
        """,
        net_quantity="""
            job_ref  | material
            ---------+---------
            2025-001 | adhesive
            2025-001 | sealant
        """,
        job_quantity="""
            job_ref  | material | used_quantity
            ---------+----------+--------------
            2025-001 | adhesive | 930
            2025-001 | sealant  | 930
        """,
        price_step="""
            material | from_on    | until_on   | price_gbp      | how
            ---------+------------+------------+----------------+-----
            adhesive | 1900-01-01 | 9999-12-31 | 0.018225806452 | list
            sealant  | 1900-01-01 | 9999-12-31 | 0.015161290323 | list
        """,
    )

    # a cartridge of 310 ml at 5.65, and at 4.70: 1 1/2 at 5.65 are 8.475, away from zero 8.48
    assert_drawn(
        use,
        """
        material | allowed_gbp | used_gbp
        ---------+-------------+---------
        adhesive | 8.48        | 16.95
        sealant  | 4.70        | 14.10
        """,
    )
