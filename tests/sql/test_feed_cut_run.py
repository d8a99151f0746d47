from tests.support.drawn import assert_drawn

EDGES = """
    job_ref  | edge_no | material  | kind    | quoted_run_mm | fitted_run_mm
    ---------+---------+-----------+---------+---------------+--------------
    2025-001 | 1       | drip trim | trim    | 4000          | 4100
    2025-001 | 2       | drip trim | trim    | 2000          |
    2025-002 | 1       | drip trim | trim    | 1000          |
    2025-002 | 1       | batten    | batten  | 1000          | 1000
    2025-002 | 1       | fall      | firring | 1000          | 1000
"""
MATERIALS = """
    material  | stock_length_mm | lap_mm | kerf_mm | keep_from_mm | least_piece_mm
    ----------+-----------------+--------+---------+--------------+---------------
    drip trim | 3000            | 50     | 2       | 600          | 200
    batten    | 4800            |        |         |              |
    fall      | 3000            |        |         |              |
"""


def test_each_stage_has_its_runs_unless_none_is_known(relation):
    runs = relation(
        "feed.cut_run",
        cutting="""
            joint_rule  | joint_price_mm
            ------------+---------------
            forced_only | 0
        """,
        materials=MATERIALS,
        edge_run=EDGES,
        net_quantity="""
            job_ref  | material | kind   | quoted_net_quantity | fitted_net_quantity
            ---------+----------+--------+---------------------+--------------------
            2025-002 | batten   | batten | 1.000               | 1.000
            2025-003 | batten   | batten | 12.345              |
            2025-003 | fall     | firring | 3.000              | 3.000
        """,
    )

    assert_drawn(
        runs,
        """
        job_ref  | material  | stage  | edge_no | run_mm | stock_length_mm | lap_mm | kerf_mm | keep_from_mm | least_piece_mm
        ---------+-----------+--------+---------+--------+-----------------+--------+---------+--------------+---------------
        2025-001 | drip trim | fitted | 1       | 4100   | 3000            | 50     | 2       | 600          | 200
        2025-001 | drip trim | fitted | 2       |        | 3000            | 50     | 2       | 600          | 200
        2025-001 | drip trim | quoted | 1       | 4000   | 3000            | 50     | 2       | 600          | 200
        2025-001 | drip trim | quoted | 2       | 2000   | 3000            | 50     | 2       | 600          | 200
        2025-002 | batten    | fitted | 1       | 1000   | 4800            | 0      | 0       | 4801         | 0
        2025-002 | batten    | quoted | 1       | 1000   | 4800            | 0      | 0       | 4801         | 0
        2025-002 | drip trim | quoted | 1       | 1000   | 3000            | 50     | 2       | 600          | 200
        2025-003 | batten    | quoted | 0       | 12345  | 4800            | 0      | 0       | 4801         | 0
        """,
    )


def test_the_firm_says_where_trims_are_joined_and_battens_meet_anywhere(relation):
    runs = relation(
        "feed.cut_run",
        cutting="""
            joint_rule | joint_price_mm
            -----------+---------------
            priced     | 120
        """,
        materials=MATERIALS,
        edge_run=EDGES,
    ).select("material", "kind", "joint_rule", "joint_price_mm")

    assert_drawn(
        runs.unique(),
        """
        material  | kind   | joint_rule | joint_price_mm
        ----------+--------+------------+---------------
        batten    | batten | priced     | 0
        drip trim | trim   | priced     | 120
        """,
    )
