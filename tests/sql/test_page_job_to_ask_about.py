from tests.support.drawn import assert_drawn

LINES = """
    job_ref  | job_type | completed_on | material | base_unit | base_quantity | used_quantity
    ---------+----------+--------------+----------+-----------+---------------+--------------
    2026-001 | garage   | 2026-04-01   | resin    | kg        | 20            | 40
    2026-002 | garage   | 2026-04-01   | resin    | kg        | 20            | 29.2
    2026-003 | bay      | 2026-04-01   | resin    | kg        | 10            | 20
    2026-004 | garage   | 2026-02-01   | resin    | kg        | 20            | 99
"""


def test_beyond_what_eight_in_ten_use_with_the_paper_asked_about_first(relation):
    asked = relation(
        "page.job_to_ask_about",
        use_line=LINES,
        fit="""
            material | reference_quantity | size_spread_ratio | fitted_fixed_loss | mean_ratio | low_error_ratio | high_error_ratio
            ---------+--------------------+-------------------+-------------------+------------+-----------------+-----------------
            resin    | 20                 | 1                 | 2                 | 0.30       | -0.08           | 0.06
        """,
        fit_rate="""
            material | job_type | pooled_ratio
            ---------+----------+-------------
            resin    | garage   | 0.30
            resin    | bay      | 0.40
        """,
        jobs="""
            job_ref  | measured_area_m2
            ---------+-----------------
            2026-001 | 14
            2026-002 | 14
            2026-003 |
        """,
        job_quantity="""
            job_ref  | material | returned_quantity | how
            ---------+----------+-------------------+--------
            2026-001 | resin    |                   | weighed
            2026-002 | resin    | 1                 | weighed
            2026-003 | resin    | 1                 | weighed
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.00
        """,
    )

    # garages: 20 + 2 + (0.30 - 0.08) x 20 = 26.4 to 20 + 2 + 0.36 x 20 = 29.2; a bay of half
    # the usual size misses by twice as much of its base: 10 + 2 + (0.40 - 0.16) x 10 to (+ 0.12)
    assert_drawn(
        asked,
        """
        job_ref  | usual_low_quantity | usual_high_quantity | beyond_gbp | ask
        ---------+--------------------+---------------------+------------+---------------------------------------------------------------
        2026-001 | 26.4               | 29.2                | 32.40      | Nothing is recorded as brought back: is the return missing?
        2026-003 | 14.4               | 17.2                | 8.40       | The roof was not measured again: was it larger than the quote?
        """,
    )


def test_of_what_is_cut_the_usual_stands_on_the_base_of_the_fit(relation):
    asked = relation(
        "page.job_to_ask_about",
        use_line="""
            job_ref  | job_type | completed_on | material | base_unit | base_quantity | best_quantity | no_reuse_quantity | used_quantity
            ---------+----------+--------------+----------+-----------+---------------+---------------+-------------------+--------------
            2026-001 | garage   | 2026-04-01   | drip     | m         | 10            | 10            | 20                | 16
        """,
        fit="""
            material | reference_quantity | size_spread_ratio | fitted_fixed_loss | mean_ratio | low_error_ratio | high_error_ratio | blend_ratio
            ---------+--------------------+-------------------+-------------------+------------+-----------------+------------------+------------
            drip     | 12                 | 0                 | 0                 | 0.1        | -0.10           | 0.10             | 0.2
        """,
        jobs="""
            job_ref  | measured_area_m2
            ---------+-----------------
            2026-001 | 14
        """,
        job_quantity="""
            job_ref  | material | returned_quantity | how
            ---------+----------+-------------------+--------
            2026-001 | drip     | 1                 | counted
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            drip     | 3.00
        """,
    )

    # on 10 + 0.2 x 10 = 12: 12 + (0.1 - 0.1) x 12 to 12 + (0.1 + 0.1) x 12
    assert_drawn(
        asked,
        """
        job_ref  | usual_low_quantity | usual_high_quantity | beyond_gbp
        ---------+--------------------+---------------------+-----------
        2026-001 | 12                 | 14.4                | 4.80
        """,
    )
