from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | status
    ---------+----------
    2025-001 | completed
    2025-002 | booked
"""
MATERIALS = """
    material | pack_size
    ---------+----------
    board    |
    nails    |
    drip     | 3
    batten   |
    resin    | 20
    topcoat  | 10
    mat      | 75
"""


def use(rows):
    return f"""
        job_ref  | material | kind    | how | used_quantity
        ---------+----------+---------+-----+--------------
        {rows}
    """


def test_four_lines_that_all_equal_what_was_allowed_are_copied(relation):
    def copied(batten):
        return relation(
            "learn.copied_line",
            jobs=JOBS,
            materials=MATERIALS,
            job_quantity=use(f"""2025-001 | board | board | counted | 10
            2025-001 | nails  | fixing | counted | 70
            2025-001 | drip   | trim   | counted | 9
            2025-001 | batten | batten | counted | {batten}
            """),
            allowed="""
                job_ref  | material | allowed_quantity
                ---------+----------+-----------------
                2025-001 | board    | 10
                2025-001 | nails    | 70
                2025-001 | drip     | 9
                2025-001 | batten   | 12
            """,
        )

    assert_drawn(
        copied(12),
        """
        job_ref  | material | is_whole_job
        ---------+----------+-------------
        2025-001 | board    | true
        2025-001 | nails    | true
        2025-001 | drip     | true
        2025-001 | batten   | true
        """,
    )
    assert copied(12.1).is_empty()


def test_a_poured_line_that_nobody_weighed_and_that_is_as_allowed(relation):
    lines = relation(
        "learn.copied_line",
        jobs=JOBS,
        materials=MATERIALS,
        job_quantity=use("""2025-001 | resin | resin | judged | 31.5
        2025-001 | topcoat | topcoat |         | 10.5
        2025-001 | mat     | mat     | weighed | 23.1
        2025-001 | drip    | trim    |         | 9
        2025-002 | resin   | resin   |         | 31.5
        """),
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2025-001 | resin    | 31.5
            2025-001 | topcoat  | 10.6
            2025-001 | mat      | 23.1
            2025-001 | drip     | 9
            2025-002 | resin    | 31.5
        """,
    )

    # the mat was weighed, the topcoat is another figure, a trim is used in whole lengths
    assert_drawn(
        lines,
        """
        job_ref  | material | is_whole_job
        ---------+----------+-------------
        2025-001 | resin    | false
        """,
    )


def test_two_whole_tins_as_allowed_are_nothing_out_of_the_way(relation):
    lines = relation(
        "learn.copied_line",
        jobs=JOBS,
        materials=MATERIALS,
        job_quantity=use("2025-001 | resin | resin | judged | 40"),
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2025-001 | resin    | 40
        """,
    )

    assert lines.is_empty()
