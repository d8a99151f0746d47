from tests.support.drawn import assert_drawn

MATERIALS = """
    material | kind     | base_unit | coverage_per_m2 | coverage_basis
    ---------+----------+-----------+-----------------+---------------
    resin    | resin    | kg        |                 |
    topcoat  | topcoat  | kg        | 0.5             | net
    mat 450  | mat      | m2        |                 |
    board    | board    | m2        |                 |
    nails    | fixing   | each      |                 |
    catalyst | catalyst | kg        |                 |
    drip     | trim     | m         |                 |
"""
NAMED = """
    job_ref  | material | kind     | base_unit | layer_count | is_alone
    ---------+----------+----------+-----------+-------------+---------
    2025-001 | resin    | resin    | kg        |             | true
    2025-001 | topcoat  | topcoat  | kg        |             | true
    2025-001 | mat 450  | mat      | m2        | 2           | true
    2025-001 | board    | board    | m2        |             | true
    2025-001 | nails    | fixing   | each      |             | true
    2025-001 | catalyst | catalyst | kg        |             | true
    2025-001 | drip     | trim     | m         |             | true
"""
LAY_UP = """
    lay_up     | resin_kg_per_m2
    -----------+----------------
    450 double | 2.1
"""
NEED = """
    material | per_m2 | per_m | per_kg
    ---------+--------+-------+-------
    nails    | 4      | 7     |
    catalyst |        |       | 0.02
"""


def test_need_is_derived_from_area_lay_up_coverage_edges_and_rules(relation):
    net = relation(
        "usage.net_quantity",
        materials=MATERIALS,
        job_material=NAMED,
        lay_up=LAY_UP,
        need=NEED,
        jobs="""
            job_ref  | work  | lay_up     | quoted_area_m2 | area_m2
            ---------+-------+------------+----------------+--------
            2025-001 | strip | 450 double | 10             | 12
        """,
        trim_need="""
            job_ref  | material | quoted_net_quantity | fitted_net_quantity
            ---------+----------+---------------------+--------------------
            2025-001 | drip     | 8                   |
        """,
        trimmed_edge="""
            job_ref  | quoted_trimmed_m | fitted_trimmed_m
            ---------+------------------+-----------------
            2025-001 | 9                |
        """,
    )

    # resin 10 x 2.1; mat 10 x 2 layers; nails 10 x 4 + 9 x 7 = 103, fitted edge not known;
    # catalyst 0.02 x (21 + 5) = 0.52, fitted 0.02 x (25.2 + 6) = 0.624
    assert_drawn(
        net,
        """
        material | quoted_net_quantity | fitted_net_quantity | quoted_how | fitted_how
        ---------+---------------------+---------------------+------------+-----------
        board    | 10                  | 12                  | derived    | derived
        catalyst | 0.52                | 0.624               | derived    | derived
        drip     | 8                   |                     | derived    |
        mat 450  | 20                  | 24                  | derived    | derived
        nails    | 103                 |                     | derived    |
        resin    | 21                  | 25.2                | derived    | derived
        topcoat  | 5                   | 6                   | derived    | derived
        """,
    )


def test_typed_figures_win_and_board_is_bare_need_of_a_new_deck_only(relation):
    net = relation(
        "usage.net_quantity",
        materials=MATERIALS,
        job_material=NAMED,
        lay_up=LAY_UP,
        need=NEED,
        jobs="""
            job_ref  | work    | lay_up     | quoted_area_m2 | area_m2
            ---------+---------+------------+----------------+--------
            2025-001 | overlay | 450 double |                | 12
        """,
        job_quantity="""
            job_ref  | material | quoted_net_quantity | fitted_net_quantity
            ---------+----------+---------------------+--------------------
            2025-001 | resin    | 19                  |
            2025-001 | topcoat  |                     | 7
        """,
    )

    # catalyst, fitted: 0.02 x (25.2 + 7) = 0.644; quoted: the topcoat is not known
    assert_drawn(
        net,
        """
        material | quoted_net_quantity | fitted_net_quantity | quoted_how | fitted_how
        ---------+---------------------+---------------------+------------+-----------
        board    |                     |                     |            |
        catalyst |                     | 0.644               |            | derived
        drip     |                     |                     |            |
        mat 450  |                     | 24                  |            | derived
        nails    |                     |                     |            |
        resin    | 19                  | 25.2                | typed      | derived
        topcoat  |                     | 7                   |            | typed
        """,
    )


def test_a_gross_coverage_and_two_of_a_kind_give_no_need(relation):
    net = relation(
        "usage.net_quantity",
        materials="""
            material     | kind    | base_unit | coverage_per_m2 | coverage_basis
            -------------+---------+-----------+-----------------+---------------
            topcoat grey | topcoat | kg        | 0.6             | gross
            winter resin | resin   | kg        |                 |
        """,
        job_material="""
            job_ref  | material     | kind    | base_unit | is_alone
            ---------+--------------+---------+-----------+---------
            2025-001 | topcoat grey | topcoat | kg        | true
            2025-001 | winter resin | resin   | kg        | false
        """,
        lay_up=LAY_UP,
        jobs="""
            job_ref  | lay_up     | quoted_area_m2 | area_m2
            ---------+------------+----------------+--------
            2025-001 | 450 double | 10             | 10
        """,
    )

    assert_drawn(
        net,
        """
        material     | quoted_net_quantity | fitted_net_quantity
        -------------+---------------------+--------------------
        topcoat grey |                     |
        winter resin |                     |
        """,
    )


def test_a_need_that_only_the_quote_typed_holds_where_the_roof_was_as_drawn(relation):
    net = relation(
        "usage.net_quantity",
        materials="""
            material | kind   | base_unit
            ---------+--------+----------
            batten   | batten | m
        """,
        job_material="""
            job_ref  | material | kind   | base_unit | is_alone
            ---------+----------+--------+-----------+---------
            2025-001 | batten   | batten | m         | true
            2025-002 | batten   | batten | m         | true
            2025-003 | batten   | batten | m         | true
        """,
        jobs="""
            job_ref  | as_drawn | area_m2
            ---------+----------+--------
            2025-001 | yes      | 10
            2025-002 | no       | 10
            2025-003 |          | 10
        """,
        job_quantity="""
            job_ref  | material | quoted_net_quantity
            ---------+----------+--------------------
            2025-001 | batten   | 14.4
            2025-002 | batten   | 14.4
            2025-003 | batten   | 14.4
        """,
    )

    assert_drawn(
        net,
        """
        job_ref  | quoted_net_quantity | fitted_net_quantity | fitted_how
        ---------+---------------------+---------------------+-----------
        2025-001 | 14.4                | 14.4                | derived
        2025-002 | 14.4                |                     |
        2025-003 | 14.4                |                     |
        """,
    )
