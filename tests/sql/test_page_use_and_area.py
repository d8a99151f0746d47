from tests.support.drawn import assert_drawn


def test_resin_for_a_square_metre(relation):
    rates = relation(
        "page.use_and_area",
        rate_line="""
            job_ref  | job_type | material | kind    | area_m2 | size | used_quantity
            ---------+----------+----------+---------+---------+------+--------------
            2026-001 | garage   | resin    | resin   | 20      | 20   | 34
            2026-001 | garage   | topcoat  | topcoat | 20      | 20   | 12
        """,
    )

    assert_drawn(
        rates,
        """
        job_ref  | material | area_m2 | rate
        ---------+----------+---------+-----
        2026-001 | resin    | 20      | 1.7
        """,
    )
