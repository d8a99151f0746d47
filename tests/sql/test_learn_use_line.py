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
        materials="""
            material | kind
            ---------+--------
            resin    | resin
            topcoat  | topcoat
            mat      | mat
            nails    | fixing
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


def test_the_plans_of_what_is_cut_stand_as_fitted_and_as_quoted_with_the_piece(relation):
    lines = relation(
        "learn.use_line",
        jobs="""
            job_ref  | job_type | status    | completed_on | area_m2 | quoted_area_m2
            ---------+----------+-----------+--------------+---------+---------------
            2025-001 | garage   | completed | 2025-07-01   | 10      | 10.2
        """,
        materials="""
            material | kind         | stock_length_mm | length_mm | width_mm | pack_size
            ---------+--------------+-----------------+-----------+----------+----------
            drip     | trim         | 3000            |           |          |
            batten   | batten       | 4800            |           |          |
            deck     | board        |                 | 2400      | 600      |
            corner   | corner piece |                 |           |          | 10
            glue     | adhesive     |                 |           |          | 310
        """,
        job_quantity="""
            job_ref  | material | kind         | base_unit | used_quantity
            ---------+----------+--------------+-----------+--------------
            2025-001 | drip     | trim         | m         | 9
            2025-001 | batten   | batten       | m         | 9.6
            2025-001 | deck     | board        | m2        | 14.4
            2025-001 | corner   | corner piece | each      | 2
            2025-001 | glue     | adhesive     | ml        | 620
        """,
        base_quantity="""
            job_ref  | material | stage  | net_quantity | base_quantity | best_quantity | no_reuse_quantity
            ---------+----------+--------+--------------+---------------+---------------+------------------
            2025-001 | drip     | fitted | 5.8          | 6.5           | 6.5           | 9
            2025-001 | drip     | quoted | 5.6          | 6             | 6             | 8
            2025-001 | batten   | fitted | 9            | 9.6           | 9.6           | 14.4
            2025-001 | deck     | fitted | 12           | 12.96         | 12.96         | 14.4
            2025-001 | corner   | fitted | 2            | 2             | 2             | 2
            2025-001 | glue     | fitted | 400          | 400           | 400           | 400
        """,
    )

    assert_drawn(
        lines,
        """
        material | net_quantity | best_quantity | no_reuse_quantity | quoted_best_quantity | quoted_no_reuse_quantity | piece_quantity | quoted_area_m2
        ---------+--------------+---------------+-------------------+----------------------+--------------------------+----------------+---------------
        drip     | 5.8          | 6.5           | 9.0               | 6.0                  | 8.0                      |                | 10.2
        batten   | 9.0          | 9.6           | 14.4              |                      |                          | 4.8            | 10.2
        deck     | 12.0         | 12.96         | 14.4              |                      |                          | 1.44           | 10.2
        corner   | 2.0          | 2.0           | 2.0               |                      |                          | 1.0            | 10.2
        glue     | 400.0        | 400.0         | 400.0             |                      |                          | 310.0          | 10.2
        """,
    )
