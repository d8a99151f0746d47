from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | job_type | status    | completed_on | quoted_price_gbp | extras_gbp | labour_days | labour_cost_gbp
    ---------+----------+-----------+--------------+------------------+------------+-------------+----------------
    2025-001 | garage   | completed | 2026-05-31   | 1000.00          | 99.00      | 2.5         |
    2025-002 | garage   | completed | 2026-05-31   | 1000.00          | 99.00      | 2.5         | 400.00
    2025-003 | garage   | completed | 2026-05-31   |                  | 99.00      |             |
    2025-004 | garage   | completed | 2026-05-31   | 1000.00          |            |             |
    2025-005 | garage   | booked    |              | 1000.00          |            |             |
"""


def test_left_is_price_with_extras_less_the_rounded_lines_of_use(relation):
    margin = relation(
        "margin.job",
        jobs=JOBS,
        extras="""
            job_ref  | extra_no | price_gbp
            ---------+----------+----------
            2025-001 | 1        | 150.00
            2025-001 | 2        | -20.00
        """,
        use_by_job="""
            job_ref  | material | used_quantity | cost_gbp
            ---------+----------+---------------+---------
            2025-001 | resin    | 20            | 62.33
            2025-001 | mat      | 12            | 30.10
            2025-001 | nails    | 80            |
            2025-001 | board    |               |
            2025-002 | resin    | 20            | 62.33
            2025-003 | resin    | 20            | 62.33
        """,
    )

    # 1000 + 150 - 20 = 1130, as rows of extras stand before the sum on the job; 2.5 x 210 = 525
    assert_drawn(
        margin,
        """
        job_ref  | price_gbp | extras_gbp | materials_gbp | unpriced_count | unpriced_materials | labour_gbp | left_gbp
        ---------+-----------+------------+---------------+----------------+--------------------+------------+---------
        2025-001 | 1130.00   | 130.00     | 92.43         | 1              | nails              | 525.00     | 1037.57
        2025-002 | 1099.00   | 99.00      | 62.33         | 0              |                    | 400.00     | 1036.67
        2025-003 |           | 99.00      | 62.33         | 0              |                    |            |
        2025-004 | 1000.00   |            |               | 0              |                    |            |
        """,
    )


CALL_BACKS = """
    job_ref  | job_type | status    | completed_on | quoted_price_gbp | remedial_of
    ---------+----------+-----------+--------------+------------------+------------
    2026-001 | garage   | completed | 2026-04-10   | 1000.00          |
    2026-002 | garage   | completed | 2026-05-20   |                  | 2026-001
    2026-003 | garage   | completed | 2026-05-21   | 0.00             | 2026-001
    2026-004 | garage   | completed | 2026-05-22   | 300.00           | 2026-001
    2026-005 | garage   | completed | 2026-05-23   |                  | 2026-999
"""
USED = """
    job_ref  | material | used_quantity | cost_gbp
    ---------+----------+---------------+---------
    2026-001 | resin    | 20            | 60.00
    2026-002 | resin    | 5             | 15.00
    2026-003 | topcoat  | 1             | 5.55
    2026-004 | resin    | 5             | 15.00
    2026-005 | resin    | 5             | 15.00
"""


def test_a_call_back_costs_its_first_job_unless_it_has_a_price_of_its_own(relation):
    margin = relation("margin.job", jobs=CALL_BACKS, use_by_job=USED)

    # 60.00 + 15.00 + 5.55 = 80.55; the call-back of a job that is not on record stands by itself
    assert_drawn(
        margin,
        """
        job_ref  | first_job_ref | own_gbp | put_right_gbp | put_right_count | materials_gbp | left_gbp
        ---------+---------------+---------+---------------+-----------------+---------------+---------
        2026-001 |               | 60.00   | 20.55         | 2               | 80.55         | 919.45
        2026-002 | 2026-001      | 15.00   | 0.00          | 0               | 15.00         |
        2026-003 | 2026-001      | 5.55    | 0.00          | 0               | 5.55          |
        2026-004 |               | 15.00   | 0.00          | 0               | 15.00         | 285.00
        2026-005 |               | 15.00   | 0.00          | 0               | 15.00         |
        """,
    )


FIRM = """
    firm       | as_of      | month_end_on | vat
    -----------+------------+--------------+----------
    Test Roofs | 2026-06-01 | 2026-05-31   | flat rate
"""
RATES = """
    material | vat_pct
    ---------+--------
    resin    | 20
    topcoat  |
"""


def test_a_firm_that_takes_no_vat_back_pays_it_as_cost(relation):
    margin = relation("margin.job", jobs=CALL_BACKS, use_by_job=USED, vat_rate=RATES, firm=FIRM)

    # 20 % on 60.00 is 12.00 and on 15.00 is 3.00; where a rate is not known, here of one that was
    # called back to, what is left is not known either
    assert_drawn(
        margin,
        """
        job_ref  | own_gbp | vat_gbp | put_right_gbp | materials_gbp | left_gbp
        ---------+---------+---------+---------------+---------------+---------
        2026-001 | 60.00   | 12.00   |               |               |
        2026-002 | 15.00   | 3.00    | 0.00          | 18.00         |
        2026-003 | 5.55    |         | 0.00          |               |
        2026-004 | 15.00   | 3.00    | 0.00          | 18.00         | 282.00
        2026-005 | 15.00   | 3.00    | 0.00          | 18.00         |
        """,
    )


def test_the_rate_of_a_material_is_known_where_all_its_lines_say_the_same(relation):
    rates = relation(
        "feed.vat_rate",
        purchases="""
            material | line_kind | vat_pct
            ---------+-----------+--------
            resin    | goods     | 20
            resin    | goods     | 20
            topcoat  | goods     | 20
            topcoat  | goods     |
            mat      | goods     | 20
            mat      | goods     | 5
                     | carriage  | 20
        """,
    )

    assert dict(rates.sort("material").iter_rows()) == {"mat": None, "resin": 20, "topcoat": None}
