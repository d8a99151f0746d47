from tests.support.drawn import assert_drawn

HEAD = """
    material | kind  | base_unit | month_on   | rate_label | job_count | use_rate | allowed_rate
    ---------+-------+-----------+------------+------------+-----------+----------+-------------
    resin    | resin | kg        | 2026-05-01 | kg per m²  | 3         | 2.0      | 1.5
    resin    | resin | kg        | 2026-04-01 | kg per m²  | 3         | 1.8      |
    resin    | resin | kg        | 2026-02-01 | kg per m²  | 3         | 1.5      | 1.5
    resin    | resin | kg        | 2026-01-01 | kg per m²  | 3         | 1.6      | 1.5
    resin    | resin | kg        | 2025-12-01 | kg per m²  | 3         | 1.5      | 1.5
    resin    | resin | kg        | 2025-11-01 | kg per m²  | 3         | 1.7      | 1.5
    resin    | resin | kg        | 2025-10-01 | kg per m²  | 3         | 1.5      | 1.5
"""


def test_usual_range_of_the_months_before_the_last_three(relation):
    monthly = relation(
        "page.use_by_month",
        use_by_month=HEAD.rstrip()
        + """
    resin    | resin | kg        | 2025-08-01 | kg per m²  | 3         | 1.5      | 1.5
    resin    | resin | kg        | 2024-05-01 | kg per m²  | 3         | 9.9      | 1.5
    resin    | resin | kg        | 2026-06-01 | kg per m²  | 3         | 9.9      | 1.5
    board    | board | m2        | 2026-05-01 | m² per m²  | 3         | 1.1      |
    """,
    )

    # mean (1.5 x 4 + 1.6 + 1.7) / 6 = 1.55; steps 0, 0.2, 0.2, 0.1, 0.1 have the mean 0.12;
    # 2.66 x 0.12 = 0.3192
    assert_drawn(
        monthly,
        """
        month_on   | use_rate | allowed_rate | usual_low_rate | usual_high_rate | is_outside
        -----------+----------+--------------+----------------+-----------------+-----------
        2025-08-01 | 1.5      | 1.5          | 1.2308         | 1.8692          | false
        2025-10-01 | 1.5      | 1.5          | 1.2308         | 1.8692          | false
        2025-11-01 | 1.7      | 1.5          | 1.2308         | 1.8692          | false
        2025-12-01 | 1.5      | 1.5          | 1.2308         | 1.8692          | false
        2026-01-01 | 1.6      | 1.5          | 1.2308         | 1.8692          | false
        2026-02-01 | 1.5      | 1.5          | 1.2308         | 1.8692          | false
        2026-04-01 | 1.8      |              | 1.2308         | 1.8692          | false
        2026-05-01 | 2.0      | 1.5          | 1.2308         | 1.8692          | true
        """,
    )


def test_no_range_under_six_months(relation):
    monthly = relation("page.use_by_month", use_by_month=HEAD)

    assert monthly["usual_low_rate"].null_count() == 7
    assert not monthly["is_outside"].any()
