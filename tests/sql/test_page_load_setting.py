from tests.support.drawn import assert_drawn

SETTING = """
    load_basis            | load_share_ratio | covered_job_ratio | job_count
    ----------------------+------------------+-------------------+----------
    set for each material | 0.85             | 0.35              | 110
"""
CALENDAR = """
    year_from_on | month_end_on
    -------------+-------------
    2025-06-01   | 2026-05-31
"""


def test_trips_are_counted_over_the_jobs_of_the_year_that_say_so(relation):
    shown = relation(
        "page.load_setting",
        load_setting=SETTING,
        calendar=CALENDAR,
        jobs="""
            job_ref  | status    | completed_on | second_trips | ran_short_of
            ---------+-----------+--------------+--------------+-------------
            2025-001 | completed | 2025-05-31   | 1            | mat
            2025-002 | completed | 2025-06-01   | 1            | topcoat
            2025-003 | completed | 2025-07-01   | 2            | resin
            2025-004 | completed | 2025-08-01   | 1            | resin
            2025-005 | completed | 2025-09-01   | 0            |
            2025-006 | completed | 2025-10-01   | 1            |
            2025-007 | completed | 2025-11-01   |              | resin
            2026-001 | booked    | 2026-05-01   | 1            | mat
            2026-002 | completed | 2026-06-01   | 1            | mat
        """,
    )

    assert_drawn(
        shown,
        """
        load_basis            | load_share_ratio | covered_job_ratio | job_count | told_job_count | trip_job_count | ran_short_of | short_job_count
        ----------------------+------------------+-------------------+-----------+----------------+----------------+--------------+----------------
        set for each material | 0.85             | 0.35              | 110       | 5              | 4              | resin        | 2
        """,
    )


def test_where_no_job_says_so_the_setting_stands_alone(relation):
    shown = relation(
        "page.load_setting",
        load_setting=SETTING,
        calendar=CALENDAR,
        jobs="""
            job_ref  | status    | completed_on | second_trips | ran_short_of
            ---------+-----------+--------------+--------------+-------------
            2025-002 | completed | 2025-06-01   |              |
        """,
    )

    assert_drawn(
        shown,
        """
        load_share_ratio | told_job_count | trip_job_count | ran_short_of | short_job_count
        -----------------+----------------+----------------+--------------+----------------
        0.85             | 0              | 0              |              |
        """,
    )
