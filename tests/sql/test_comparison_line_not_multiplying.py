from tests.support.drawn import assert_drawn


def test_lines_that_do_not_multiply_out_with_file_and_row(relation):
    lines = relation(
        "comparison.line_not_multiplying",
        file="""
            receipt_no | file_name
            -----------+----------
            7          | may.csv
        """,
        purchases="""
            supplier | document_type | document_no | document_on | description | packs | pack_price_gbp | line_net_gbp | receipt_no | sheet | row_no | part_no
            ---------+---------------+-------------+-------------+-------------+-------+----------------+--------------+------------+-------+--------+--------
            Quayside | invoice       | 104         | 2026-05-10  | resin       | 5     | 61.00          | 315.00       | 7          | s     | 2      | 1
            Quayside | invoice       | 104         | 2026-05-10  | penny       | 3     | 3.335          | 10.00        | 7          | s     | 3      | 1
            Quayside | invoice       | 104         | 2026-05-10  | mat         | 2     | 90.00          | 175.00       | 7          | s     | 4      | 1
            Quayside | credit        | 9           | 2026-05-12  | resin       | -2    | 61.00          | -112.00      | 7          | s     | 5      | 1
            Quayside | invoice       | 104         | 2026-05-10  | no price    | 2     |                | 175.00       | 7          | s     | 6      | 1
            Quayside | invoice       | 12          | 2025-05-10  | long ago    | 2     | 90.00          | 175.00       | 7          | s     | 7      | 1
        """,
    )

    # 5 x 61 = 305; 3 x 3.335 = 10.005, within a penny; 2 x 90 = 180; a credit of 122 gave 112
    assert_drawn(
        lines,
        """
        description | multiplied_gbp | line_net_gbp | beyond_gbp | file_name | sheet | row_no
        ------------+----------------+--------------+------------+-----------+-------+-------
        resin       | 305.00         | 315.00       | 10.00      | may.csv   | s     | 2
        mat         | 180.00         | 175.00       | -5.00      | may.csv   | s     | 4
        resin       | -122.00        | -112.00      | 10.00      | may.csv   | s     | 5
        """,
    )
