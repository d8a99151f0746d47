from tests.support.drawn import assert_drawn


def test_in_force_beside_what_is_offered_and_the_day_of_the_run(relation):
    rows = relation(
        "page.decision",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
        """,
        allowance_in_force="""
            material | job_type | how       | in_force_from | fixed_loss | price_ratio | load_ratio
            ---------+----------+-----------+---------------+------------+-------------+-----------
            resin    | garage   | decided   | 2026-01-05    | 1          | 0.1         | 0.2
            resin    | porch    | as quoted |               | 0          | 0.3         | 0.3
        """,
        proposal="""
            material | job_type | suggested_fixed_loss | suggested_price_ratio | suggested_load_ratio | is_offered | why_not | sentence
            ---------+----------+----------------------+-----------------------+----------------------+------------+---------+---------
            resin    | garage   | 1.5                  | 0.12                  | 0.25                 | true       |         | used more
            resin    | dormer   | 9                    | 0.9                   | 0.9                  | false      | too few |
        """,
    )

    assert_drawn(
        rows,
        """
        job_type | decided_on | how       | in_force_load_ratio | suggested_fixed_loss | suggested_load_ratio | sentence
        ---------+------------+-----------+---------------------+----------------------+----------------------+----------
        garage   | 2026-06-01 | decided   | 0.2                 | 1.5                  | 0.25                 | used more
        porch    | 2026-06-01 | as quoted | 0.3                 |                      |                      |
        dormer   | 2026-06-01 |           |                     |                      |                      | too few
        """,
    )


def test_the_base_of_what_is_cut_and_its_pieces_stand_beside_the_figures(relation):
    rows = relation(
        "page.decision",
        materials="""
            material | base_unit
            ---------+----------
            batten   | m
        """,
        allowance_in_force="""
            material | job_type | how     | fixed_loss | price_ratio | load_ratio | blend_ratio | piece_shift
            ---------+----------+---------+------------+-------------+------------+-------------+------------
            batten   | garage   | decided | 1          | 0.1         | 0.2        | 0.15        | 0.5
        """,
        proposal="""
            material | job_type | suggested_blend_ratio | suggested_piece_shift | is_offered
            ---------+----------+-----------------------+-----------------------+-----------
            batten   | garage   | 0.3                   | 0.8                   | true
            batten   | dormer   | 0.3                   | 0.8                   | false
        """,
    )

    assert_drawn(
        rows,
        """
        job_type | in_force_blend_ratio | in_force_piece_shift | suggested_blend_ratio | suggested_piece_shift
        ---------+----------------------+----------------------+-----------------------+----------------------
        garage   | 0.15                 | 0.5                  | 0.3                   | 0.8
        dormer   |                      |                      |                       |
        """,
    )
