"""What the estimator decides comes back in through the inbox, and stands from its day."""

import csv
import shutil
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from pipelines.cli import main
from pipelines.month.run import run_month

IN_FORCE = """
    SELECT material, job_type, fixed_loss, price_ratio, load_ratio
    FROM result.allowance_in_force
    WHERE how = 'decided' AND in_force_from = DATE '2026-06-01'
    ORDER BY material, job_type
"""
OTHERS = """
    SELECT material, job_type, how, in_force_from, fixed_loss, price_ratio, load_ratio
    FROM result.allowance_in_force
    WHERE in_force_from IS DISTINCT FROM DATE '2026-06-01'
    ORDER BY material, job_type
"""
FIGURES = """
    SELECT
        suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio,
        in_force_fixed_loss, in_force_price_ratio, in_force_load_ratio
    FROM page.decision
    WHERE material = ? AND job_type = ?
"""


@pytest.fixture
def root(demo, tmp_path):
    return shutil.copytree(demo.root, tmp_path / "firm")


def fill(root, words):
    """Fill the workbook as a person does: a word under decision, and what is said beside it."""
    book = load_workbook(root / "pages" / "allowances.xlsx")
    sheet = book["decisions"]
    heads = [cell.value for cell in sheet[1]]
    for row in sheet.iter_rows(min_row=2):
        cells = dict(zip(heads, row, strict=True))
        for head, value in words.get(
            (cells["material"].value, cells["job_type"].value), {}
        ).items():
            cells[head].value = value
    book.save(root / "inbox" / "allowances 2026-06-01.xlsx")
    return sheet.max_row


def counts(ask, root):
    return ask(
        root,
        """
        SELECT rows_read_count, accepted_count, rejected_count, already_held_count, skipped_count
        FROM receipt.file
        ORDER BY receipt_no DESC
        LIMIT 1
        """,
    )[0]


def test_the_workbook_adopts_exactly_what_is_decided_in_it(root, ask):
    resin = ask(root, FIGURES, "resin", "garage")[0]
    topcoat = ask(root, FIGURES, "topcoat light grey", "dormer")[0]
    others = [row for row in ask(root, OTHERS) if row[:2] not in DECIDED]
    rows = fill(root, DECIDED)

    run_month(root)

    # an accept takes the suggestion, a keep what is in force though it is not suggested
    assert resin[:3] != resin[3:]
    assert topcoat[:3] != topcoat[3:]
    assert ask(root, IN_FORCE) == [
        ("mat 450", "porch", 1.5, 0.2, 0.3),
        ("resin", "garage", *resin[:3]),
        ("topcoat light grey", "dormer", *topcoat[3:]),
    ]
    assert ask(root, OTHERS) == others
    assert counts(ask, root) == (rows, 3, 0, 0, rows - 3)
    assert ask(
        root,
        """
        SELECT reason, count(*)
        FROM receipt.row_outcome
        WHERE receipt_no = (SELECT max(receipt_no) FROM receipt.file) AND outcome = 'skipped'
        GROUP BY reason
        ORDER BY reason
        """,
    ) == [("heading", 1), ("no decision filled in", rows - 4)]


DECIDED = {
    ("resin", "garage"): {"decision": "accept", "decided_by": "Sam"},
    ("topcoat light grey", "dormer"): {"decision": "keep"},
    ("mat 450", "porch"): {
        "decision": "set",
        "fixed_loss": "1.5",
        "price_ratio": "0.2",
        "load_ratio": "0.3",
    },
}


@pytest.mark.slow
def test_a_keep_with_other_figures_in_it_is_asked_back_and_changes_nothing(root, ask):
    suggested = ask(root, FIGURES, "resin", "garage")[0][1]
    before = ask(root, OTHERS)
    fill(root, {("resin", "garage"): {"decision": "keep", "price_ratio": str(suggested)}})

    summary = run_month(root)

    assert (summary.accepted_count, summary.rejected_count) == (0, 1)
    assert ask(root, IN_FORCE) == []
    assert ask(root, OTHERS) == before
    assert (
        "differs from the allowance in force, 0.060000"
        in ask(root, "SELECT reason FROM receipt.reject ORDER BY receipt_no DESC LIMIT 1")[0][0]
    )


@pytest.mark.slow
def test_the_workbook_as_it_is_changes_nothing(root, ask):
    before = ask(root, OTHERS)
    rows = fill(root, {})

    run_month(root)

    assert ask(root, OTHERS) == before
    assert ask(root, IN_FORCE) == []
    assert counts(ask, root) == (rows, 0, 0, 0, rows)


@pytest.mark.slow
def test_a_decision_typed_as_a_record_counts_to_its_last_digit(root, ask):
    (root / "inbox" / "decisions june.csv").write_text(
        "material,job_type,decided_on,decision,fixed_loss,price_ratio,load_ratio\n"
        "resin,porch,2026-06-01,set,1.234,0.123456,0.234567\n"
        "resin,bay,2026-06-02,set,9,0.9,0.9\n"
        "resin,dormer,2026-06-01,,9,0.9,0.9\n",
        encoding="utf-8",
    )

    run_month(root)

    assert ask(root, IN_FORCE) == [("resin", "porch", 1.234, 0.123456, 0.234567)]
    assert counts(ask, root) == (4, 2, 0, 0, 2)


def decide(root, *words):
    return main(["allowances", "--folder", str(root), "--decide", *words])


def test_the_command_writes_a_record_that_the_next_run_brings_into_force(root, ask, capsys):
    figures = ask(root, FIGURES, "resin", "garage")[0]

    assert decide(root, "resin", "garage", "keep") == 0
    assert decide(root, "resin", "garage", "accept", "--by", "Sam") == 0
    assert (
        decide(root, "resin", "all", "set", "--fixed", "2", "--price", "0.2", "--load", "0.3") == 0
    )

    told = " ".join(capsys.readouterr().out.split())
    assert "resin, all: set, 2 kg on every job" in told
    assert "The next run brings it into force" in told
    assert sorted(path.name for path in (root / "inbox").iterdir()) == [
        "decisions resin all 2026-06-01.csv",
        "decisions resin garage 2026-06-01 (2).csv",
        "decisions resin garage 2026-06-01.csv",
    ]
    summary = run_month(root)
    assert (summary.accepted_count, summary.rejected_count) == (3, 0)
    decided = {row[1]: row[2:] for row in ask(root, IN_FORCE)}
    # the later of two decisions on one day, and the type's own before the one for all
    assert decided.pop("garage") == figures[:3]
    assert decided == dict.fromkeys(
        ["balcony", "bay", "dormer", "extension", "porch"], (2.0, 0.2, 0.3)
    )
    assert decide(root, "resin", "garage", "keep") == 0
    (kept,) = csv.DictReader(next((root / "inbox").iterdir()).open(encoding="utf-8"))
    assert date.fromisoformat(kept["decided_on"]) == date(2026, 6, 1)
    assert tuple(float(Decimal(kept[name])) for name in kept if name in NAMES) == figures[:3]


NAMES = ("fixed_loss", "price_ratio", "load_ratio")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("glue", "garage", "keep"), '"glue" is no material on record; known are: adhesive, '),
        (("resin", "attic", "keep"), '"attic" is no job type on record; known are: garage, '),
        (("resin", "garage", "yes"), "known are: accept, keep, set"),
        (("resin", "garage", "set", "--fixed", "1"), "set needs all three"),
        (("resin", "garage", "keep", "--price", "0.1"), "keep takes its figures by itself"),
        (("resin", "all", "accept"), "differ by job type: accept one type at a time"),
        (("bandage", "garage", "accept"), "nothing is suggested for bandage on garage"),
        (
            ("resin", "garage", "set", "--fixed", "0", "--price", "0.2", "--load", "0.1"),
            "is below the price ratio that it contains",
        ),
        (
            ("resin", "garage", "set", "--fixed", "0", "--price", "11", "--load", "11"),
            "price_ratio 11.000000 lies outside -1 to 10",
        ),
        (
            ("resin", "garage", "set", "--fixed", "0.1234", "--price", "0", "--load", "0"),
            "fixed_loss 0.1234 has more than 3 decimals",
        ),
    ],
)
def test_what_cannot_be_decided_is_refused_with_what_can(demo, capsys, words, says):
    assert decide(demo.root, *words) == 17
    assert says in capsys.readouterr().err
    assert list((demo.root / "inbox").iterdir()) == []


def test_the_command_shows_in_force_beside_suggested(demo, capsys):
    assert main(["allowances", "--folder", str(demo.root), "--material", "resin"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "(decided, from 2025-07-07: 1.20 kg on every job, and over what the roof needs" in told
    assert "+10.0% to charge, +20.0% to load); your jobs suggest" in told
