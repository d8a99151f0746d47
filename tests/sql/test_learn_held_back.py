from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | status    | area_m2
    ---------+-----------+--------
    2025-001 | completed | 10
    2025-002 | booked    | 10
"""


def use(rows):
    return f"""
        job_ref  | material | kind     | base_unit | used_quantity
        ---------+----------+----------+-----------+--------------
        {rows}
    """


def test_below_what_the_lay_up_can_hold_may_be_under_built(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | resin | resin | kg | 10.4
        2025-001 | mat     | mat      | m2        | 9.8
        2025-002 | resin   | resin    | kg        | 1
        """),
        least_quantity="""
            job_ref  | material | least_quantity
            ---------+----------+---------------
            2025-001 | resin    | 10.5
            2025-001 | mat      | 9.8
            2025-002 | resin    | 10.5
        """,
    )

    assert_drawn(
        held,
        """
        job_ref  | material | gate        | reason
        ---------+----------+-------------+------------------------------------------------------------------------------------------------------------------------------------
        2025-001 | resin    | under-built | may be under-built: 10.400 kg recorded, a sound roof of 10.000 m2 holds at least 10.5: look at the roof, check the record
        """,
    )


def test_two_resins_of_one_roof_are_held_against_the_floor_together(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | winter | resin | kg | 6
        2025-001 | summer | resin | kg | 5
        """),
        least_quantity="""
            job_ref  | material | least_quantity
            ---------+----------+---------------
            2025-001 | winter   | 10.5
            2025-001 | summer   | 10.5
        """,
    )

    assert held.is_empty()


def test_more_than_six_kilograms_of_resin_for_a_square_metre(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("2025-001 | resin | resin | kg | 60.1"),
    )
    at_six = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("2025-001 | resin | resin | kg | 60"),
    )

    assert held["gate"].to_list() == ["unlikely much"]
    assert at_six.is_empty()


def test_nothing_used_on_a_finished_roof(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | resin   | resin   | kg | 0
        2025-001 | nails   | fixing  | each | 0
        2025-002 | topcoat | topcoat | kg   | 0
        """),
    )

    assert_drawn(
        held,
        """
        job_ref  | material | gate
        ---------+----------+-------------
        2025-001 | resin    | nothing used
        """,
    )


def test_lines_that_repeat_what_was_allowed(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        copied_line="""
            job_ref  | material | is_whole_job
            ---------+----------+-------------
            2025-001 | board    | true
            2025-002 | resin    | false
        """,
    )

    assert_drawn(
        held,
        """
        job_ref  | material | gate   | reason
        ---------+----------+--------+------------------------------------------------------------------
        2025-001 | board    | copied | same as allowed on every line of the job: says nothing
        2025-002 | resin    | copied | to the last digit what was allowed, and not weighed: says nothing
        """,
    )


def test_a_slip_is_told_once(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | resin | resin | kg | 600
        2025-001 | drip | trim | m | 9000
        2025-001 | mat  | mat  | m2 | 90
        """),
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2025-001 | drip     | 9
        """,
        slip="""
            material | job_ref  | likely_factor | reason
            ---------+----------+---------------+----------------------
            resin    | 2025-001 |               | far from all others
            drip     | 2025-001 | 1000          | 1000 times as much
            mat      | 2025-001 |               | far from all others
        """,
    )

    # 60 kg of resin to a square metre says it already; the trim would be ten times allowed as well
    assert_drawn(
        held,
        """
        job_ref  | material | gate          | reason
        ---------+----------+---------------+--------------------
        2025-001 | drip     | unit slip     | 1000 times as much
        2025-001 | mat      | unit slip     | far from all others
        2025-001 | resin    | unlikely much | 60.0 kg of resin per m2, more than 6: check the quantity, and for a missing return
        """,
    )


def test_catalyst_outside_half_to_five_per_cent_of_what_it_sets(relation):
    def gates(kg):
        lines = f"""2025-001 | resin | resin | kg | 30
        2025-001 | topcoat  | topcoat  | kg        | 10
        2025-001 | catalyst | catalyst | kg        | {kg}
        """
        return relation("learn.held_back", jobs=JOBS, job_quantity=use(lines))["gate"].to_list()

    # of 40 kg: 0.5 % is 0.2 kg, 5 % is 2 kg
    assert gates(0.199) == ["catalyst share"]
    assert gates(0.2) == []
    assert gates(2) == []
    assert gates(2.001) == ["catalyst share"]


def test_a_trim_of_which_more_came_back_than_was_taken(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | drip trim | trim | m | -3
        2025-001 | nails | fixing | each | 0
        2025-001 | gutter trim | trim | m | 6
        """),
    )

    assert_drawn(
        held,
        """
        job_ref  | material  | gate          | reason
        ---------+-----------+---------------+--------------------------------------------------------------------------------------
        2025-001 | drip trim | below nothing | more came back or went to the rack than was taken: check the issue and the returns
        """,
    )


def test_over_ten_times_what_was_allowed(relation):
    held = relation(
        "learn.held_back",
        jobs=JOBS,
        job_quantity=use("""2025-001 | drip trim | trim | m | 6000
        2025-001 | gutter trim | trim | m | 60
        2025-001 | nails | fixing | each | 5000
        """),
        allowed="""
            job_ref  | material    | allowed_quantity
            ---------+-------------+-----------------
            2025-001 | drip trim   | 6
            2025-001 | gutter trim | 6
            2025-001 | nails       | 50
        """,
    )

    assert_drawn(
        held,
        """
        job_ref  | material  | gate               | reason
        ---------+-----------+--------------------+---------------------------------------------------------
        2025-001 | drip trim | many times allowed | over ten times what was allowed, 6.000 m: check the unit
        """,
    )
