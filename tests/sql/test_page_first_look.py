from decimal import Decimal


def test_findings_stand_in_the_order_of_their_pounds(relation):
    found = relation(
        "page.first_look",
        price_asked="""
            material | base_unit | supplier | document_no | bought_on  | compared_with | invoice_count | known_price_gbp | asked_price_gbp | change_ratio | month_gbp
            ---------+-----------+----------+-------------+------------+---------------+---------------+-----------------+-----------------+--------------+----------
            adhesive | ml        | Osmer    | 77          | 2026-05-08 | list          | 3             | 0.0200          | 0.0150          | -0.25        | -12.00
        """,
        line_not_multiplying="""
            supplier | document_no | description | packs | pack_price_gbp | line_net_gbp | multiplied_gbp | beyond_gbp | file_name | sheet | row_no
            ---------+-------------+-------------+-------+----------------+--------------+----------------+------------+-----------+-------+-------
            Quayside | 104         | resin tin   | 5     | 61.00          | 315.00       | 305.00         | 10.00      | may.xlsx  | s     | 2
        """,
        edge_just_over="""
            job_ref  | edge_no | material  | status | quoted_run_mm | lengths_count | over_mm | length_gbp
            ---------+---------+-----------+--------+---------------+---------------+---------+-----------
            2026-058 | 1       | drip trim | quoted | 6000          | 2             | 50      |
        """,
        lot_near_date="""
            material | lot | expires_on | base_unit | quantity | days_left | places | value_gbp
            ---------+-----+------------+-----------+----------+-----------+--------+----------
            resin    | 311 | 2026-05-29 | kg        | 20.000   | -3        | yard   | 62.00
        """,
        statement_line="""
            supplier | document_type | document_no | document_on | file_name | sheet | row_no | gross_gbp | held_gross_gbp | standing
            ---------+---------------+-------------+-------------+-----------+-------+--------+-----------+----------------+---------
            Tarn     | invoice       | 4711        | 2026-04-02  | april.csv | acc   | 7      | 120.00    |                | missing
            Tarn     | invoice       | 4712        | 2026-04-03  | april.csv | acc   | 8      | 60.00     | 58.50          | differs
            Tarn     | invoice       | 4713        | 2026-04-04  | april.csv | acc   | 9      | 12.00     | 12.00          | agrees
        """,
    )

    rows = found.select("order_no", "finding", "gbp", "per", "found_at").rows()
    assert rows == [
        (1, "statement", Decimal("120.00"), "once, with VAT", "april.csv, sheet acc, row 7"),
        (2, "date", Decimal("62.00"), "its price", "yard"),
        (3, "invoice line", Decimal("10.00"), "once", "may.xlsx, sheet s, row 2"),
        (4, "statement", Decimal("1.50"), "once, with VAT", "april.csv, sheet acc, row 8"),
        (5, "price", Decimal("-12.00"), "a month, at what you buy", "Osmer, 77 of 8 May 2026"),
        (6, "edge", None, "one length", "2026-058, quoted"),
    ]
    said = found["sentence"].to_list()
    assert said[0] == (
        "Invoice 4711 of Tarn, 2 April 2026, stands on the statement of account and is not here: "
        "ask for a copy."
    )
    assert "past its date of 29 May 2026, so no usable stock" in said[1]
    assert "5 at £61.00 are £305.00, the line says £315.00" in said[2]
    assert "is £60.00 on the statement of account and £58.50 as handed in" in said[3]
    assert "£20.00 a litre, the last 3 invoices ask £15.00: 25.0 % less than the list" in said[4]
    assert "its last 50 mm open another length of drip trim beyond 2" in said[5]
