"""Common practice and geometry: the least material of trim from 3 m lengths, by hand."""

from dataclasses import asdict

import pytest

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.no_reuse import plan_without_reuse
from pipelines.cutting.plans import CutPlan, LengthRules, Run
from pipelines.errors import QuantityError
from tests.support.cut_plans import find_faults

TRADE = {"stock_length_mm": 3000, "lap_mm": 50, "kerf_mm": 3, "keep_from_mm": 600}


def plan(*runs_mm: int, **changes: int | str) -> CutPlan:
    runs = [Run(edge_no, run_mm) for edge_no, run_mm in enumerate(runs_mm, start=1)]
    found = plan_least(runs, LengthRules(**(TRADE | changes)))
    assert find_faults(asdict(found)) == []
    return found


def pieces_mm(found: CutPlan) -> list[list[int]]:
    return sorted([piece.piece_mm for piece in length.pieces] for length in found.lengths)


@pytest.mark.parametrize("joint_rule", ["forced_only", "priced"])
@pytest.mark.parametrize(
    ("run_mm", "changes", "lengths_count"),
    [
        (6000, {}, 3),
        (5950, {}, 2),
        (6000, {"lap_mm": 0, "kerf_mm": 0}, 2),
        (5800, {}, 2),  # a 6.00 m edge between two corner pieces that cover 100 mm each
        (9000, {}, 4),
        (8850, {}, 3),
        (5951, {}, 3),
    ],
)
def test_a_straight_run_takes_run_less_lap_over_length_less_lap_rounded_up(
    run_mm, changes, lengths_count, joint_rule
):
    found = plan(run_mm, joint_rule=joint_rule, **changes)

    assert found.is_proven
    assert found.new_lengths_count == lengths_count
    assert found.joints_count == lengths_count - 1


@pytest.mark.parametrize("run_mm", [3000, 5950, 8900])
def test_a_run_of_whole_lengths_and_their_laps_wastes_nothing(run_mm):
    found = plan(run_mm)

    assert (found.binned_mm, found.kept_mm, found.kerf_mm) == (0, 0, 0)
    assert found.used_up_mm == run_mm + found.lap_mm


def test_the_saw_decides_whether_two_runs_come_from_one_length():
    assert pieces_mm(plan(1997, 1000)) == [[1997, 1000]]
    assert pieces_mm(plan(1998, 1000)) == [[1000], [1998]]


def test_a_rest_thinner_than_the_saw_is_gone():
    found = plan(1996, 1000)

    assert (found.kerf_mm, found.binned_mm) == (4, 0)


def test_a_run_and_its_lap_and_cut_leave_a_rest_to_keep():
    found = plan(4000)

    # two lengths, one join of 50, one cut of 3: 6000 - 4000 - 50 - 3
    assert (found.new_lengths_count, found.joints_count, found.lap_mm) == (2, 1, 50)
    assert (found.kept_mm, found.used_up_mm) == (1947, 4053)


@pytest.mark.parametrize(("run_mm", "kept_mm", "binned_mm"), [(2397, 600, 0), (2398, 0, 599)])
def test_a_rest_is_kept_from_the_shortest_length_worth_keeping(run_mm, kept_mm, binned_mm):
    found = plan(run_mm)

    assert (found.kept_mm, found.binned_mm) == (kept_mm, binned_mm)


def test_runs_that_fit_a_length_are_joined_only_where_that_is_priced():
    # 3 x 1.96 m of two lengths: 6000 - 5880 - lap 50 - 3 saw cuts, the fourth falls off the end
    forced = plan(1960, 1960, 1960, keep_from_mm=3001)
    priced = plan(1960, 1960, 1960, keep_from_mm=3001, joint_rule="priced", joint_price_mm=500)

    assert (forced.new_lengths_count, forced.joints_count) == (3, 0)
    assert (priced.new_lengths_count, priced.joints_count, priced.binned_mm) == (2, 1, 61)
    assert priced.cost_mm == 6000 + 500


@pytest.mark.parametrize(("joint_price_mm", "joints_count"), [(2999, 1), (3000, 0), (3001, 0)])
def test_a_join_that_costs_what_it_saves_is_not_made(joint_price_mm, joints_count):
    found = plan(
        1960, 1960, 1960, keep_from_mm=3001, joint_rule="priced", joint_price_mm=joint_price_mm
    )

    assert found.joints_count == joints_count


def test_a_run_just_over_a_length_is_joined_from_pieces_that_can_be():
    never_kept = {"keep_from_mm": 3001}

    assert pieces_mm(plan(3001)) == [[51], [3000]]
    assert pieces_mm(plan(3001, least_piece_mm=200, **never_kept)) == [[200], [2851]]
    # both pieces leave a rest to keep, for one saw cut more than the short piece would take
    least = plan(3001, least_piece_mm=200)
    assert pieces_mm(least) == [[654], [2397]]
    assert (least.is_proven, least.used_up_mm) == (True, plan(3001).used_up_mm + 3)


def test_a_whole_run_may_be_shorter_than_the_least_piece():
    assert pieces_mm(plan(120, 2800, least_piece_mm=200)) == [[2800, 120]]


def test_a_short_far_piece_is_made_up_where_another_run_leaves_room():
    # 200 mm is left beside 2797: it and 2966 make 3116, so that nothing is wasted
    found = plan(3116, 2797, least_piece_mm=200)

    assert found.is_proven
    assert found.cost_mm == plan(3116, 2797).cost_mm


def test_fewest_joins_decide_between_plans_that_use_up_the_same():
    found = plan(1200, 1200, 1200, 1200, lap_mm=0, kerf_mm=0, joint_rule="priced")

    # 4.8 m of two lengths: two and two leave 600 twice, with a join 1200 once
    assert (found.used_up_mm, found.joints_count) == (4800, 0)


def test_the_longest_single_rest_decides_between_plans_that_are_else_the_same():
    # 2000 + 500 and 1500 leave 500 and 1500, 2000 and 1500 + 500 leave 1000 twice
    found = plan(2000, 1500, 500, lap_mm=0, kerf_mm=0, keep_from_mm=500)

    assert pieces_mm(found) == [[1500], [2000, 500]]


def test_no_run_takes_nothing():
    found = plan()

    assert (found.new_lengths_count, found.used_up_mm, found.bound_mm) == (0, 0, 0)


def test_without_reuse_each_run_opens_lengths_of_its_own_and_bins_the_rest():
    runs = [Run(1, 6000), Run(2, 1000), Run(3, 1000)]
    found = plan_without_reuse(runs, LengthRules(**TRADE))

    assert find_faults(asdict(found)) == []
    assert (found.new_lengths_count, found.used_up_mm, found.kept_mm) == (5, 15000, 0)
    # 15000 - 8000 - two laps - three cuts of the last pieces
    assert (found.binned_mm, found.lap_mm, found.kerf_mm) == (6891, 100, 9)


@pytest.mark.parametrize(
    ("runs_mm", "changes", "says"),
    [
        ((0,), {}, "edge 1: a run of 0 mm"),
        ((2000, -5), {}, "edge 2: a run of -5 mm"),
        ((50,), {}, "edge 1: a run of 50 mm .* not longer than the lap of 50 mm"),
        ((2000,), {"lap_mm": 3000}, "lap_mm: 3000 mm .* new length of 3000 mm"),
        ((2000,), {"lap_mm": -1}, "lap_mm: -1 mm"),
        ((2000,), {"kerf_mm": -1}, "kerf_mm: -1 mm"),
        ((2000,), {"stock_length_mm": 0}, "stock_length_mm: 0 mm"),
        ((2000,), {"keep_from_mm": -600}, "keep_from_mm: -600 mm"),
        ((2000,), {"least_piece_mm": -1}, "least_piece_mm: -1 mm"),
        ((2000,), {"joint_price_mm": -1}, "joint_price_mm: -1 mm"),
        ((2000, 3010), {"least_piece_mm": 1600}, "edge 2: .*2 pieces of at least 1600 mm"),
    ],
)
def test_what_can_not_be_cut_is_refused_by_name(runs_mm, changes, says):
    for make in (plan_least, plan_without_reuse):
        with pytest.raises(QuantityError, match=says):
            make([Run(i, mm) for i, mm in enumerate(runs_mm, 1)], LengthRules(**(TRADE | changes)))


def test_two_runs_of_one_edge_are_refused():
    with pytest.raises(QuantityError, match="edge 4: 2 runs"):
        plan_least([Run(4, 2000), Run(4, 2500)], LengthRules(**TRADE))
