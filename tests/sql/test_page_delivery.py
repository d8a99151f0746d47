from tests.support.drawn import assert_drawn


def test_delivery_is_told_inside_the_jobs_and_on_its_own_line(relation):
    delivery = relation(
        "page.delivery",
        margin_part="""
            job_ref  | material | part_no | completed_on | delivery_gbp
            ---------+----------+---------+--------------+-------------
            2026-001 | resin    | 2       | 2026-05-04   | 3.10
            2026-001 | resin    | 4       | 2026-05-04   |
            2026-002 | mat      | 2       | 2026-03-01   | 1.05
            2026-003 | mat      | 2       | 2026-02-28   | 9.00
        """,
        own_line="""
            line_kind | received_on | net_pence
            ----------+-------------+----------
            carriage  | 2026-05-31  | 2500
            carriage  | 2026-06-01  | 900
            hire      | 2026-05-31  | 700
        """,
    )

    assert_drawn(
        delivery,
        """
        in_jobs_gbp | own_line_gbp
        ------------+-------------
        4.15        | 25.00
        """,
    )
