from tests.support.drawn import assert_drawn


def test_whole_packs_are_set_against_what_all_the_jobs_were_allowed(relation):
    compared = relation(
        "comparison.taken_lately",
        use_by_job="""
            job_ref  | material | kind     | base_unit | completed_on | allowed_quantity | used_quantity | allowed_gbp | used_gbp | difference_quantity | difference_gbp
            ---------+----------+----------+-----------+--------------+------------------+---------------+-------------+----------+---------------------+---------------
            2026-001 | resin    | resin    | kg        | 2026-05-01   | 20               | 20            | 60.00       | 60.00    | 0                   | 0.00
            2026-002 | resin    | resin    | kg        | 2026-05-02   | 40               | 40            | 120.00      | 120.00   | 0                   | 0.00
            2026-003 | resin    | resin    | kg        | 2026-05-03   | 30               |               | 90.00       |          |                     |
            2026-001 | catalyst | catalyst | kg        | 2026-05-01   | 0.4              | 5             | 3.20        | 40.00    | 4.6                 | 36.80
            2026-002 | catalyst | catalyst | kg        | 2026-05-02   | 0.8              |               | 6.40        |          |                     |
            2026-003 | catalyst | catalyst | kg        | 2026-05-03   | 0.6              |               | 4.80        |          |                     |
        """,
        job_quantity="""
            job_ref  | material | how
            ---------+----------+------------
            2026-001 | resin    | weighed
            2026-002 | resin    | weighed
            2026-001 | catalyst | whole packs
        """,
    )

    # job 3 records no use at all, so its catalyst is not known to be out of the bottle of job 1
    assert_drawn(
        compared,
        """
        job_ref  | material | is_in_packs | allowed_quantity | used_quantity | difference_quantity | difference_gbp
        ---------+----------+-------------+------------------+---------------+---------------------+---------------
        2026-001 | catalyst | true        | 0.4              | 5             | 4.6                 | 36.80
        2026-002 | catalyst | true        | 0.8              | 0             | -0.8                | -6.40
        2026-001 | resin    | false       | 20               | 20            | 0                   | 0.00
        2026-002 | resin    | false       | 40               | 40            | 0                   | 0.00
        """,
    )


def test_lines_of_the_last_three_months_with_both(relation):
    compared = relation(
        "comparison.taken_lately",
        use_by_job="""
            job_ref  | material | completed_on | allowed_quantity | used_quantity | difference_quantity | difference_gbp
            ---------+----------+--------------+------------------+---------------+---------------------+---------------
            2026-001 | resin    | 2026-03-01   | 15               | 17            | 2                   | 6.20
            2026-002 | resin    | 2026-05-31   | 30               | 29.5          | -0.5                | -1.55
            2026-003 | resin    | 2026-05-31   |                  | 29.5          |                     |
            2026-004 | resin    | 2026-02-28   | 30               | 40            | 10                  | 31.00
            2026-005 | resin    | 2026-05-31   | 30               |               |                     |
        """,
    )

    assert sorted(compared["job_ref"]) == ["2026-001", "2026-002"]
