"""What must hold of plans from the rack, whatever the runs and the rack pieces are."""

from collections.abc import Sequence
from dataclasses import asdict, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.plans import CutPlan, JointRule, LengthRules, Offcut, Run
from pipelines.cutting.with_rack import plan_with_rack
from pipelines.errors import QuantityError
from tests.support.cut_plans import find_faults

RULES = LengthRules(
    stock_length_mm=3000, lap_mm=50, kerf_mm=3, keep_from_mm=600, joint_price_mm=375
)

runs = st.lists(st.integers(201, 9000), min_size=1, max_size=5)
many_runs = st.lists(st.integers(201, 9000), min_size=13, max_size=16)
racks = st.lists(st.integers(1, 3000), max_size=4)
joint_rules = st.sampled_from(["forced_only", "priced"])
least_pieces = st.sampled_from([0, 200])


def plan(
    runs_mm: Sequence[int], rack_mm: Sequence[int], rule: JointRule, least_piece_mm: int = 0
) -> CutPlan:
    rules = replace(RULES, joint_rule=rule, least_piece_mm=least_piece_mm)
    edges = [Run(number, length) for number, length in enumerate(runs_mm, start=1)]
    return plan_with_rack(edges, rules, name_pieces(rack_mm))


def name_pieces(rack_mm: Sequence[int]) -> list[Offcut]:
    return [Offcut(f"piece {number}", length) for number, length in enumerate(rack_mm, start=1)]


@given(runs_mm=runs, rack_mm=racks, rule=joint_rules, least_piece_mm=least_pieces)
@settings(max_examples=60, deadline=None)
def test_a_plan_keeps_the_rules_and_its_bound(runs_mm, rack_mm, rule, least_piece_mm):
    found = plan(runs_mm, rack_mm, rule, least_piece_mm)
    racked = {offcut.label: offcut.length_mm for offcut in name_pieces(rack_mm)}

    assert find_faults(asdict(found), racked) == []
    assert found.bound_mm <= found.cost_mm
    assert found.is_proven or least_piece_mm


@given(runs_mm=many_runs, rack_mm=racks, rule=joint_rules)
@settings(max_examples=6, deadline=None)
def test_many_runs_keep_the_rules_and_their_bound(runs_mm, rack_mm, rule):
    found = plan(runs_mm, rack_mm, rule)
    racked = {offcut.label: offcut.length_mm for offcut in name_pieces(rack_mm)}

    assert find_faults(asdict(found), racked) == []
    assert found.bound_mm <= found.cost_mm <= plan(runs_mm, [], rule).cost_mm


@given(runs_mm=runs, rack_mm=racks, more_mm=st.integers(1, 3000), rule=joint_rules)
@settings(max_examples=60, deadline=None)
def test_one_rack_piece_more_never_costs_more(runs_mm, rack_mm, more_mm, rule):
    with_more = plan(runs_mm, [*rack_mm, more_mm], rule)

    assert with_more.cost_mm <= plan(runs_mm, rack_mm, rule).cost_mm


@given(runs_mm=runs, rack_mm=racks, rule=joint_rules, order=st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_the_order_of_runs_and_rack_pieces_changes_nothing(runs_mm, rack_mm, rule, order):
    edges = [Run(number, length) for number, length in enumerate(runs_mm, start=1)]
    pieces, rules = name_pieces(rack_mm), replace(RULES, joint_rule=rule)
    before = plan_with_rack(edges, rules, pieces)
    order.shuffle(edges)
    order.shuffle(pieces)

    assert plan_with_rack(edges, rules, pieces) == before


@given(runs_mm=runs, rack_mm=racks, rule=joint_rules)
@settings(max_examples=40, deadline=None)
def test_ten_times_the_lengths_cost_ten_times_as_much(runs_mm, rack_mm, rule):
    rules = replace(RULES, joint_rule=rule)
    tenfold = LengthRules(30_000, 500, 30, 6000, 0, rule, 3750)
    edges = [Run(number, length) for number, length in enumerate(runs_mm, start=1)]
    longer = [replace(edge, run_mm=10 * edge.run_mm) for edge in edges]
    pieces = name_pieces(rack_mm)
    long_pieces = [replace(piece, length_mm=10 * piece.length_mm) for piece in pieces]

    cost = plan_with_rack(edges, rules, pieces, 1).cost_mm
    assert plan_with_rack(longer, tenfold, long_pieces, 1).cost_mm == 10 * cost


def test_an_empty_rack_changes_no_plan():
    edges = [Run(number, 631 * number + 77) for number in range(1, 8)]
    alone = replace(plan_least(edges, RULES), offcut_price_ratio=0.5)

    assert plan_with_rack(edges, RULES, []) == alone


def test_a_rack_piece_as_long_as_the_run_is_taken_whole():
    found = plan([2000], [2000, 2500], "forced_only")

    assert [length.offcut_label for length in found.lengths] == ["piece 1"]
    assert (found.used_up_mm, found.kerf_mm, found.binned_mm) == (2000, 0, 0)


def test_of_equal_rack_pieces_the_lower_label_is_taken():
    found = plan_with_rack([Run(1, 2000)], RULES, [Offcut("10", 2000), Offcut("9", 2000)])

    assert [length.offcut_label for length in found.lengths] == ["9"]


def test_a_short_run_is_not_joined_from_the_rack_where_joins_stay_forced():
    found = plan([2500], [1500, 1500], "forced_only")

    assert (found.new_lengths_count, found.joints_count) == (1, 0)


def test_a_rack_piece_is_one_of_the_forced_pieces_of_a_long_run():
    found = plan([4000], [1050], "forced_only")

    assert [length.length_mm for length in found.lengths] == [1050, 3000]
    assert (found.joints_count, found.binned_mm) == (1, 0)


def test_three_rack_pieces_serve_one_long_run():
    found = plan([7000], [2000, 2100, 3000], "forced_only")

    assert found.new_lengths_count == 0
    assert found.is_proven


@pytest.mark.parametrize(
    ("pieces", "words"),
    [
        ([Offcut("red tag", 0)], "rack piece red tag: 0 mm can't be"),
        ([Offcut("red tag", 3001)], "no longer than a new length of 3000 mm"),
        ([Offcut("red tag", 900), Offcut("red tag", 800)], "two pieces carry this label"),
    ],
)
def test_a_rack_piece_that_cannot_be_is_named(pieces, words):
    with pytest.raises(QuantityError, match=words):
        plan_with_rack([Run(1, 2000)], RULES, pieces)


def test_a_price_ratio_above_one_is_refused():
    with pytest.raises(QuantityError, match="offcut_price_ratio"):
        plan_with_rack([Run(1, 2000)], RULES, [], 1.5)
