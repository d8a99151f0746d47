from tests.support.drawn import assert_drawn

USE = """
    material | job_ref  | job_type | completed_on | base_quantity
    ---------+----------+----------+--------------+--------------
    resin    | 2025-001 | garage   | 2025-03-31   | 10
    resin    | 2025-002 | garage   | 2025-04-01   | 10
    resin    | 2025-003 | dormer   | 2025-04-30   | 20
    resin    | 2025-004 | garage   | 2025-06-02   | 10
    resin    | 2025-005 | dormer   | 2025-06-02   | 20
    resin    | 2025-006 | bay      | 2025-03-02   | 20
    nails    | 2025-001 | garage   | 2025-03-31   | 10
"""
ALLOWED = """
    job_ref  | material | allowed_quantity
    ---------+----------+-----------------
    2025-001 | resin    | 15.5
    2025-002 | resin    | 15.5
    2025-003 | resin    | 31
    2025-004 | resin    | 15.5
"""


def test_a_decision_counts_from_the_month_after_it_before_it_the_quote(relation):
    then = relation(
        "learn.allowed_then",
        use_line=USE,
        allowed=ALLOWED,
        decisions="""
            material | job_type | decided_on | fixed_loss | price_ratio | load_ratio
            ---------+----------+------------+------------+-------------+-----------
            resin    | all      | 2025-03-31 | 1          | 0.1         | 0.2
            resin    | dormer   | 2025-03-31 | 2          | 0.1         | 0.3
            resin    | garage   | 2025-04-10 | 0.5        | 0.2         | 0.4
            resin    | all      | 2025-05-31 | 0          | 0           | 0.1
        """,
    )

    # 001 was finished in the month of the decision; 003: on one day the type's own comes first;
    # 004 and 005: the newest, though it is for all; 006 and the nails have neither
    assert_drawn(
        then,
        """
        material | job_ref  | how       | charged_quantity | loaded_quantity
        ---------+----------+-----------+------------------+----------------
        resin    | 2025-001 | as quoted | 15.5             | 15.5
        resin    | 2025-002 | decided   | 12               | 13
        resin    | 2025-003 | decided   | 24               | 28
        resin    | 2025-004 | decided   | 10               | 11
        resin    | 2025-005 | decided   | 20               | 22
        """,
    )
