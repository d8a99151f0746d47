from tests.support.drawn import assert_drawn


def test_what_is_beyond_counting_stands_in_packs_the_newest_first(relation):
    found = relation(
        "page.count_test",
        materials="""
            material | kind  | base_unit
            ---------+-------+----------
            resin    | resin | kg
            trim     | trim  | m
            glue     | adhesive | ml
        """,
        supplier_asked="""
            material | pack_size
            ---------+----------
            resin    | 20
            trim     | 3
        """,
        count_test="""
            material | base_unit | from_on    | to_on      | difference_quantity | difference_gbp | is_beyond | signature             | because
            ---------+-----------+------------+------------+---------------------+----------------+-----------+-----------------------+--------
            resin    | kg        | 2026-01-31 | 2026-02-28 | 40.7                | 135.33         | true      | lasting loss          | It stays away.
            trim     | m         | 2026-02-28 | 2026-03-31 | -36                 | -151.20        | true      | missing delivery note | It was ordered.
            glue     | ml        | 2026-02-28 | 2026-03-31 | 620                 |                | true      | cannot say            | We cannot say.
            resin    | kg        | 2026-02-28 | 2026-03-31 | 3                   | 9.00           | false     |                       |
            trim     | m         | 2025-04-30 | 2025-05-31 | 9                   | 28.20          | true      | lasting loss          | It stays away.
        """,
    )

    # 40.7 kg are 2.035 tins of 20 kg, 36 m are 12 lengths; nobody knows a pack of glue
    assert_drawn(
        found,
        """
        material | kind     | to_on      | difference_quantity | pack_count | signature             | is_lately
        ---------+----------+------------+---------------------+------------+-----------------------+----------
        trim     | trim     | 2026-03-31 | -36                 | 12         | missing delivery note | true
        glue     | adhesive | 2026-03-31 | 620                 |            | cannot say            | true
        resin    | resin    | 2026-02-28 | 40.7                | 2.035      | lasting loss          | false
        """,
    )
