from tests.support.drawn import assert_drawn


def test_an_edge_with_two_trims_counts_once_and_a_batten_not_at_all(relation):
    edge = relation(
        "usage.trimmed_edge",
        edge_run="""
            job_ref  | edge_no | material  | kind   | quoted_edge_mm | fitted_edge_mm
            ---------+---------+-----------+--------+----------------+---------------
            2025-001 | 1       | drip trim | trim   | 4000           | 4100
            2025-001 | 1       | wall trim | trim   | 4000           | 4100
            2025-001 | 2       | drip trim | trim   | 2500           | 2500
            2025-001 | 3       | batten    | batten | 2500           | 2500
            2025-002 | 1       | drip trim | trim   | 2500           |
        """,
    )

    assert_drawn(
        edge,
        """
        job_ref  | quoted_trimmed_m | fitted_trimmed_m
        ---------+------------------+-----------------
        2025-001 | 6.5              | 6.6
        2025-002 | 2.5              |
        """,
    )
