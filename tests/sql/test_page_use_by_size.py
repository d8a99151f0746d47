from tests.support.drawn import assert_drawn

LINE = """
    job_ref  | material | kind    | base_unit | rate_label | area_m2 | size | used_quantity
    ---------+----------+---------+-----------+------------+---------+------+--------------
"""


def line(number, material="resin", kind="resin"):
    area = 5 * number
    return f"2026-00{number} | {material} | {kind} | kg | kg per m² | {area} | {area} | {area + 10}"


def test_three_groups_of_equally_many_roofs_by_area(relation):
    rows = "\n".join(
        [line(number) for number in range(1, 10)]
        + [line(number, "winter resin") for number in range(1, 9)]
        + [line(number, "topcoat", "topcoat") for number in range(1, 10)]
    )
    sizes = relation("page.use_by_size", rate_line=LINE.rstrip() + "\n" + rows)

    # used is area + 10: 60 / 30, 105 / 75, 150 / 120; eight jobs with the winter resin are too few
    assert_drawn(
        sizes,
        """
        material | size_no | least_area_m2 | most_area_m2 | job_count | rate
        ---------+---------+---------------+--------------+-----------+-----
        resin    | 1       | 5             | 15           | 3         | 2.0
        resin    | 2       | 20            | 30           | 3         | 1.4
        resin    | 3       | 35            | 45           | 3         | 1.25
        """,
    )
