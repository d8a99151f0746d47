from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | status    | completed_on
    ---------+-----------+-------------
    2026-001 | completed | 2026-05-01
    2026-002 | completed | 2026-05-01
    2026-003 | booked    |
"""
MATERIALS = """
    material | kind  | g_per_m2
    ---------+-------+---------
    mat 450  | mat   | 450
    mat 600  | mat   | 600
    resin    | resin |
    resin lp | resin |
"""
PRICES = """
    material | from_on    | until_on   | price_gbp
    ---------+------------+------------+----------
    mat 450  | 1900-01-01 | 2026-05-01 | 9
    mat 450  | 2026-05-01 | 9999-12-31 | 1.5
    mat 600  | 1900-01-01 | 9999-12-31 | 2
    resin    | 1900-01-01 | 9999-12-31 | 3
"""


def test_mats_are_mixed_by_their_glass(relation):
    memo = relation(
        "comparison.mix_yield",
        jobs=JOBS,
        materials=MATERIALS,
        price_step=PRICES,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-001 | mat 450  | 40
            2026-001 | resin    | 60
            2026-001 | resin lp | 10
            2026-002 | mat 450  | 40
            2026-002 | mat 600  |
            2026-003 | mat 450  | 40
        """,
        job_quantity="""
            job_ref  | material | used_quantity
            ---------+----------+--------------
            2026-001 | mat 450  | 10
            2026-001 | mat 600  | 30
            2026-001 | resin    | 60
            2026-001 | resin lp | 10
            2026-002 | mat 450  | 40
            2026-002 | mat 600  | 10
            2026-003 | mat 450  | 40
            2026-003 | mat 600  | 10
        """,
    )

    # 22.5 kg of glass for 18: 60.00 x 1/4 more; used at 75.00, less 60.00, all of it yield: mix 0.
    # Of the second resin no price is known, of 2026-002 not what was allowed
    assert_drawn(
        memo,
        """
        job_ref  | kind | material_count | mix_gbp | yield_gbp | usage_gbp
        ---------+------+----------------+---------+-----------+----------
        2026-001 | mat  | 2              | 0.00    | 15.00     | 15.00
        """,
    )


def test_a_dearer_mix_of_as_much_glass_is_mix_alone(relation):
    memo = relation(
        "comparison.mix_yield",
        jobs=JOBS,
        materials=MATERIALS,
        price_step="""
            material | from_on    | until_on   | price_gbp
            ---------+------------+------------+----------
            mat 450  | 1900-01-01 | 9999-12-31 | 1.5
            mat 600  | 1900-01-01 | 9999-12-31 | 2.3
        """,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-001 | mat 450  | 40
        """,
        job_quantity="""
            job_ref  | material | used_quantity
            ---------+----------+--------------
            2026-001 | mat 450  | 0
            2026-001 | mat 600  | 30
        """,
    )

    assert_drawn(
        memo,
        """
        job_ref  | kind | mix_gbp | yield_gbp | usage_gbp
        ---------+------+---------+-----------+----------
        2026-001 | mat  | 9.00    | 0         | 9.00
        """,
    )
