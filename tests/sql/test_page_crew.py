from tests.support.drawn import assert_drawn

MATERIALS = """
    material | kind
    ---------+------
    resin    | resin
    mat 450  | mat
"""


def test_nothing_unless_vans_are_to_be_compared(relation):
    found = relation(
        "page.crew",
        materials=MATERIALS,
        crew_miss="""
            material | crew      | job_count | shrunken_ratio
            ---------+-----------+-----------+---------------
            resin    | first van | 9         | 0.02
        """,
    )

    assert found.is_empty()


def test_vans_by_name_and_apart_only_where_nothing_overlaps(relation):
    found = relation(
        "page.crew",
        materials=MATERIALS,
        compared_van="""
            crew
            ----------
            first van
            second van
            third van
        """,
        crew_miss="""
            material | crew       | job_count | shrunken_ratio | shrunken_low_ratio | shrunken_high_ratio
            ---------+------------+-----------+----------------+--------------------+--------------------
            mat 450  | second van | 30        | 0.01           | -0.02              | 0.04
            mat 450  | first van  | 30        | -0.01          | -0.04              | 0.02
            resin    | second van | 30        | 0.03           | 0.02               | 0.04
            resin    | first van  | 30        | -0.03          | -0.04              | -0.02
        """,
    )

    assert_drawn(
        found,
        """
        crew       | material | job_count | shrunken_ratio | is_poured | is_apart
        -----------+----------+-----------+----------------+-----------+---------
        first van  | resin    | 30        | -0.03          | true      | true
        second van | resin    | 30        | 0.03           | true      | true
        first van  | mat 450  | 30        | -0.01          | false     | false
        second van | mat 450  | 30        | 0.01           | false     | false
        third van  |          |           |                | false     | false
        """,
    )
    assert found["crew"].to_list() == ["first van", "second van"] * 2 + ["third van"]
    assert found["material"].to_list() == ["resin"] * 2 + ["mat 450"] * 2 + [None]
