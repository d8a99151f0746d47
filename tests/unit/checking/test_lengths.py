"""Trims without a unit: the firm's own unit, what the rows beside them prove, or both readings."""

from decimal import Decimal

import pytest

from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

HEAD = "job_ref|material|unit|issued_quantity"


def judge(*rows: str, record: str = "job_materials"):
    lines = "\n".join([HEAD, *(f"2025-014|{row}" for row in rows)])
    return Inbox(jobs=["2025-014"]).add(record, lines).judge()[record]


def test_a_bare_figure_is_in_the_firms_own_unit():
    judged = judge("drip trim||21")

    assert in_force(judged, "job_materials", "issued_quantity") == [(Decimal("21.000"),)]
    assert outcomes(judged) == ["clean"]


@pytest.mark.parametrize("beside", ["gutter trim|mm|9000", "gutter trim||9000 mm"])
def test_trims_beside_it_in_mm_prove_mm(beside):
    judged = judge(beside, "drip trim||6000")

    assert in_force(judged, "job_materials", "issued_quantity") == [
        (Decimal("6.000"),),
        (Decimal("9.000"),),
    ]
    assert outcomes(judged)[1] == "repaired"


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        (["drip trim||6000"], "could be 6000 m or 6000 mm, which is 6 m"),
        (["gutter trim|m|9", "drip trim||6000"], "could be 6000 m or 6000 mm, which is 6 m"),
        (["gutter trim|lengths|4", "drip trim||21"], "could be 21 m or 21 lengths, as beside it"),
        (["gutter trim|no.|4", "drip trim||21"], "could be 21 m or 21 lengths, as beside it"),
    ],
)
def test_without_proof_both_readings_are_told(rows, fault):
    judged = judge(*rows)

    assert reasons(judged) == [f"issued_quantity: {fault}"]


def test_other_materials_and_written_units_prove_nothing():
    judged = judge("nails||900", "bandage||250", "drip trim|m|250", "gutter trim||9")

    assert reasons(judged) == []
