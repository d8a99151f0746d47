"""The figures of a decision: its own, those suggested beside it, those in force."""

import pytest

from pipelines.checking.judging import JudgedRecord
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

HEAD = (
    "material|job_type|decided_on|decision|fixed_loss|price_ratio|load_ratio|suggested_fixed_loss|"
    "suggested_price_ratio|suggested_load_ratio|in_force_fixed_loss|in_force_price_ratio|"
    "in_force_load_ratio"
)
BESIDE = "1.5|0.12|0.25|0.8|0.06|0.14"


def judge(*figures: str) -> JudgedRecord:
    rows = [f"resin|type {no}|2026-06-01|{each}" for no, each in enumerate(figures)]
    return Inbox().add("decisions", "\n".join([HEAD, *rows])).judge()["decisions"]


def figures_of(judged: JudgedRecord) -> list[tuple[float, ...]]:
    rows = in_force(judged, "decisions", "fixed_loss", "price_ratio", "load_ratio")
    return [tuple(float(str(value)) for value in row) for row in rows]


@pytest.mark.parametrize(
    ("row", "figures"),
    [
        (f"accept||||{BESIDE}", (1.5, 0.12, 0.25)),
        (f"accept|1.5|0.12|0.25|{BESIDE}", (1.5, 0.12, 0.25)),
        (f"keep||||{BESIDE}", (0.8, 0.06, 0.14)),
        (f"keep||0.06||{BESIDE}", (0.8, 0.06, 0.14)),
        (f"set|9|0.3|0.4|{BESIDE}", (9, 0.3, 0.4)),
        ("keep|9|0.3|0.4||||||", (9, 0.3, 0.4)),
        ("accept|9|0.3|0.4||||||", (9, 0.3, 0.4)),
    ],
)
def test_the_figures_that_a_decision_takes(row: str, figures: tuple[float, ...]) -> None:
    judged = judge(row)

    assert outcomes(judged) == ["clean"]
    assert figures_of(judged) == [figures]


def test_figures_taken_from_beside_are_on_record() -> None:
    repairs = judge(f"keep||||{BESIDE}").repairs

    assert repairs.select("column_name", "value_after", "rule").rows() == [
        ("fixed_loss", "0.800", "keep takes the allowance in force"),
        ("price_ratio", "0.060000", "keep takes the allowance in force"),
        ("load_ratio", "0.140000", "keep takes the allowance in force"),
    ]


@pytest.mark.parametrize(
    ("row", "column", "says"),
    [
        (f"keep|1.5|||{BESIDE}", "fixed_loss", "differs from the allowance in force, 0.800, "),
        (f"accept||0.06||{BESIDE}", "price_ratio", "differs from the suggestion, 0.120000, "),
        (f"set|9|0.3||{BESIDE}", "load_ratio", "is blank, and a decision carries its three"),
        ("accept|||||||0.8|0.06|0.14", "fixed_loss", "is blank, and a decision carries its three"),
    ],
)
def test_no_figure_is_adopted_by_a_slip(row: str, column: str, says: str) -> None:
    judged = judge(row)

    assert outcomes(judged) == ["rejected"]
    assert reasons(judged)[0].startswith(f"{column}: {says}")


def test_a_decision_of_the_same_day_lends_its_figures_to_no_other() -> None:
    inbox = Inbox().add("decisions", f"{HEAD}\nresin|all|2026-06-01|set|9|0.3|0.4||||||")
    inbox.next_batch().add("decisions", f"{HEAD}\nresin|all|2026-06-01|accept|||||||||")

    assert outcomes(inbox.judge()["decisions"]) == ["clean", "rejected"]


WITH_BASE = f"{HEAD}|blend_ratio|piece_shift|suggested_blend_ratio|suggested_piece_shift"


@pytest.mark.parametrize(
    ("row", "taken"),
    [
        (f"accept||||{BESIDE}|||0.3|0.5", (0.3, 0.5)),
        (f"accept||||{BESIDE}|0.3|||", (0.3, None)),
        (f"keep||||{BESIDE}|||0.3|0.5", (None, None)),
    ],
)
def test_an_accept_takes_the_base_and_the_pieces_too(
    row: str, taken: tuple[float | None, float | None]
) -> None:
    text = "\n".join([WITH_BASE, f"resin|garage|2026-06-01|{row}"])
    judged = Inbox().add("decisions", text).judge()["decisions"]

    assert outcomes(judged) == ["clean"]
    (found,) = in_force(judged, "decisions", "blend_ratio", "piece_shift")
    assert tuple(None if value is None else float(str(value)) for value in found) == taken


def test_a_blend_that_differs_from_the_one_beside_it_is_asked_back() -> None:
    text = "\n".join([WITH_BASE, f"resin|garage|2026-06-01|accept||||{BESIDE}|0.6||0.3|0.5"])
    judged = Inbox().add("decisions", text).judge()["decisions"]

    assert "differs from the suggestion, 0.300000, " in reasons(judged)[0]
