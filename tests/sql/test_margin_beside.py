"""margin.beside and page.beside_margin."""

from tests.support.drawn import assert_drawn

DRAWN = {
    "jobs": """
        job_ref  | status    | completed_on | retention_gbp
        ---------+-----------+--------------+--------------
        2026-001 | completed | 2026-04-10   | 120.00
        2026-002 | completed | 2026-05-10   | 80.00
        2025-001 | completed | 2025-05-10   | 55.00
        2026-003 | booked    |              | 99.00
    """,
    "job": """
        job_ref  | completed_on | own_gbp | vat_gbp | first_job_ref
        ---------+--------------+---------+---------+--------------
        2026-001 | 2026-04-10   | 60.00   | 12.00   |
        2026-002 | 2026-05-10   | 15.00   | 3.00    | 2026-001
        2026-004 | 2026-05-10   | 15.00   |         |
    """,
    "own_line": """
        line_kind | received_on | net_pence
        ----------+-------------+----------
        rebate    | 2026-01-31  | -25000
        deposit   | 2026-03-01  | 4000
        deposit   | 2026-04-01  | -4000
        goods     | 2026-04-01  | 9900
        hire      | 2024-04-01  | 9900
    """,
    "firm": """
        firm       | as_of      | month_end_on | vat
        -----------+------------+--------------+----------
        Test Roofs | 2026-06-01 | 2026-05-31   | flat rate
    """,
}


def test_twelve_months_of_what_is_in_no_jobs_margin(relation):
    assert_drawn(
        relation("margin.beside", **DRAWN),
        """
        item      | gbp     | item_count | unknown_count
        ----------+---------+------------+--------------
        retention | 200.00  | 2          | 0
        put right | 18.00   | 1          | 0
        vat       | 15.00   | 3          | 1
        rebate    | -250.00 | 1          | 0
        deposit   | 0.00    | 2          | 0
        """,
    )


def test_a_firm_that_takes_vat_back_has_none_to_show(relation):
    normal = {**DRAWN, "firm": DRAWN["firm"].replace("flat rate", "normal   ")}

    assert "vat" not in relation("margin.beside", **normal)["item"].to_list()


def test_the_largest_sum_stands_first_and_says_what_is_not_known(relation):
    rows = relation(
        "page.beside_margin",
        beside="""
            item      | gbp     | item_count | unknown_count
            ----------+---------+------------+--------------
            vat       | 15.00   | 3          | 1
            rebate    | -250.00 | 1          | 0
        """,
    )

    assert rows["item"].to_list() == ["rebate", "vat"]
    assert rows["sentence"][1].endswith("it is in their cost. Of 1 the figure is not known.")
