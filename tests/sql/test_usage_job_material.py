from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | work     | lay_up
    ---------+----------+-----------
    2025-001 | new deck | 450 single
    2025-002 | overlay  | 450 single
"""
LAY_UP = """
    lay_up     | mat_g_per_m2 | layer_count
    -----------+--------------+------------
    450 single | 450          | 2
"""


def test_the_only_material_of_a_kind_is_taken_where_the_job_names_none(relation):
    named = relation(
        "usage.job_material",
        jobs=JOBS,
        lay_up_mat=LAY_UP,
        materials="""
            material     | kind     | base_unit | g_per_m2
            -------------+----------+-----------+---------
            resin        | resin    | kg        |
            topcoat grey | topcoat  | kg        |
            topcoat blue | topcoat  | kg        |
            mat 450      | mat      | m2        | 450
            mat 300      | mat      | m2        | 300
            board        | board    | m2        |
            nails        | fixing   | each      |
            screws       | fixing   | each      |
        """,
        job_materials="""
            job_ref  | material     | entry
            ---------+--------------+------
            2025-002 | topcoat blue | 1
        """,
        need="""
            material | per_m
            ---------+------
            nails    | 7
        """,
    )

    # the overlay has no board; of two topcoats the job's own stands, else none
    assert_drawn(
        named,
        """
        job_ref  | material     | layer_count | is_alone
        ---------+--------------+-------------+---------
        2025-001 | board        |             | true
        2025-001 | mat 450      | 2           | true
        2025-001 | nails        |             | true
        2025-001 | resin        |             | true
        2025-002 | mat 450      | 2           | true
        2025-002 | nails        |             | true
        2025-002 | resin        |             | true
        2025-002 | topcoat blue |             | true
        """,
    )


def test_two_resins_on_a_job_are_not_alone(relation):
    named = relation(
        "usage.job_material",
        jobs=JOBS,
        materials="""
            material     | kind  | base_unit
            -------------+-------+----------
            winter resin | resin | kg
            summer resin | resin | kg
        """,
        job_materials="""
            job_ref  | material     | entry
            ---------+--------------+------
            2025-001 | winter resin | 1
            2025-001 | summer resin | 1
        """,
    )

    assert_drawn(
        named,
        """
        job_ref  | material     | is_alone
        ---------+--------------+---------
        2025-001 | summer resin | false
        2025-001 | winter resin | false
        """,
    )


def test_a_primer_is_on_the_jobs_that_name_it_unless_a_rule_by_size_puts_it_on_all(relation):
    drawn = {
        "jobs": JOBS,
        "materials": """
            material | kind   | base_unit | coverage_per_m2 | coverage_basis
            ---------+--------+-----------+-----------------+---------------
            primer   | primer | kg        | 0.15            | net
        """,
        "job_materials": """
            job_ref  | material | entry
            ---------+----------+------
            2025-002 | primer   | 1
        """,
    }
    share = """
        material | ratio_on_net
        ---------+-------------
        primer   | 0.20
    """
    by_size = """
        material | per_m2
        ---------+-------
        primer   | 0.18
    """

    named = relation("usage.job_material", allow=share, **drawn)
    ruled = relation("usage.job_material", allow=by_size, **drawn)

    assert named["job_ref"].to_list() == ["2025-002"]
    assert sorted(ruled["job_ref"]) == ["2025-001", "2025-002"]
