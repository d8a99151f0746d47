from tests.support.drawn import assert_drawn


def test_edges_up_to_100_mm_above_whole_lengths_with_every_lap_whole(relation):
    edges = relation(
        "comparison.edge_just_over",
        materials="""
            material   | stock_length_mm | lap_mm
            -----------+-----------------+-------
            drip trim  | 3000            | 50
            butt trim  | 2500            | 0
        """,
        jobs="""
            job_ref  | status    | valid_until
            ---------+-----------+------------
            2026-058 | quoted    | 2026-06-30
            2026-059 | booked    | 2026-05-01
            2026-060 | completed |
            2026-061 | quoted    | 2026-05-31
        """,
        price_in_force="""
            material  | price_gbp
            ----------+----------
            drip trim | 3.20
        """,
        edge_run="""
            job_ref  | edge_no | material  | kind   | quoted_edge_mm | quoted_run_mm
            ---------+---------+-----------+--------+----------------+--------------
            2026-058 | 1       | drip trim | trim   | 6000           | 6000
            2026-058 | 2       | drip trim | trim   | 6150           | 5950
            2026-058 | 3       | drip trim | trim   | 6050           | 6050
            2026-058 | 4       | drip trim | trim   | 6051           | 6051
            2026-058 | 5       | drip trim | trim   | 60             | 60
            2026-058 | 6       | butt trim | trim   | 5001           | 5001
            2026-059 | 1       | drip trim | trim   | 3001           | 3001
            2026-060 | 1       | drip trim | trim   | 6000           | 6000
            2026-061 | 1       | drip trim | trim   | 6000           | 6000
            2026-058 | 7       | drip trim | batten | 6000           | 6000
        """,
    )

    # with a lap of 50 one length reaches 3000, two 5950, three 8900: 6000 is 50 over, 5950 none;
    # a length costs 3 x 3.20
    assert_drawn(
        edges,
        """
        job_ref  | edge_no | material  | lengths_count | over_mm | length_gbp
        ---------+---------+-----------+---------------+---------+-----------
        2026-058 | 1       | drip trim | 2             | 50      | 9.60
        2026-058 | 3       | drip trim | 2             | 100     | 9.60
        2026-058 | 6       | butt trim | 2             | 1       |
        2026-059 | 1       | drip trim | 1             | 1       | 9.60
        """,
    )
