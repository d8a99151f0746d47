from tests.support.drawn import assert_drawn

MATERIALS = """
    material | kind  | base_unit
    ---------+-------+----------
    resin    | resin | kg
    mat      | mat   | m2
"""
JOBS = """
    job_ref  | status    | completed_on | area_m2
    ---------+-----------+--------------+--------
    2026-001 | completed | 2025-11-30   | 500
    2026-002 | completed | 2025-12-01   | 60
    2026-003 | completed | 2026-05-31   | 40
    2026-004 | completed | 2026-05-31   |
"""
PURCHASES = """
    material | line_kind | document_on | quantity
    ---------+-----------+-------------+---------
    resin    | goods     | 2025-12-10  | 20
    resin    | goods     | 2026-01-10  | 20
    resin    | goods     | 2026-02-10  | 40
    resin    | goods     | 2026-03-10  | 20
    resin    | goods     | 2026-04-10  | 20
    resin    | goods     | 2026-05-10  | 40
    resin    | goods     | 2026-05-11  | -10
    mat      | goods     | 2026-05-11  | 75
"""


def test_bought_for_a_square_metre_with_the_stock_at_both_ends_not_known(relation):
    rate = relation(
        "page.bought_rate",
        materials=MATERIALS,
        jobs=JOBS,
        purchases=PURCHASES,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2026-002 | resin    | 90
        """,
    )

    # 150 kg over 60 + 40 m2 since December; the largest month is 40: 110 and 190 over 100
    assert_drawn(
        rate,
        """
        material | month_count | bought_quantity | area_m2 | rate | low_rate | high_rate | allowed_rate | rate_label
        ---------+-------------+-----------------+---------+------+----------+-----------+--------------+-----------
        resin    | 6           | 150             | 100     | 1.5  | 1.1      | 1.9       | 1.5          | kg per m²
        """,
    )


def test_a_firm_with_issues_has_better_answers(relation):
    rate = relation(
        "page.bought_rate",
        materials=MATERIALS,
        jobs=JOBS,
        purchases=PURCHASES,
        job_quantity="""
            job_ref  | material | issued_quantity
            ---------+----------+----------------
            2026-002 | resin    | 90
        """,
    )

    assert rate.is_empty()
