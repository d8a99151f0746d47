from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | lay_up     | area_m2
    ---------+------------+--------
    2025-001 | 450 double | 10
    2025-002 | 450 double |
"""
LAY_UP = """
    lay_up     | resin_kg_per_m2 | glass_ratio
    -----------+-----------------+------------
    450 double | 2.1             | 0.3
"""


def named(rows):
    return f"""
        job_ref  | material | kind | layer_count
        ---------+----------+------+------------
        {rows}
    """


def needed(*rows):
    lines = "\n".join(rows)
    return f"""
        job_ref  | material | kind | fitted_net_quantity
        ---------+----------+------+--------------------
        {lines}
    """


def test_least_of_a_sound_roof_by_kind(relation):
    least = relation(
        "learn.least_quantity",
        job_material=named("""2025-001 | resin | resin |
        2025-001 | mat 450  | mat     | 2
        2025-001 | topcoat  | topcoat |
        2025-001 | paint    | topcoat |
        2025-002 | resin    | resin   |
        """),
        net_quantity=needed(
            "2025-001 | resin | resin | 21",
            "2025-001 | mat 450 | mat | 20",
            "2025-001 | topcoat | topcoat | 5",
            "2025-001 | paint | topcoat |",
            "2025-002 | resin | resin |",
        ),
        jobs=JOBS,
        materials="""
            material | coverage_per_m2 | coverage_basis
            ---------+-----------------+---------------
            resin    |                 |
            mat 450  |                 |
            topcoat  | 0.5             | net
            paint    | 0.5             | gross
        """,
        lay_up=LAY_UP,
    )

    # 10 x 2.1; 0.98 x 10 x 2 layers; 0.8 x 10 x 0.5
    assert_drawn(
        least,
        """
        job_ref  | material | least_quantity
        ---------+----------+---------------
        2025-001 | mat 450  | 19.6
        2025-001 | resin    | 21
        2025-001 | topcoat  | 4
        """,
    )


def test_laps_and_bandage_are_part_of_a_sound_roof(relation):
    least = relation(
        "learn.least_quantity",
        job_material=named("""2025-001 | resin | resin |
        2025-001 | mat 450 | mat | 2
        2025-001 | bandage | bandage |
        """),
        net_quantity=needed(
            "2025-001 | resin | resin | 21",
            "2025-001 | mat 450 | mat | 20",
            "2025-001 | bandage | bandage | 14",
        ),
        jobs=JOBS,
        materials="""
            material | g_per_m2 | width_mm | pack_size
            ---------+----------+----------+----------
            resin    |          |          | 20
            mat 450  | 450      | 950      | 75
            bandage  | 450      | 75       | 50
        """,
        cut_job="""
            job_ref  | material | kind | stage  | plan      | lap_quantity
            ---------+----------+------+--------+-----------+-------------
            2025-001 | mat 450  | mat  | fitted | best      | 1
            2025-001 | mat 450  | mat  | fitted | no re-use | 5
            2025-001 | mat 450  | mat  | quoted | best      | 5
        """,
        lay_up=LAY_UP,
    )

    # glass in laps 0.45 kg, in 14 m of bandage 14 x 0.075 x 0.45 = 0.4725 kg; at 30 % of glass each
    # holds 7/3 of resin: 0.98 x (21 + 2.1525). Mat: 0.98 x (20 + 1). Bandage: 0.8 x 14 is less
    # than the pack that may stand open
    assert_drawn(
        least,
        """
        job_ref  | material | least_quantity
        ---------+----------+---------------
        2025-001 | mat 450  | 20.58
        2025-001 | resin    | 22.689
        """,
    )


def test_what_is_specified_by_length_less_the_pack_that_stands_open(relation):
    least = relation(
        "learn.least_quantity",
        job_material=named("""2025-001 | adhesive | adhesive |
        2025-001 | nails | fixing |
        2025-001 | bandage | bandage |
        """),
        net_quantity=needed(
            "2025-001 | adhesive | adhesive | 1000",
            "2025-001 | nails | fixing | 140",
            "2025-001 | bandage | bandage | 100",
        ),
        jobs=JOBS,
        materials="""
            material | pack_size
            ---------+----------
            adhesive | 310
            nails    |
            bandage  | 50
        """,
        lay_up=LAY_UP,
    )

    # nails without a pack: what stands open is not known
    assert_drawn(
        least,
        """
        job_ref  | material | least_quantity
        ---------+----------+---------------
        2025-001 | adhesive | 490
        2025-001 | bandage  | 30
        """,
    )
