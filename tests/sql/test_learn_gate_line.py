from tests.support.drawn import assert_drawn


def test_uses_beside_their_base_with_what_they_go_up_and_down_by(relation):
    lines = relation(
        "learn.gate_line",
        jobs="""
            job_ref  | status    | completed_on
            ---------+-----------+-------------
            2025-001 | completed | 2025-07-01
            2025-002 | booked    |
            2025-003 | completed | 2026-06-02
        """,
        job_quantity="""
            job_ref  | material | kind    | base_unit | how         | used_quantity
            ---------+----------+---------+-----------+-------------+--------------
            2025-001 | resin    | resin   | kg        | weighed     | 15.5
            2025-001 | topcoat  | topcoat | kg        | whole packs | 20
            2025-001 | drip     | trim    | m         | counted     | 9
            2025-001 | board    | board   | m2        | counted     | 14.4
            2025-001 | mat      | mat     | m2        | weighed     | 12
            2025-001 | solvent  | solvent | l         |             | 5
            2025-001 | primer   | primer  | kg        |             | 2
            2025-001 | nothing  | resin   | kg        |             | 0
            2025-002 | resin    | resin   | kg        |             | 15.5
            2025-003 | resin    | resin   | kg        |             | 15.5
        """,
        base_quantity="""
            job_ref  | material | stage  | base_quantity
            ---------+----------+--------+--------------
            2025-001 | resin    | quoted | 12
            2025-001 | resin    | fitted | 13
            2025-001 | topcoat  | fitted | 11
            2025-001 | drip     | fitted | 8.5
            2025-001 | board    | fitted | 13
            2025-001 | mat      | fitted | 10
            2025-001 | solvent  | fitted | 1
            2025-001 | primer   | fitted | 1.5
            2025-001 | nothing  | fitted | 5
            2025-002 | resin    | fitted | 13
            2025-003 | resin    | fitted | 13
        """,
        materials="""
            material | pack_size | stock_length_mm | length_mm | width_mm
            ---------+-----------+-----------------+-----------+---------
            resin    | 20        |                 |           |
            topcoat  | 10        |                 |           |
            drip     | 3         | 3000            |           |
            board    | 1.44      |                 | 2400      | 600
            mat      | 75        |                 |           | 950
            solvent  | 5         |                 |           |
            primer   | 5         |                 |           |
            nothing  |           |                 |           |
        """,
        cut_job="""
            job_ref  | material | stage  | plan | used_up_quantity | lengths_count
            ---------+----------+--------+------+------------------+--------------
            2025-001 | mat      | fitted | best | 11.4             | 4
            2025-001 | mat      | quoted | best | 99               | 4
        """,
        copied_line="""
            job_ref  | material
            ---------+---------
            2025-001 | primer
        """,
    )

    # a third of a strip of mat: 11.4 / 4 / 3; a board 2.4 x 0.6; resin is weighed, and the primer copied
    assert_drawn(
        lines,
        """
        material | job_ref  | base_quantity | used_quantity | pack_quantity | lump_quantity
        ---------+----------+---------------+---------------+---------------+--------------
        resin    | 2025-001 | 13            | 15.5          | 20            | 0
        topcoat  | 2025-001 | 11            | 20            | 10            | 10
        drip     | 2025-001 | 8.5           | 9             | 3             | 3
        board    | 2025-001 | 13            | 14.4          | 1.44          | 1.44
        mat      | 2025-001 | 10            | 12            | 75            | 0.95
        solvent  | 2025-001 | 1             | 5             | 5             | 5
        """,
    )
