from tests.support.drawn import assert_drawn


def test_only_materials_that_are_counted_and_that_no_job_books(relation):
    needs = relation(
        "learn.shared_need",
        base_quantity="""
            job_ref  | material | stage  | base_quantity
            ---------+----------+--------+--------------
            2026-001 | primer   | quoted | 4
            2026-001 | primer   | fitted | 5
            2026-002 | primer   | quoted | 3
            2026-002 | primer   | fitted |
            2026-003 | primer   | quoted | 9
            2026-001 | resin    | fitted | 40
            2026-001 | sealant  | fitted | 40
        """,
        jobs="""
            job_ref  | status    | completed_on
            ---------+-----------+-------------
            2026-001 | completed | 2026-04-10
            2026-002 | completed | 2026-04-30
            2026-003 | booked    |
        """,
        stock_move="""
            material | flow
            ---------+-------
            primer   | bought
            resin    | issued
        """,
        count_day="""
            material | counted_on
            ---------+-----------
            primer   | 2026-03-31
            primer   | 2026-04-30
            resin    | 2026-04-30
        """,
    )

    assert_drawn(
        needs,
        """
        material | job_ref  | completed_on | base_quantity
        ---------+----------+--------------+--------------
        primer   | 2026-001 | 2026-04-10   | 5
        primer   | 2026-002 | 2026-04-30   | 3
        """,
    )
