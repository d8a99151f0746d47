from tests.support.drawn import assert_drawn


def test_the_three_ways_of_a_material_stand_in_one_row_all_materials_first(relation):
    score = relation(
        "page.score",
        score="""
            material | method         | month_count | line_count | job_count | cost_error_gbp | mean_error_gbp | covered_line_ratio | covered_job_ratio
            ---------+----------------+-------------+------------+-----------+----------------+----------------+--------------------+------------------
            all      | a tenth on top | 12          | 60         | 40        | 130.00         | -1.50          | 0.2                | 0.1
            all      | as suggested   | 12          | 60         | 40        | 90.50          | 0.25           | 0.85               | 0.75
            all      | one ratio      | 12          | 60         | 40        | 110.00         | 0.10           | 0.5                | 0.4
            drip     | a tenth on top | 9           | 20         | 20        | 30.00          | 1.00           | 0.9                |
            drip     | as suggested   | 9           | 20         | 20        | 30.50          | 0.50           | 0.8                |
            drip     | one ratio      | 9           | 20         | 20        | 31.00          | 0.40           | 0.6                |
            resin    | a tenth on top | 12          | 40         | 40        | 100.00         | -2.75          | 0.1                |
            resin    | as suggested   | 12          | 40         | 40        | 60.00          | 0.12           | 0.9                |
            resin    | one ratio      | 12          | 40         | 40        | 79.00          | -0.05          | 0.5                |
        """,
    )

    assert_drawn(
        score,
        """
        material | is_all | month_count | line_count | job_count | suggested_error_gbp | tenth_error_gbp | ratio_error_gbp | suggested_beyond_gbp | tenth_beyond_gbp | covered_line_ratio | covered_job_ratio
        ---------+--------+-------------+------------+-----------+---------------------+-----------------+-----------------+----------------------+------------------+--------------------+------------------
        all      | true   | 12          | 60         | 40        | 90.50               | 130.00          | 110.00          | 0.25                 | -1.50            | 0.85               | 0.75
        resin    | false  | 12          | 40         | 40        | 60.00               | 100.00          | 79.00           | 0.12                 | -2.75            | 0.9                |
        drip     | false  | 9           | 20         | 20        | 30.50               | 30.00           | 31.00           | 0.50                 | 1.00             | 0.8                |
        """,
    )
