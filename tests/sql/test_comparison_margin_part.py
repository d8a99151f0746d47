from decimal import Decimal

import polars as pl

JOBS = """
    job_ref  | job_type | status    | quoted_on  | completed_on
    ---------+----------+-----------+------------+-------------
    2025-001 | garage   | completed | 2026-01-10 | 2026-05-01
"""
PRICES = """
    material | from_on    | until_on   | price_gbp
    ---------+------------+------------+----------
    resin    | 2025-01-01 | 2026-03-01 | 3.20
    resin    | 2026-03-01 | 9999-12-31 | 3.50
    trim     | 2025-01-01 | 2026-03-01 | 3.20
    trim     | 2026-03-01 | 9999-12-31 | 3.50
"""


def _one_job(relation, material: str, kind: str, net: str, **cut: str) -> dict[str, Decimal]:
    rows = relation(
        "comparison.margin_part",
        jobs=JOBS,
        price_step=PRICES,
        allowed=f"""
            job_ref  | material   | allowed_quantity
            ---------+------------+-----------------
            2025-001 | {material} | 46
        """,
        net_quantity=f"""
            job_ref  | material   | quoted_net_quantity | fitted_net_quantity
            ---------+------------+---------------------+--------------------
            2025-001 | {material} | 40                  | {net}
        """,
        job_quantity=f"""
            job_ref  | material   | kind   | used_quantity
            ---------+------------+--------+--------------
            2025-001 | {material} | {kind} | 56
        """,
        used_cost=f"""
            job_ref  | material   | used_gbp
            ---------+------------+---------
            2025-001 | {material} | 212.80
        """,
        **cut,
    )
    assert rows["part_gbp"].sum() == rows["cost_gbp"][0] - rows["quoted_gbp"][0]
    return {row["part"]: row["part_gbp"] for row in rows.iter_rows(named=True)}


def test_a_poured_material_has_buying_list_scope_and_one_figure_of_waste(relation):
    parts = _one_job(relation, "resin", "resin", "46")

    # (3.80 - 3.50) 56; (3.50 - 3.20) 46; (46 - 40) 1.15 x 3.50; (56 - 52.9) 3.50
    assert parts == {
        "price list out of date": Decimal("13.80"),
        "buying price": Decimal("16.80"),
        "bigger or different": Decimal("24.15"),
        "laps": None,
        "unavoidable cutting": None,
        "avoidable offcut": None,
        "liquid waste": None,
        "unexplained": None,
        "not split": Decimal("10.85"),
    }


def test_what_a_job_wrote_down_as_lost_is_told_from_the_rest(relation):
    losses = """
        job_ref  | material | entry | quantity
        ---------+----------+-------+---------
        2025-001 | resin    | 1     | 1.5
        2025-001 | resin    | 2     | 0.5
                 | resin    | 1     | 9
        2025-002 | resin    | 1     | 9
    """
    parts = _one_job(relation, "resin", "resin", "46", losses=losses)

    # 2 kg at 3.50 of the 10.85 beyond the quote
    assert parts["liquid waste"] == Decimal("7.00")
    assert parts["not split"] == Decimal("3.85")
    assert parts["unexplained"] is None


def test_a_trim_that_was_damaged_is_no_liquid(relation):
    losses = """
        job_ref  | material | entry | quantity
        ---------+----------+-------+---------
        2025-001 | trim     | 1     | 1.5
    """

    assert _one_job(relation, "trim", "trim", "46", losses=losses)["liquid waste"] is None


def test_delivery_stands_beside_the_buying_price(relation):
    rows = relation(
        "comparison.margin_part",
        jobs=JOBS,
        price_step=PRICES,
        allowed="""
            job_ref  | material | allowed_quantity
            ---------+----------+-----------------
            2025-001 | resin    | 46
        """,
        net_quantity="""
            job_ref  | material | quoted_net_quantity | fitted_net_quantity
            ---------+----------+---------------------+--------------------
            2025-001 | resin    | 40                  | 46
        """,
        job_quantity="""
            job_ref  | material | kind  | used_quantity
            ---------+----------+-------+--------------
            2025-001 | resin    | resin | 56
        """,
        used_cost="""
            job_ref  | material | used_gbp | delivery_gbp
            ---------+----------+----------+-------------
            2025-001 | resin    | 212.80   | 11.30
        """,
    )

    assert dict(zip(rows["part"], rows["delivery_gbp"], strict=True)) == {
        part: Decimal("11.30") if part == "buying price" else None for part in rows["part"]
    }


def test_without_a_second_measure_bigger_or_different_is_not_known(relation):
    parts = _one_job(relation, "resin", "resin", "")

    assert parts["bigger or different"] is None
    assert parts["not split"] == Decimal("35.00")


def _cut(avoidable: str) -> dict[str, str]:
    return {
        "cut_job": """
            job_ref  | material | stage  | plan | net_quantity | lap_quantity | kerf_quantity | binned_quantity | used_up_quantity
            ---------+----------+--------+------+--------------+--------------+---------------+-----------------+-----------------
            2025-001 | trim     | quoted | best | 40           | 1            | 0.2           | 1.8             | 43
        """,
        "cut_split": f"""
            job_ref  | material | net_quantity | lap_quantity | unavoidable_quantity | avoidable_quantity
            ---------+----------+--------------+--------------+----------------------+-------------------
            2025-001 | trim     | 46           | 1.4          | 2.5                  | {avoidable}
        """,
    }


def test_a_cut_material_is_split_to_the_last_part(relation):
    parts = _one_job(relation, "trim", "trim", "46", **_cut("5"))

    # laps 1.4 - 1.15; cutting 2.5 - 2.3; offcut 5 - 3 x 1.15; unexplained 56 - 54.9; x 3.50,
    # 0.875 and 5.425 by largest remainder: equal remainders, so the first name takes the penny
    assert parts == {
        "price list out of date": Decimal("13.80"),
        "buying price": Decimal("16.80"),
        "bigger or different": Decimal("24.15"),
        "laps": Decimal("0.87"),
        "unavoidable cutting": Decimal("0.70"),
        "avoidable offcut": Decimal("5.43"),
        "liquid waste": Decimal("0.00"),
        "unexplained": Decimal("3.85"),
        "not split": Decimal("0.00"),
    }


def test_offcuts_nobody_wrote_down_are_one_figure_with_the_unexplained(relation):
    parts = _one_job(relation, "trim", "trim", "46", **_cut(""))

    assert parts["avoidable offcut"] is None
    assert parts["unexplained"] is None
    assert parts["laps"] + parts["not split"] == Decimal("10.15")


def test_the_check_names_a_line_whose_parts_do_not_sum(relation):
    rows: pl.DataFrame = relation(
        "checks.margin_parts_do_not_add_up",
        margin_part="""
            job_ref  | material | part         | cost_gbp | quoted_gbp | part_gbp
            ---------+----------+--------------+----------+------------+---------
            2025-001 | resin    | buying price | 10.00    | 8.00       | 2.00
            2025-002 | resin    | buying price | 10.00    | 8.00       | 2.01
        """,
    )

    assert rows["fault"].to_list() == [
        "job 2025-002, resin: the parts of its margin sum to 2.01, not to 2.00"
    ]
