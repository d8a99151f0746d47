from tests.support.drawn import assert_drawn


def test_what_was_found_lately_or_is_not_acted_on_yet(relation):
    found = relation(
        "page.drift",
        drift="""
            material | state | direction | since_month | signal_on
            ---------+-------+-----------+-------------+-----------
            resin    | act   | up        | 2025-09-01  | 2025-10-09
            resin    | look  | down      | 2026-01-01  | 2026-02-27
            mat 450  | act   | up        | 2026-01-01  | 2026-03-01
        """,
    )

    assert_drawn(
        found,
        """
        material | since_month | is_rising | is_acted_on | is_lately
        ---------+-------------+-----------+-------------+----------
        mat 450  | 2026-01-01  | true      | true        | true
        resin    | 2026-01-01  | false     | false       | true
        resin    | 2025-09-01  | true      | true        | false
        """,
    )
    assert found["is_lately"].to_list() == [True, True, False]
