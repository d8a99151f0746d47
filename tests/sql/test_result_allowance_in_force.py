from tests.support.drawn import assert_drawn

TYPES = """
    job_type
    --------
    garage
    dormer
"""
ITEMS = """
    material | base_unit
    ---------+----------
    resin    | kg
    nails    | each
"""
JOBS = """
    job_ref  | job_type | quoted_on  | completed_on
    ---------+----------+------------+-------------
    2025-001 | garage   | 2025-06-01 |
    2025-002 | garage   | 2026-06-01 |
    2025-003 | garage   | 2024-05-31 |
    2025-004 | garage   | 2026-06-02 |
    2025-005 | garage   |            | 2026-01-05
    2025-006 | garage   | 2026-01-05 |
"""
ALLOWED = """
    job_ref  | material | allowed_quantity
    ---------+----------+-----------------
    2025-001 | resin    | 11
    2025-002 | resin    | 23
    2025-003 | resin    | 99
    2025-004 | resin    | 99
    2025-005 | resin    | 33.3
    2025-006 | resin    | 99
"""
BASE = """
    job_ref  | material | stage  | base_quantity
    ---------+----------+--------+--------------
    2025-001 | resin    | quoted | 10
    2025-001 | resin    | fitted | 50
    2025-002 | resin    | quoted | 20
    2025-003 | resin    | quoted | 10
    2025-004 | resin    | quoted | 10
    2025-005 | resin    | quoted |
    2025-005 | resin    | fitted | 30
    2025-006 | resin    | quoted |
"""


def in_force(relation, decisions):
    return relation(
        "result.allowance_in_force",
        job_type=TYPES,
        materials=ITEMS,
        jobs=JOBS,
        allowed=ALLOWED,
        base_quantity=BASE,
        decisions=decisions,
    )


def decided(*lines):
    head = "material | job_type | decided_on | fixed_loss | price_ratio | load_ratio | reason\n--\n"
    return head + "\n".join(lines)


def test_before_a_decision_it_is_what_the_quotes_of_24_months_allowed(relation):
    standing = in_force(relation, decided())

    # (11 + 23 + 33.3) / (10 + 20 + 30) - 1 = 0.121667; too old, after the day, without a base: out
    # no quote speaks of a dormer: all quotes do; nor of nails: no row
    assert_drawn(
        standing,
        """
        material | job_type | base_unit | in_force_from | how       | fixed_loss | price_ratio | load_ratio
        ---------+----------+-----------+---------------+-----------+------------+-------------+-----------
        resin    | garage   | kg        |               | as quoted | 0          | 0.121667    | 0.121667
        resin    | dormer   | kg        |               | as quoted | 0          | 0.121667    | 0.121667
        """,
    )


def test_a_decision_stands_from_its_day_with_its_own_figures(relation):
    standing = in_force(
        relation,
        decided(
            "resin | garage | 2026-06-01 | 1.2 | 0.1  | 0.2 | a wet spring",
            "resin | dormer | 2026-06-02 | 9   | 0.9  | 0.9 | not yet",
            "nails | garage | 2026-01-05 | 5   | 0.05 | 0.1 |",
        ),
    )

    assert_drawn(
        standing,
        """
        material | job_type | in_force_from | how       | fixed_loss | price_ratio | load_ratio | reason
        ---------+----------+---------------+-----------+------------+-------------+------------+-------------
        resin    | garage   | 2026-06-01    | decided   | 1.2        | 0.1         | 0.2        | a wet spring
        resin    | dormer   |               | as quoted | 0          | 0.121667    | 0.121667   |
        nails    | garage   | 2026-01-05    | decided   | 5          | 0.05        | 0.1        |
        """,
    )


def test_the_newest_day_wins_and_on_one_day_the_type_s_own(relation):
    standing = in_force(
        relation,
        decided(
            "resin | garage | 2026-01-05 | 1 | 0.1 | 0.1 | own, older",
            "resin | all    | 2026-02-02 | 2 | 0.2 | 0.2 | all, newer",
            "resin | dormer | 2026-02-02 | 3 | 0.3 | 0.3 | own, same day",
        ),
    )

    assert_drawn(
        standing,
        """
        job_type | fixed_loss | reason
        ---------+------------+--------------
        garage   | 2          | all, newer
        dormer   | 3          | own, same day
        """,
    )


def test_a_decision_carries_the_base_and_the_pieces_that_it_stands_on(relation):
    standing = in_force(
        relation,
        """
        material | job_type | decided_on | fixed_loss | price_ratio | load_ratio | blend_ratio | piece_shift
        ---------+----------+------------+------------+-------------+------------+-------------+------------
        resin    | garage   | 2026-05-01 | 1          | 0.1         | 0.2        | 0.3         | 0.5
        """,
    )

    assert_drawn(
        standing,
        """
        job_type | how       | blend_ratio | piece_shift
        ---------+-----------+-------------+------------
        garage   | decided   | 0.3         | 0.5
        dormer   | as quoted |             |
        """,
    )
