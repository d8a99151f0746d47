from tests.support.drawn import assert_drawn


def test_trims_come_with_the_type_of_their_job_and_say_why_there_is_no_plan(relation):
    load = relation(
        "page.booked_load",
        jobs="""
            job_ref  | job_type
            ---------+---------
            2026-001 | garage
        """,
        cut_load="""
            job_ref  | planned_on | material  | lengths_count | rack_count | rack_pieces_mm | problem
            ---------+------------+-----------+---------------+------------+----------------+-------------
            2026-001 | 2026-06-02 | drip trim | 2             | 1          | 1200           |
            2026-001 | 2026-06-02 | face trim |               |            |                | no length
        """,
    )

    assert_drawn(
        load,
        """
        job_ref  | job_type | material  | lengths_count | rack_pieces_mm | problem
        ---------+----------+-----------+---------------+----------------+----------
        2026-001 | garage   | drip trim | 2             | 1200           |
        2026-001 | garage   | face trim |               |                | no length
        """,
    )
