from tests.support.drawn import assert_drawn


def test_whole_packs_is_the_habit_only_where_every_issue_says_so(relation):
    habits = relation(
        "feed.issue_habit",
        stock_move="""
            material | flow      | how
            ---------+-----------+------------
            nails    | issued    | whole packs
            nails    | returned  | weighed
            resin    | issued    | whole packs
            resin    | issued    | weighed
            trim     | issued    | whole packs
            trim     | from rack |
            glue     | bought    |
        """,
    )

    assert_drawn(
        habits,
        """
        material | is_whole_packs
        ---------+---------------
        nails    | true
        resin    | false
        trim     | false
        """,
    )
