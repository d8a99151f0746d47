USE = """
    job_ref  | material | completed_on | used_quantity | used_gbp | cost_gbp | price_how        | cost_how
    ---------+----------+--------------+---------------+----------+----------+------------------+-----------------
    2026-001 | resin    | 2026-05-31   | 20            | 60.00    | 61.00    | first paid after | lots
    2026-001 | mat      | 2026-05-31   | 20            | 40.00    | 39.00    | first paid after | price in force
    2026-001 | nails    | 2026-05-31   | 20            |          |          |                  |
"""


def test_sums_purchases_counts_prices_and_rows(relation):
    trust = relation(
        "page.trust",
        use_by_job=USE,
        job="""
            job_ref  | own_gbp       | unpriced_count
            ---------+---------------+---------------
            2026-001 | 100.00        | 1
        """,
        purchases="""
            material | line_kind | document_on | line_net_gbp
            ---------+-----------+-------------+-------------
            resin    | goods     | 2026-05-01  | 1200.00
            resin    | goods     | 2026-02-01  | 900.00
            resin    | carriage  | 2026-05-01  | 15.00
        """,
        last_count="""
            material | counted_on
            ---------+-----------
            resin    | 2026-04-30
        """,
        file="""
            receipt_no | rejected_count | message      | outcome
            -----------+----------------+--------------+------------------
            1          | 3              |              | taken in
            2          | 0              | is locked    | could not be read
            3          | 0              | is a picture | to type in
        """,
        reject="""
            receipt_no | sheet | row_no | part_no | column_name | mended_by_receipt_no
            -----------+-------+--------+---------+-------------+---------------------
            1          | Jobs  | 2      | 1       | crew        |
            1          | Jobs  | 2      | 1       | work        |
            1          | Jobs  | 2      | 2       | quantity    |
            1          | Jobs  | 3      | 1       | crew        |
            1          | Jobs  | 4      | 1       | crew        | 7
        """,
        check_outcome="""
            check_name | fault_count
            -----------+------------
            one        | 0
            other      | 2
        """,
    )

    assert trust["is_good"].to_list() == [True, False, True, False, False, False, False]
    assert trust["sentence"].to_list() == [
        "The sums add up: £100 of materials, to the penny the sum of its job lines.",
        (
            "In the last three months £1,200 of material was bought, and £100 worth stands against "
            "jobs; the rest lies in stock or has no job on record."
        ),
        "Last count: 30 April 2026.",
        "No price is known of nails: their use is not in the money of the last three months.",
        "For 1 material early jobs are taken at the first price paid later, as none is known before.",
        "Could not be read: 3 rows, and something in 1 file.",
        "One check asks for a look: see what the run printed.",
    ]


def test_a_sum_that_does_not_hold_is_said(relation):
    trust = relation(
        "page.trust",
        use_by_job=USE,
        job="""
            job_ref  | own_gbp
            ---------+--------------
            2026-001 | 100.01
        """,
    )

    assert trust.row(0)[:2] == (1, False)
