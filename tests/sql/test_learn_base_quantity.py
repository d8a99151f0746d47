from tests.support.drawn import assert_drawn


def test_resin_has_laps_bandage_and_soak_on_top_of_its_laminate(relation):
    base = relation(
        "learn.base_quantity",
        net_quantity="""
            job_ref  | material | kind    | base_unit | quoted_net_quantity | fitted_net_quantity
            ---------+----------+---------+-----------+---------------------+--------------------
            2025-001 | resin    | resin   | kg        | 10.5                | 21
            2025-001 | mat 450  | mat     | m2        | 10                  | 20
            2025-001 | bandage  | bandage | m         | 8                   |
        """,
        job_material="""
            job_ref  | material | kind    | layer_count | is_alone
            ---------+----------+---------+-------------+---------
            2025-001 | resin    | resin   |             | true
            2025-001 | mat 450  | mat     | 1           | true
            2025-001 | bandage  | bandage |             | true
        """,
        jobs="""
            job_ref  | work     | lay_up     | quoted_area_m2 | area_m2
            ---------+----------+------------+----------------+--------
            2025-001 | new deck | 450 single | 10             | 20
        """,
        materials="""
            material | kind    | width_mm | lap_mm | g_per_m2
            ---------+---------+----------+--------+---------
            mat 450  | mat     | 1000     | 50     | 450
            bandage  | bandage | 75       |        | 450
        """,
        lay_up="""
            lay_up     | glass_ratio | resin_kg_per_m2
            -----------+-------------+----------------
            450 single | 0.3         | 1.05
        """,
        lay_up_mat="""
            lay_up     | mat_g_per_m2 | layer_count
            -----------+--------------+------------
            450 single | 450          | 1
        """,
        soak="""
            work     | soak_kg_per_m2
            ---------+---------------
            new deck | 0.2
        """,
    )

    # quoted 10.5 x (1 + 50/950) + 8 x 0.075 x 0.45 x 0.7/0.3 + 10 x 0.2 = 11.0526 + 0.63 + 2
    # fitted 21 x (1 + 50/950) + 0.63 + 20 x 0.2 = 22.1053 + 0.63 + 4, its bandage as quoted
    assert_drawn(
        base,
        """
        material | stage  | net_quantity | base_quantity
        ---------+--------+--------------+--------------
        bandage  | fitted |              |
        bandage  | quoted | 8            | 8
        mat 450  | fitted | 20           | 20
        mat 450  | quoted | 10           | 10
        resin    | fitted | 21           | 26.735
        resin    | quoted | 10.5         | 13.683
        """,
    )


def test_laps_of_two_mats_count_by_their_glass(relation):
    base = relation(
        "learn.base_quantity",
        net_quantity="""
            job_ref  | material | kind  | base_unit | quoted_net_quantity
            ---------+----------+-------+-----------+--------------------
            2025-001 | resin    | resin | kg        | 100
        """,
        job_material="""
            job_ref  | material | kind  | layer_count | is_alone
            ---------+----------+-------+-------------+---------
            2025-001 | resin    | resin |             | true
            2025-001 | mat 600  | mat   | 1           | true
            2025-001 | mat 300  | mat   | 1           | true
        """,
        jobs="""
            job_ref  | lay_up
            ---------+-------
            2025-001 | mixed
        """,
        materials="""
            material | kind | width_mm | lap_mm | g_per_m2
            ---------+------+----------+--------+---------
            mat 600  | mat  | 550      | 50     | 600
            mat 300  | mat  |          | 50     | 300
        """,
        lay_up_mat="""
            lay_up | mat_g_per_m2 | layer_count
            -------+--------------+------------
            mixed  | 600          | 1
            mixed  | 300          | 1
        """,
    )

    # of 900 g/m2, 600 are lapped by 50/500: 60/900; the other mat's width is not given
    assert_drawn(
        base,
        """
        material | stage  | base_quantity
        ---------+--------+--------------
        resin    | fitted |
        resin    | quoted | 106.667
        """,
    )


def test_what_is_cut_takes_the_best_plan_and_a_resin_beside_another_has_no_base(relation):
    base = relation(
        "learn.base_quantity",
        net_quantity="""
            job_ref  | material | kind        | base_unit | quoted_net_quantity | fitted_net_quantity
            ---------+----------+-------------+-----------+---------------------+--------------------
            2025-001 | drip     | trim        | m         | 8                   | 8.2
            2025-001 | corner   | corner piece | each     | 2                   | 2
            2025-001 | batten   | batten      | m         | 8                   | 8.2
            2025-001 | deck     | board       | m2        | 10                  |
            2025-001 | resin    | resin       | kg        | 10                  | 10
        """,
        job_material="""
            job_ref  | material | kind  | is_alone
            ---------+----------+-------+---------
            2025-001 | resin    | resin | false
        """,
        jobs="""
            job_ref  | area_m2
            ---------+--------
            2025-001 | 10
        """,
        cut_job="""
            job_ref  | material | stage  | plan      | used_up_quantity
            ---------+----------+--------+-----------+-----------------
            2025-001 | drip     | quoted | best      | 9
            2025-001 | drip     | quoted | no re-use | 12
            2025-001 | batten   | quoted | best      | 9.6
            2025-001 | batten   | fitted | best      | 14.4
            2025-001 | deck     | quoted | best      | 11.52
        """,
    )

    assert_drawn(
        base,
        """
        material | stage  | base_quantity
        ---------+--------+--------------
        batten   | fitted | 14.4
        batten   | quoted | 9.6
        corner   | fitted | 2
        corner   | quoted | 2
        deck     | fitted |
        deck     | quoted | 11.52
        drip     | fitted |
        drip     | quoted | 9
        resin    | fitted |
        resin    | quoted |
        """,
    )


def test_what_is_cut_has_its_two_plans_beside_the_base_and_the_rest_its_base_twice(relation):
    base = relation(
        "learn.base_quantity",
        net_quantity="""
            job_ref  | material | kind         | base_unit | quoted_net_quantity
            ---------+----------+--------------+-----------+--------------------
            2025-001 | drip     | trim         | m         | 5.8
            2025-001 | mat 450  | mat          | m2        | 10
            2025-001 | corner   | corner piece | each      | 2
        """,
        cut_job="""
            job_ref  | material | stage  | plan      | kind | used_up_quantity
            ---------+----------+--------+-----------+------+-----------------
            2025-001 | drip     | quoted | best      | trim | 6.5
            2025-001 | drip     | quoted | no re-use | trim | 9
            2025-001 | mat 450  | quoted | best      | mat  | 11.2
            2025-001 | mat 450  | quoted | no re-use | mat  | 11.9
        """,
    ).filter(stage="quoted")

    assert_drawn(
        base,
        """
        material | net_quantity | base_quantity | best_quantity | no_reuse_quantity
        ---------+--------------+---------------+---------------+------------------
        drip     | 5.8          | 6.5           | 6.5           | 9
        mat 450  | 10           | 10            | 11.2          | 11.9
        corner   | 2            | 2             | 2             | 2
        """,
    )
