from tests.support.drawn import assert_drawn


def test_an_edge_counts_once_and_an_unmeasured_ring_is_as_quoted_or_its_longest(relation):
    edges = relation(
        "feed.roof_edge",
        jobs="""
            job_ref  | as_drawn | quoted_area_m2 | area_m2
            ---------+----------+----------------+--------
            2025-001 |          | 12             | 12.03
            2025-002 | yes      | 2              |
            2025-003 |          | 8              | 8.4
            2025-004 |          | 8              | 9
            2025-005 |          |                |
        """,
        edges="""
            job_ref  | edge_no | material    | quoted_mm | fitted_mm | upstand_mm
            ---------+---------+-------------+-----------+-----------+-----------
            2025-001 | 1       | drip trim   | 4000      | 4010      |
            2025-001 | 1       | batten      | 4000      |           |
            2025-001 | 2       | wall fillet | 3000      |           | 150
            2025-002 | 1       | drip trim   | 2000      |           |
            2025-003 | 1       | drip trim   | 4000      |           |
            2025-003 | 2       | drip trim   | 2000      |           |
            2025-004 | 1       | drip trim   | 2000      |           |
            2025-004 | 2       | drip trim   | 4000      |           |
            2025-004 | 3       | drip trim   | 4000      |           |
            2025-005 | 1       | drip trim   | 1000      |           |
        """,
    )

    assert_drawn(
        edges.filter(stage="fitted"),
        """
        job_ref  | edge_no | edge_mm | upstand_mm
        ---------+---------+---------+-----------
        2025-001 | 1       | 4010    |
        2025-001 | 2       | 3000    | 150
        2025-002 | 1       | 2000    |
        2025-003 | 1       | 4000    |
        2025-003 | 2       | 2000    |
        2025-004 | 2       | 4000    |
        2025-005 | 1       | 1000    |
        """,
    )
    assert edges.filter(stage="quoted").height == 9
