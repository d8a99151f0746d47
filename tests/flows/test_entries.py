"""Entries that add up, files that share a job, blanks that wipe nothing: in whole runs."""

from decimal import Decimal

import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import drop, make_firm

JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2,quoted_price_gbp
    2026-001,garage,2026-05-04,18.0,2400.00
"""


@pytest.fixture
def firm(tmp_path):
    def made(files):
        root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS, **files})
        run_month(root)
        return root

    return made


def test_pieces_of_one_length_on_three_lines_are_all_held(firm, ask):
    root = firm(
        {
            "offcuts.csv": """
                job_ref,material,length_mm,pieces,fate
                2026-001,drip trim,900,1,racked
                2026-001,drip trim,900,1,racked
                2026-001,drip trim,900,2,racked
            """
        }
    )

    assert ask(root, "SELECT sum(pieces)::INTEGER FROM ledger.offcuts") == [(4,)]


def test_a_count_by_place_and_lot_adds_up(firm, ask):
    root = firm(
        {
            "stock counts.csv": """
                counted_on,material,quantity,unit,place,lot
                2026-05-29,resin,100,kg,,old lot
                2026-05-29,resin,60,kg,,new lot
                2026-05-29,resin,12,kg,first van,
            """
        }
    )

    assert ask(root, "SELECT sum(quantity) FROM ledger.stock_counts") == [(Decimal("172.000"),)]


def test_issues_on_two_trips_from_two_cards_add_up(firm, ask):
    root = firm(
        {
            "first card job materials.csv": """
                job_ref,material,unit,issued_quantity,returned_quantity,how
                2026-001,resin,kg,40,9,weighed
            """,
            "second card job materials.csv": """
                job_ref,material,unit,issued_quantity,issued_on
                2026-001,resin,kg,20,2026-05-05
            """,
        }
    )

    used = ask(
        root, "SELECT used_quantity FROM usage.job_quantity AS used WHERE used.material = 'resin'"
    )

    assert used == [(Decimal("51.000"),)]  # 40 - 9 + 20


def test_a_row_inserted_above_in_the_next_version_changes_nothing_below(firm, ask):
    first = """
        job_ref,material,length_mm,pieces,fate
        2026-001,drip trim,900,1,racked
        2026-001,drip trim,1200,3,racked
    """
    root = firm({"offcuts.csv": first})
    drop(
        root,
        {
            "offcuts v2.csv": """
                job_ref,material,length_mm,pieces,fate
                2026-001,drip trim,700,2,racked
                2026-001,drip trim,900,1,racked
                2026-001,drip trim,1200,3,racked
            """
        },
    )

    summary = run_month(root)

    assert (summary.accepted_count, summary.already_held_count) == (1, 2)
    assert ask(root, "SELECT length_mm, pieces FROM ledger.offcuts ORDER BY ALL") == [
        (700, 2),
        (900, 1),
        (1200, 3),
    ]


def test_a_quote_file_and_a_card_share_a_job_and_a_blank_wipes_nothing(tmp_path, ask):
    root = make_firm(
        tmp_path / "firm",
        {
            "quotes jobs.csv": """
                job_ref,job_type,quoted_on,quoted_area_m2,quoted_price_gbp,crew
                2026-001,garage,2026-03-02,18.0,2400.00,first van
            """
        },
    )
    run_month(root)
    drop(
        root,
        {
            "card jobs.csv": """
                job_ref,job_type,completed_on,quoted_price_gbp,crew,measured_area_m2
                2026-001,,2026-05-04,,,18.4
            """
        },
    )

    run_month(root)

    assert ask(
        root,
        """
        SELECT job_type, crew, status, quoted_price_gbp::VARCHAR, area_m2::VARCHAR
        FROM ledger.jobs
        """,
    ) == [("garage", "first van", "completed", "2400.00", "18.400")]


def test_the_word_none_empties_a_column(firm, ask):
    root = firm({})
    drop(
        root,
        {"office jobs.csv": "job_ref,job_type,quoted_price_gbp\n2026-001,garage,none"},
    )

    run_month(root)

    assert ask(root, "SELECT quoted_price_gbp, quoted_area_m2::VARCHAR FROM ledger.jobs") == [
        (None, "18.000")
    ]


def test_a_row_that_waits_for_its_job_is_taken_in_when_the_job_comes(tmp_path, ask):
    root = make_firm(
        tmp_path / "firm",
        {
            "job materials.csv": """
                job_ref,material,unit,issued_quantity
                2026-001,resin,kg,40
            """
        },
    )
    first = run_month(root)
    drop(root, {"jobs.csv": JOBS})

    run_month(root)

    assert (first.rejected_count, first.accepted_count) == (1, 4)
    assert ask(root, "SELECT count(*) FROM ledger.job_materials") == [(1,)]
    assert ask(root, "SELECT count(*) FROM receipt.reject") == [(0,)]
