"""page.restatement, page.closed_month and feed.money_row."""

from tests.support.drawn import assert_drawn

RESTATED = """
    month_on   | job_ref  | figure | as_closed_gbp | as_now_gbp | change_gbp | cause
    -----------+----------+--------+---------------+------------+------------+------
    2026-04-01 |          | left   | 8000.00       | 7975.00    | -25.00     | a row
    2026-04-01 | 2026-001 | left   | 500.00        | 495.00     | -5.00      | a row
    2026-04-01 | 2026-002 | left   | 500.00        | 496.00     | -4.00      | a row
    2026-04-01 | 2026-003 | left   |               | 1.00       | 1.00       | a row
    2026-03-01 |          | left   | 8000.00       | 8024.00    | 24.00      | a row
    2026-02-01 |          | left   | 8000.00       |            |            | a rate
"""


def test_what_is_below_25_pounds_and_below_one_in_a_hundred_is_not_said(relation):
    rows = relation("page.restatement", restatement=RESTATED)

    assert_drawn(
        rows,
        """
        month_on   | job_ref  | change_gbp
        -----------+----------+-----------
        2026-04-01 |          | -25.00
        2026-04-01 | 2026-001 | -5.00
        2026-04-01 | 2026-003 | 1.00
        2026-02-01 |          |
        """,
    )


def test_a_closed_month_stands_beside_what_was_printed(relation):
    rows = relation(
        "page.closed_month",
        closings="""
            month_on   | closed_on  | closed_by
            -----------+------------+----------
            2026-04-01 | 2026-05-08 | office
            2026-05-01 | 2026-06-01 |
        """,
        closed_figures="""
            month_on   | job_ref  | figure | gbp
            -----------+----------+--------+-------
            2026-04-01 | 2026-001 | left   | 500.00
            2026-04-01 |          | left   | 800.00
            2026-04-01 |          | price  | 900.00
        """,
        month_figure="""
            month_on   | job_ref | figure | gbp
            -----------+---------+--------+-------
            2026-04-01 |         | left   | 780.00
        """,
    )

    assert_drawn(
        rows,
        """
        month_on   | closed_on  | closed_by | as_closed_gbp | as_now_gbp
        -----------+------------+-----------+---------------+-----------
        2026-04-01 | 2026-05-08 | office    | 800.00        | 780.00
        2026-05-01 | 2026-06-01 |           |               |
        """,
    )


def test_a_row_taken_back_stands_where_it_was_taken_back_too(relation):
    rows = relation(
        "feed.money_row",
        job_materials="""
            job_ref  | material | entry | receipt_no | sheet | row_no | part_no | batch_no
            ---------+----------+-------+------------+-------+--------+---------+---------
            2026-001 | resin    | 1     | 2          | May   | 5      | 1       | 1
        """,
        withdrawn_row="""
            receipt_no | sheet | row_no | part_no | record        | withdrawn_on | withdrawn_receipt_no | withdrawn_sheet | withdrawn_row_no
            -----------+-------+--------+---------+---------------+--------------+----------------------+-----------------+-----------------
            2          | May   | 5      | 1       | job_materials | 2026-05-20   | 9                    | gone            | 2
        """,
        file="""
            receipt_no | batch_no | batch_at             | file_name
            -----------+----------+----------------------+--------------
            9          | 4        | 2026-05-20T10:00:00Z | withdrawn.csv
        """,
    )

    assert_drawn(
        rows,
        """
        record        | job_ref  | material | receipt_no | sheet | row_no | batch_no | is_taken_back
        --------------+----------+----------+------------+-------+--------+----------+--------------
        job_materials | 2026-001 | resin    | 2          | May   | 5      | 1        | false
        job_materials | 2026-001 | resin    | 9          | gone  | 2      | 4        | true
        """,
    )
