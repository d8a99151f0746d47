from math import sqrt

import pytest

MONTHS = ("2025-12", "2026-01", "2026-02", "2026-03", "2026-04", "2026-05")
MATERIALS = """
    material | kind     | base_unit
    ---------+----------+----------
    solvent  | solvent  | l
    nails    | fixing   | each
    catalyst | catalyst | kg
    resin    | resin    | kg
"""


def jobs(months=MONTHS):
    rows = "\n".join(
        f"2026-{at:03} | completed | {month}-10 | 10" for at, month in enumerate(months, start=1)
    )
    return f"""job_ref  | status    | completed_on | area_m2
    ---------+-----------+--------------+--------
    {rows}"""


def used(material, kind, quantities):
    return [
        f"2026-{at:03} | {material} | {kind} | {quantity}"
        for at, quantity in enumerate(quantities, start=1)
        if quantity is not None
    ]


def rates(relation, lines, **drawn):
    text = "\n".join(lines)
    found = relation(
        "learn.consumable_rate",
        **{"jobs": jobs(), "materials": MATERIALS}
        | drawn
        | {
            "job_quantity": f"""job_ref  | material | kind | used_quantity
            ---------+----------+------+--------------
            {text}"""
        },
    )
    return {row["material"]: row for row in found.iter_rows(named=True)}


def test_booked_to_jobs_over_all_the_jobs_that_record_a_use(relation):
    # a can of 5 l serves three jobs; resin is no consumable, and says that cards came in
    lines = [
        *used("solvent", "solvent", [5, None, None, 5, None, 2]),
        *used("resin", "resin", [15] * 6),
    ]

    found = rates(relation, lines)

    assert list(found) == ["solvent"]
    solvent = found["solvent"]
    assert (solvent["source_label"], solvent["month_count"]) == ("booked to jobs", 6)
    assert (solvent["job_count"], solvent["quantity"]) == (6, 12)
    assert solvent["rate"] == pytest.approx(12 / 60)
    # each month should have used 2 l: off by 3, -2, -2, 3, -2, 0
    assert solvent["standard_error_rate"] == pytest.approx(sqrt(30 * 6 / 5) / 60)
    assert solvent["allowed_rate"] is None


def test_from_the_first_month_on_record_and_with_what_was_allowed(relation):
    seven = ("2025-10", *MONTHS)
    lines = [
        *used("resin", "resin", [15] * 7),
        *used("solvent", "solvent", [None, 1, 1, 1, 1, 1, 1]),
    ]
    allowed = "\n".join(f"2026-{at:03} | solvent | 1.2" for at in range(1, 8))

    found = rates(
        relation,
        lines,
        jobs=jobs(seven),
        allowed=f"""job_ref  | material | allowed_quantity
        ---------+----------+-----------------
        {allowed}""",
    )

    assert found["solvent"]["job_count"] == 6
    assert found["solvent"]["rate"] == pytest.approx(0.1)
    assert found["solvent"]["allowed_rate"] == pytest.approx(0.12)
    assert found["solvent"]["standard_error_rate"] == pytest.approx(0)


def test_bought_where_no_job_books_it(relation):
    purchases = "\n".join(
        f"nails | goods | 300 | {month}-02 |" for month in MONTHS if month != "2026-03"
    )

    found = rates(
        relation,
        used("resin", "resin", [15] * 3),
        purchases=f"""material | line_kind | quantity | document_on | delivered_on
        ---------+-----------+----------+-------------+-------------
        {purchases}
        solvent | goods | 5 | 2026-05-02 | 2026-06-02
        resin   | goods | 5 | 2026-05-02 |""",
    )

    assert list(found) == ["nails"]
    assert found["nails"]["source_label"] == "bought"
    assert (found["nails"]["job_count"], found["nails"]["month_count"]) == (6, 6)
    assert found["nails"]["rate"] == pytest.approx(1500 / 60)


def test_a_slip_leaves_with_its_roof_and_a_bottle_opened_stays(relation):
    lines = used("catalyst", "catalyst", [5, 0.5, 0.5, 0.5, 0.5, 500]) + used(
        "solvent", "solvent", [1] * 5
    )
    lines += used("resin", "resin", [15] * 6)

    found = rates(
        relation,
        lines,
        jobs=jobs((*MONTHS[:5], "2026-05")),
        held_back="""
            job_ref  | material | gate
            ---------+----------+---------------
            2026-001 | catalyst | catalyst share
            2026-006 | catalyst | unit slip
        """,
    )

    # five months are left of the catalyst, and solvent is on record in all six
    assert list(found) == ["solvent"]
    assert found["solvent"]["rate"] == pytest.approx(5 / 60)


def test_a_bottle_opened_counts_in_full(relation):
    lines = used("catalyst", "catalyst", [5, None, None, None, None, 1])
    lines += used("resin", "resin", [15] * 6)

    found = rates(
        relation,
        lines,
        held_back="""
            job_ref  | material | gate
            ---------+----------+---------------
            2026-001 | catalyst | catalyst share
        """,
    )

    assert found["catalyst"]["rate"] == pytest.approx(0.1)
