from tests.support.drawn import assert_drawn


def test_only_finished_lines_with_use_and_base_that_are_not_held_back(relation):
    lines = relation(
        "learn.use_line",
        jobs="""
            job_ref  | job_type | status    | completed_on | area_m2
            ---------+----------+-----------+--------------+--------
            2025-001 | garage   | completed | 2025-07-01   | 10
            2025-002 | garage   | booked    |              | 10
            2025-003 | garage   | completed | 2026-06-02   | 10
            2025-004 | garage   | completed | 2026-06-01   | 10
        """,
        job_quantity="""
            job_ref  | material | kind    | base_unit | used_quantity
            ---------+----------+---------+-----------+--------------
            2025-001 | resin    | resin   | kg        | 15.5
            2025-001 | topcoat  | topcoat | kg        |
            2025-001 | mat      | mat     | m2        | 9
            2025-001 | nails    | fixing  | each      | 50
            2025-002 | resin    | resin   | kg        | 15.5
            2025-003 | resin    | resin   | kg        | 15.5
            2025-004 | resin    | resin   | kg        | 15.5
        """,
        base_quantity="""
            job_ref  | material | stage  | base_quantity
            ---------+----------+--------+--------------
            2025-001 | resin    | quoted | 12
            2025-001 | resin    | fitted | 13
            2025-001 | topcoat  | fitted | 5
            2025-001 | mat      | fitted | 10
            2025-001 | nails    | fitted | 0
            2025-002 | resin    | fitted | 13
            2025-003 | resin    | fitted | 13
            2025-004 | resin    | fitted | 13
        """,
        held_back="""
            job_ref  | material | gate
            ---------+----------+------------
            2025-001 | mat      | under-built
        """,
        least_quantity="""
            job_ref  | material | least_quantity
            ---------+----------+---------------
            2025-001 | resin    | 11.5
        """,
    )

    assert_drawn(
        lines,
        """
        material | job_ref  | job_type | completed_on | base_quantity | used_quantity | area_m2 | least_quantity
        ---------+----------+----------+--------------+---------------+---------------+---------+---------------
        resin    | 2025-001 | garage   | 2025-07-01   | 13.0          | 15.5          | 10.0    | 11.5
        resin    | 2025-004 | garage   | 2026-06-01   | 13.0          | 15.5          | 10.0    |
        """,
    )
