from tests.support.drawn import assert_drawn


def test_a_wording_is_listed_once_with_what_its_lines_cost(relation):
    unknown = relation(
        "page.unknown_description",
        reject="""
            receipt_no | sheet | row_no | record    | column_name | reason                    | mended_by_receipt_no | columns_text
            -----------+-------+--------+-----------+-------------+---------------------------+----------------------+-------------
            1          |       | 2      | purchases | description | is not known yet, and ... |                      | {"supplier":"Mossgate","description":"Tin 20 kg","line_net_gbp":"1,200.50","document_on":"2026-05-01"}
            1          |       | 3      | purchases | description | is not known yet, and ... |                      | {"supplier":"mossgate","description":"tin  20 KG","line_net_gbp":"£100","document_on":"2026-05-03"}
            1          |       | 4      | purchases | description | is not known yet, and ... |                      | {"supplier":"Mossgate","description":"Brush","line_net_gbp":"(3)","document_on":"May"}
            1          |       | 5      | purchases | description | is not known yet, and ... | 2                    | {"supplier":"Mossgate","description":"Mended","line_net_gbp":"5"}
            1          |       | 6      | purchases | description | is blank                  |                      | {"supplier":"Mossgate","description":"Other fault","line_net_gbp":"5"}
            1          |       | 7      | purchases | packs       | is not known yet, and ... |                      | {"supplier":"Mossgate","description":"Other column","line_net_gbp":"5"}
        """,
    )

    # 1,200.50 + 100.00 = 1,300.50; (3) is not plain, so it is left out of the sum
    assert_drawn(
        unknown,
        """
        supplier | description | line_count | net_gbp | last_on
        ---------+-------------+------------+---------+-----------
        Mossgate | Tin 20 kg   | 2          | 1300.50 | 2026-05-03
        Mossgate | Brush       | 1          | 0.00    |
        """,
    )
