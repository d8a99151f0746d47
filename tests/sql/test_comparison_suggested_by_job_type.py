from tests.support.drawn import assert_drawn

FIT = """
    material | low_error_ratio | high_error_ratio
    ---------+-----------------+-----------------
    resin    | -0.10           | 0.14
"""
PRICE = """
    material | price_gbp
    ---------+----------
    resin    | 3.00
"""


def lately(allowed_rate):
    return f"""
        material | kind  | job_type | rate_label | job_count | size | base_quantity | allowed_rate | floor_rate
        ---------+-------+----------+------------+-----------+------+---------------+--------------+-----------
        resin    | resin | garage   | kg per m²  | 4         | 40   | 50            | {allowed_rate} | 1.05
    """


def proposal(job_count, is_offered):
    return f"""
        material | job_type | job_count | full_fixed_loss | full_price_ratio | is_offered
        ---------+----------+-----------+----------------------+-----------------------+-----------
        resin    | garage   | {job_count} | 1.5                | 0.20                  | {is_offered}
    """


def test_rate_range_and_money_at_stake(relation):
    suggested = relation(
        "comparison.suggested_by_job_type",
        allowed_by_job_type=lately(1.5),
        proposal=proposal(9, "true"),
        fit=FIT,
        price_in_force=PRICE,
    )

    # (50 x 1.2 + 4 x 1.5) / 40 = 1.65; half: 0.24 / 2 / 3 x 50 / 40 = 0.05
    # at stake: 0.15 x 40 m2 x 3.00
    assert_drawn(
        suggested,
        """
        job_count | suggested_rate | low_rate | high_rate | is_off | at_stake_gbp
        ----------+----------------+----------+-----------+--------+-------------
        9         | 1.65           | 1.6      | 1.7       | true   | 18.00
        """,
    )


def test_off_only_outside_the_range_offered_and_with_three_jobs(relation):
    def is_off(allowed_rate, job_count, is_offered):
        rows = relation(
            "comparison.suggested_by_job_type",
            allowed_by_job_type=lately(allowed_rate),
            proposal=proposal(job_count, is_offered),
            fit=FIT,
        )
        return rows["is_off"].to_list()

    assert is_off(1.5, 9, "true") == [True]
    assert is_off(1.61, 9, "true") == [False]
    assert is_off(1.5, 2, "true") == [False]
    assert is_off(1.5, 9, "false") == [False]
    assert is_off("", 9, "true") == [False]


def test_a_decision_is_what_is_allowed_and_what_the_jobs_were_allowed_before_it(relation):
    def allowed_rate(how):
        rows = relation(
            "comparison.suggested_by_job_type",
            allowed_by_job_type=lately(1.5),
            proposal=proposal(9, "true"),
            fit=FIT,
            price_in_force=PRICE,
            allowance_in_force=f"""
                material | job_type | how   | fixed_loss | price_ratio
                ---------+----------+-------+------------+------------
                resin    | garage   | {how} | 2          | 0.12
            """,
        )
        return rows.select("allowed_rate", "at_stake_gbp").rows()[0]

    # (50 x 1.12 + 4 x 2) / 40 = 1.6; at stake 0.05 x 40 x 3.00
    rate, at_stake = allowed_rate("decided")
    assert (round(rate, 9), str(at_stake)) == (1.6, "6.00")
    rate, at_stake = allowed_rate("as quoted")
    assert (rate, str(at_stake)) == (1.5, "18.00")


def test_suggested_and_decided_each_stand_on_the_base_that_they_were_made_for(relation):
    suggested = relation(
        "comparison.suggested_by_job_type",
        allowed_by_job_type="""
            material | kind | job_type | rate_label | job_count | size | base_quantity | best_quantity | no_reuse_quantity | allowed_rate
            ---------+------+----------+------------+-----------+------+---------------+---------------+-------------------+-------------
            drip     | trim | garage   | m per 10 m | 4         | 40   | 48            | 50            | 60                | 1.5
        """,
        proposal="""
            material | job_type | job_count | full_fixed_loss | full_price_ratio | suggested_blend_ratio | is_offered
            ---------+----------+-----------+-----------------+------------------+-----------------------+-----------
            drip     | garage   | 9         | 1.5             | 0.20             | 0.4                   | true
        """,
        allowance_in_force="""
            material | job_type | how     | fixed_loss | price_ratio | blend_ratio
            ---------+----------+---------+------------+-------------+------------
            drip     | garage   | decided | 2          | 0.12        |
        """,
        fit=FIT,
    )

    # suggested on 50 + 0.4 x 10 = 54: (54 x 1.2 + 4 x 1.5) / 40; decided on 48: (48 x 1.12 + 8) / 40
    assert_drawn(
        suggested,
        """
        suggested_rate | allowed_rate
        ---------------+-------------
        1.77           | 1.544
        """,
    )
