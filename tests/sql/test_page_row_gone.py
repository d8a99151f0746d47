"""page.row_gone."""

from tests.support.drawn import assert_drawn

FILES = """
    receipt_no | batch_no | batch_at             | file_name
    -----------+----------+----------------------+------------
    1          | 1        | 2026-05-01T10:00:00Z | jobs.csv
    2          | 2        | 2026-05-08T10:00:00Z | jobs v2.csv
    3          | 3        | 2026-05-15T10:00:00Z | jobs v3.csv
"""


def test_what_the_newest_batch_left_out_is_new_and_the_rest_was_asked_before(relation):
    rows = relation(
        "page.row_gone",
        file=FILES,
        row_gone="""
            receipt_no | sheet | row_no | part_no | record | key              | gone_receipt_no | gone_count
            -----------+-------+--------+---------+--------+------------------+-----------------+-----------
            1          |       | 4      | 1       | jobs   | job_ref=2026-001 | 2               | 1
            2          |       | 5      | 1       | jobs   | job_ref=2026-002 | 3               | 1
        """,
    )

    assert_drawn(
        rows,
        """
        file_name   | batch_no | record | key              | told_in     | row_no | gone_count | gone_on    | is_new
        ------------+----------+--------+------------------+-------------+--------+------------+------------+-------
        jobs v2.csv | 2        | jobs   | job_ref=2026-001 | jobs.csv    | 4      | 1          | 2026-05-08 | false
        jobs v3.csv | 3        | jobs   | job_ref=2026-002 | jobs v2.csv | 5      | 1          | 2026-05-15 | true
        """,
    )
    assert rows["is_new"].to_list() == [True, False]
