from tests.support.drawn import assert_drawn


def test_every_movement_has_its_day_its_sign_and_its_error(relation):
    moves = relation(
        "feed.stock_move",
        materials="""
            material | base_unit | pack_size | width_mm | g_per_m2
            ---------+-----------+-----------+----------+---------
            resin    | kg        | 20        |          |
            trim     | m         | 3         |          |
            board    | m2        | 1.44      | 600      |
        """,
        counting="""
            weighing_error_kg | judged_error_ratio | count_floor_gbp
            ------------------+--------------------+----------------
            0.5               | 0.1                | 25
        """,
        jobs="""
            job_ref  | completed_on
            ---------+-------------
            2026-001 | 2026-04-10
            2026-002 |
            2026-003 | 2026-06-02
        """,
        purchases="""
            material | line_kind | document_on | delivered_on | quantity
            ---------+-----------+-------------+--------------+---------
            resin    | goods     | 2026-04-01  | 2026-04-02   | 60
            resin    | goods     | 2026-04-20  |              | -20
            resin    | carriage  | 2026-04-01  |              | 1
        """,
        job_materials="""
            job_ref  | material | issued_quantity | returned_quantity | issued_on  | how
            ---------+----------+-----------------+-------------------+------------+--------
            2026-001 | resin    | 40              | 11.5              |            | weighed
            2026-001 | resin    | 30.5            |                   | 2026-04-08 | judged
            2026-001 | trim     | 12              | 3                 |            | counted
            2026-002 | resin    | 20              |                   |            | weighed
            2026-003 | resin    | 20              |                   |            | weighed
        """,
        offcuts="""
            job_ref  | material | fate      | length_mm | pieces | moved_on
            ---------+----------+-----------+-----------+--------+-----------
            2026-001 | trim     | racked    | 1200      | 2      |
            2026-001 | trim     | from_rack | 900       | 1      | 2026-04-09
            2026-001 | trim     | binned    | 300       | 1      |
                     | trim     | scrapped  | 500       | 2      | 2026-05-31
            2026-001 | board    | racked    | 1000      | 1      |
        """,
        losses="""
            job_ref  | material | quantity | lost_on
            ---------+----------+----------+-----------
                     | resin    | 20       | 2026-04-30
            2026-001 | resin    | 5        |
        """,
    )

    # 40 kg are two whole drums, exact; 11.5 were weighed; a judged drum is out by a tenth of 20
    assert_drawn(
        moves,
        """
        material | moved_on   | flow        | quantity | variance
        ---------+------------+-------------+----------+---------
        resin    | 2026-04-02 | bought      | 60       | 0
        resin    | 2026-04-20 | to supplier | -20      | 0
        resin    | 2026-04-10 | issued      | -40      | 0
        resin    | 2026-04-10 | returned    | 11.5     | 0.25
        resin    | 2026-04-08 | issued      | -30.5    | 4
        trim     | 2026-04-10 | issued      | -12      | 0
        trim     | 2026-04-10 | returned    | 3        | 0
        trim     | 2026-04-10 | racked      | 2.4      | 0
        trim     | 2026-04-09 | from rack   | -0.9     | 0
        trim     | 2026-05-31 | scrapped    | -1       | 0
        board    | 2026-04-10 | racked      | 0.6      | 0
        resin    | 2026-04-30 | lost        | -20      | 0
        """,
    )
