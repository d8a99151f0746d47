"""comparison.restatement."""

from tests.support.drawn import assert_drawn

CLOSED = {
    "closings": """
        month_on   | closed_on  | receipt_no
        -----------+------------+-----------
        2026-04-01 | 2026-05-08 | 4
    """,
    "file": """
        receipt_no | batch_no | batch_at             | file_name
        -----------+----------+----------------------+--------------
        4          | 2        | 2026-05-08T10:00:00Z | closings.csv
        6          | 3        | 2026-05-20T10:00:00Z | late card.csv
        7          | 3        | 2026-05-20T10:00:00Z | invoices.xlsx
        8          | 3        | 2026-05-20T10:00:00Z | withdrawn.csv
    """,
    "closed_figures": """
        month_on   | job_ref  | figure | gbp
        -----------+----------+--------+-------
        2026-04-01 | 2026-001 | left   | 500.00
        2026-04-01 | 2026-002 | left   | 300.00
        2026-04-01 |          | left   | 800.00
    """,
}
USED = """
    job_ref  | material
    ---------+---------
    2026-001 | resin
    2026-002 | resin
"""
NOW = """
    month_on   | job_ref  | figure | gbp
    -----------+----------+--------+-------
    2026-04-01 | 2026-001 | left   | 480.00
    2026-04-01 | 2026-002 | left   | 300.00
    2026-04-01 |          | left   | 780.00
    2026-04-01 |          | price  | 900.00
    2026-05-01 |          | left   | 50.00
"""


def _drawn(now, rows, again=""):
    more = {"closed_again": again} if again else {}
    return {**CLOSED, "use_by_job": USED, "month_figure": now, "money_row": rows, **more}


ROWS = """
    record        | job_ref  | material | receipt_no | sheet | row_no | batch_no | is_taken_back
    --------------+----------+----------+------------+-------+--------+----------+--------------
    job_materials | 2026-001 | resin    | 2          |       | 2      | 1        | false
    job_materials | 2026-001 | resin    | 6          |       | 3      | 3        | false
    purchases     |          | resin    | 7          | May   | 5      | 3        | false
"""


def test_a_row_of_the_job_itself_is_named_before_rows_of_its_materials(relation):
    again = """
        month_on   | job_ref  | figure | again_gbp
        -----------+----------+--------+----------
        2026-04-01 | 2026-001 | left   | 500.00
        2026-04-01 | 2026-002 | left   | 300.00
        2026-04-01 |          | left   | 800.00
    """
    rows = relation("comparison.restatement", **_drawn(NOW, ROWS, again))

    assert_drawn(
        rows,
        """
        month_on   | job_ref  | figure | as_closed_gbp | as_now_gbp | change_gbp | records_gbp | method_gbp | cause
        -----------+----------+--------+---------------+------------+------------+-------------+------------+----------------------
        2026-04-01 | 2026-001 | left   | 500.00        | 480.00     | -20.00     | -20.00      | 0.00       | late card.csv, row 3
        2026-04-01 |          | left   | 800.00        | 780.00     | -20.00     | -20.00      | 0.00       | late card.csv, row 3
        """,
    )


def test_where_no_row_is_the_jobs_own_one_of_its_materials_is_named(relation):
    rows = relation("comparison.restatement", **_drawn(NOW, ROWS.replace("2026-001", "2026-002")))

    assert_drawn(
        rows,
        """
        job_ref  | change_gbp | records_gbp | method_gbp | cause
        ---------+------------+-------------+------------+----------------------------------------------------------------
        2026-001 | -20.00     |             |            | late card.csv, row 3 and 1 more, or settings or method
                 | -20.00     |             |            | late card.csv, row 3 and 1 more, or settings or method
        """,
    )


def test_what_the_same_files_give_now_is_settings_or_method(relation):
    again = """
        month_on   | job_ref  | figure | again_gbp
        -----------+----------+--------+----------
        2026-04-01 | 2026-001 | left   | 480.00
        2026-04-01 | 2026-002 | left   | 300.00
        2026-04-01 |          | left   | 780.00
    """
    rows = relation("comparison.restatement", **_drawn(NOW, ROWS, again))

    assert set(rows["cause"]) == {"settings or method"}
    assert set(rows["records_gbp"]) == {0}


def test_a_job_that_left_the_month_counts_as_nothing_now(relation):
    now = NOW.replace("    2026-04-01 | 2026-001 | left   | 480.00\n", "").replace("780", "300")
    gone = ROWS.replace("6          |       | 3      | 3        | false",
                        "8          |       | 2      | 3        | true")  # fmt: skip
    rows = relation("comparison.restatement", **_drawn(now, gone))

    assert_drawn(
        rows,
        """
        job_ref  | as_closed_gbp | as_now_gbp | change_gbp | cause
        ---------+---------------+------------+------------+---------------------------------------------------------
        2026-001 | 500.00        |            | -500.00    | taken back by withdrawn.csv, row 2, or settings or method
                 | 800.00        | 300.00     | -500.00    | taken back by withdrawn.csv, row 2, or settings or method
        """,
    )


def test_figures_that_were_never_kept_are_not_held_against_anything(relation):
    totals = """
        month_on   | job_ref  | figure | gbp
        -----------+----------+--------+-------
        2026-04-01 |          | left   | 780.00
    """
    drawn = {**_drawn(NOW, ROWS), "closed_figures": totals}

    assert relation("comparison.restatement", **drawn).is_empty()


def test_a_job_of_which_a_rate_of_vat_is_missing_is_not_known_and_not_nothing(relation):
    now = NOW.replace("    2026-04-01 | 2026-001 | left   | 480.00\n", "").replace("780", "300")
    standing = """
        month_on   | job_ref  | price_gbp | own_gbp | left_gbp
        -----------+----------+-----------+---------+---------
        2026-04-01 | 2026-001 | 600.00    | 120.00  |
        2026-04-01 | 2026-002 | 400.00    | 100.00  | 300.00
    """
    rows = relation("comparison.restatement", **_drawn(now, ROWS), job=standing)

    assert_drawn(
        rows,
        """
        job_ref  | as_closed_gbp | as_now_gbp | change_gbp | records_gbp | method_gbp | cause
        ---------+---------------+------------+------------+-------------+------------+---------------------------
        2026-001 | 500.00        |            |            |             |            | a rate of VAT is not known
                 | 800.00        |            |            |             |            | a rate of VAT is not known
        """,
    )


LATE_PRICE = """
    record    | job_ref  | material | receipt_no | sheet | row_no | batch_no | is_taken_back | tells_day
    ----------+----------+----------+------------+-------+--------+----------+---------------+----------
    jobs      | 2026-001 |          | 6          |       | 3      | 3        | false         | false
    purchases |          | resin    | 7          | May   | 5      | 3        | false         | false
"""


def test_a_price_put_right_is_no_cause_of_what_materials_cost(relation):
    closed = CLOSED["closed_figures"].replace("left  ", "materials")
    now = NOW.replace("left  ", "materials")
    drawn = _drawn(now, LATE_PRICE) | {"closed_figures": closed}

    rows = relation("comparison.restatement", **drawn)

    assert set(rows["cause"]) == {"invoices.xlsx, sheet May, row 5, or settings or method"}


def test_a_job_finished_on_another_day_is_a_cause_of_what_its_materials_cost(relation):
    closed = CLOSED["closed_figures"].replace("left  ", "materials")
    moved = LATE_PRICE.replace(
        "false         | false\n    purch", "false         | true\n    purch"
    )
    drawn = _drawn(NOW.replace("left  ", "materials"), moved) | {"closed_figures": closed}

    rows = relation("comparison.restatement", **drawn)

    assert set(rows["cause"]) == {"late card.csv, row 3, or settings or method"}


def test_a_total_says_that_other_jobs_have_other_causes(relation):
    now = NOW.replace("300.00", "295.00").replace("780.00", "775.00")

    rows = relation("comparison.restatement", **_drawn(now, LATE_PRICE))

    assert_drawn(
        rows,
        """
        job_ref  | change_gbp | cause
        ---------+------------+--------------------------------------------------------------------------------------
        2026-001 | -20.00     | late card.csv, row 3, or settings or method
        2026-002 | -5.00      | invoices.xlsx, sheet May, row 5, or settings or method
                 | -25.00     | late card.csv, row 3, or settings or method; on other jobs other causes
        """,
    )
