from tests.support.drawn import assert_drawn

SCORES = """
    material | method         | month_count | line_count | priced_line_count | job_count | pinball_ratio | suggested_pinball_ratio | cost_error_gbp | suggested_error_gbp | mean_error_gbp | covered_line_ratio | covered_job_ratio
    ---------+----------------+-------------+------------+-------------------+-----------+---------------+-------------------------+----------------+---------------------+----------------+--------------------+------------------
    all      | a tenth on top | 12          | 70         | 60                | 40        | 0.09          | 0.04                    | 130.00         | 90.50               | -1.50          | 0.2                | 0.1
    all      | as allowed     | 12          | 55         | 50                | 30        | 0.08          | 0.05                    | 120.00         | 80.50               | -1.50          | 0.2                | 0.1
    all      | as suggested   | 12          | 70         | 60                | 40        | 0.04          | 0.04                    | 90.50          | 90.50               | 0.25           | 0.85               | 0.75
    all      | one ratio      | 12          | 70         | 60                | 40        | 0.06          | 0.04                    | 110.00         | 90.50               | 0.10           | 0.5                | 0.4
    drip     | a tenth on top | 9           | 20         | 20                | 20        | 0.05          | 0.04                    | 30.00          | 30.50               | 1.00           | 0.9                |
    drip     | as suggested   | 9           | 20         | 20                | 20        | 0.04          | 0.04                    | 30.50          | 30.50               | 0.50           | 0.8                |
    drip     | one ratio      | 9           | 20         | 20                | 20        | 0.05          | 0.04                    | 31.00          | 30.50               | 0.40           | 0.6                |
    mat      | a tenth on top | 9           | 10         | 0                 | 10        | 0.05          | 0.04                    |                |                     |                | 0.9                |
    mat      | as suggested   | 9           | 10         | 0                 | 10        | 0.04          | 0.04                    |                |                     |                | 0.8                |
    resin    | a tenth on top | 12          | 40         | 40                | 40        | 0.12          | 0.04                    | 100.00         | 60.00               | -2.75          | 0.1                |
    resin    | as suggested   | 12          | 40         | 40                | 40        | 0.04          | 0.04                    | 60.00          | 60.00               | 0.12           | 0.9                |
    resin    | as allowed     | 12          | 40         | 40                | 40        | 0.09          | 0.04                    | 81.00          | 60.00               | 0.12           | 0.4                |
    resin    | one ratio      | 12          | 40         | 40                | 40        | 0.08          | 0.04                    | 79.00          | 60.00               | -0.05          | 0.5                |
"""


def test_the_ways_of_a_material_stand_in_one_row_all_materials_first(relation):
    score = relation("page.score", score=SCORES)

    assert_drawn(
        score,
        """
        material | is_all | month_count | line_count | job_count | suggested_error_gbp | allowed_line_count | allowed_error_gbp | suggested_beside_allowed_gbp | tenth_error_gbp | ratio_error_gbp | suggested_beyond_gbp | tenth_beyond_gbp | covered_line_ratio | covered_job_ratio
        ---------+--------+-------------+------------+-----------+---------------------+--------------------+-------------------+------------------------------+-----------------+-----------------+----------------------+------------------+--------------------+------------------
        all      | true   | 12          | 60         | 40        | 90.50               | 50                 | 120.00            | 80.50                        | 130.00          | 110.00          | 0.25                 | -1.50            | 0.85               | 0.75
        resin    | false  | 12          | 40         | 40        | 60.00               | 40                 | 81.00             | 60.00                        | 100.00          | 79.00           | 0.12                 | -2.75            | 0.9                |
        drip     | false  | 9           | 20         | 20        | 30.50               |                    |                   |                              | 30.00           | 31.00           | 0.50                 | 1.00             | 0.8                |
        """,
    )


def test_all_materials_together_every_way_stands_in_a_row_the_nearest_load_first(relation):
    ways = relation("page.score_way", score=SCORES)

    assert ways["method"].to_list() == [
        "as suggested",
        "one ratio",
        "as allowed",
        "a tenth on top",
    ]
    assert_drawn(
        ways.filter(method="as allowed"),
        """
        method     | line_count | pinball_ratio | suggested_pinball_ratio | cost_error_gbp | covered_line_ratio | covered_job_ratio
        -----------+------------+---------------+-------------------------+----------------+--------------------+------------------
        as allowed | 55         | 0.08          | 0.05                    | 120.00         | 0.2                | 0.1
        """,
    )
