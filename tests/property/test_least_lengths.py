"""What must hold for the least material of any job, whatever its runs."""

from dataclasses import asdict, replace

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.no_reuse import plan_without_reuse
from pipelines.cutting.plans import CutPlan, LengthRules, Run
from tests.support.cut_plans import find_faults, take_stock

STOCK_MM = 3000

runs = st.lists(st.integers(101, 9500), min_size=1, max_size=9)
bare_rules = st.builds(
    LengthRules,
    stock_length_mm=st.just(STOCK_MM),
    lap_mm=st.integers(0, 100),
    kerf_mm=st.integers(0, 5),
    keep_from_mm=st.sampled_from([0, 300, 600, 1200, STOCK_MM + 1]),
    joint_rule=st.sampled_from(["forced_only", "priced"]),
    joint_price_mm=st.sampled_from([0, 100, 375, 1500]),
)
least_pieces = st.sampled_from([0, 40, 150, 200, 400])


def plan(runs_mm: list[int], rules: LengthRules) -> CutPlan:
    return plan_least([Run(edge_no, mm) for edge_no, mm in enumerate(runs_mm, start=1)], rules)


@given(runs_mm=runs, rules=bare_rules, least_piece_mm=least_pieces)
@settings(max_examples=100, deadline=None)
def test_every_plan_keeps_its_rules_and_adds_up(runs_mm, rules, least_piece_mm):
    found = plan(runs_mm, replace(rules, least_piece_mm=least_piece_mm))

    assert find_faults(asdict(found)) == []
    figures = take_stock(asdict(found))
    del figures["opened_mm"]
    assert {name: getattr(found, name) for name in figures} == figures


@given(runs_mm=runs, rules=bare_rules)
@settings(max_examples=60, deadline=None)
def test_with_no_least_piece_every_plan_is_proven(runs_mm, rules):
    assert plan(runs_mm, rules).is_proven


@given(runs_mm=runs, rules=bare_rules, least_piece_mm=least_pieces, data=st.data())
@settings(max_examples=40, deadline=None)
def test_the_order_of_runs_changes_nothing(runs_mm, rules, least_piece_mm, data):
    rules = replace(rules, least_piece_mm=least_piece_mm)
    given_runs = [Run(edge_no, mm) for edge_no, mm in enumerate(runs_mm, start=1)]
    shuffled = data.draw(st.permutations(given_runs))

    assert plan_least(shuffled, rules) == plan_least(given_runs, rules)


@given(runs_mm=runs, rules=bare_rules, more_mm=st.integers(1, 3000), at=st.integers(0, 8))
@settings(max_examples=60, deadline=None)
def test_a_longer_run_never_costs_less(runs_mm, rules, more_mm, at):
    longer = list(runs_mm)
    longer[at % len(runs_mm)] += more_mm

    assert plan(longer, rules).cost_mm >= plan(runs_mm, rules).cost_mm


@given(runs_mm=runs, rules=bare_rules, more_mm=st.integers(101, 9500))
@settings(max_examples=60, deadline=None)
def test_one_run_more_never_costs_less(runs_mm, rules, more_mm):
    assert plan([*runs_mm, more_mm], rules).cost_mm >= plan(runs_mm, rules).cost_mm


@given(one=runs, other=runs, rules=bare_rules)
@settings(max_examples=40, deadline=None)
def test_two_jobs_planned_as_one_never_cost_more_than_each_alone(one, other, rules):
    one, other = one[:6], other[:6]

    together = plan(one + other, rules).cost_mm

    assert together <= plan(one, rules).cost_mm + plan(other, rules).cost_mm


@given(runs_mm=runs, rules=bare_rules)
@settings(max_examples=40, deadline=None)
def test_ten_times_the_lengths_cost_ten_times_as_much(runs_mm, rules):
    lengths = ("stock_length_mm", "lap_mm", "kerf_mm", "keep_from_mm", "joint_price_mm")
    tenfold = replace(rules, **{name: 10 * getattr(rules, name) for name in lengths})

    assert plan([10 * mm for mm in runs_mm], tenfold).cost_mm == 10 * plan(runs_mm, rules).cost_mm


@given(runs_mm=runs, rules=bare_rules, least_piece_mm=least_pieces)
@settings(max_examples=60, deadline=None)
def test_a_least_piece_never_saves(runs_mm, rules, least_piece_mm):
    bare = plan(runs_mm, rules)
    bound = plan(runs_mm, replace(rules, least_piece_mm=least_piece_mm))

    assert bare.cost_mm <= bound.bound_mm <= bound.cost_mm


@given(runs_mm=runs, rules=bare_rules)
@settings(max_examples=60, deadline=None)
def test_joins_that_may_be_made_never_cost_more_than_joins_that_must(runs_mm, rules):
    priced = plan(runs_mm, replace(rules, joint_rule="priced"))
    forced = plan(runs_mm, replace(rules, joint_rule="forced_only"))

    assert priced.cost_mm <= forced.cost_mm + forced.joints_count * rules.joint_price_mm


@given(runs_mm=runs, rules=bare_rules)
@settings(max_examples=60, deadline=None)
def test_to_use_no_rest_again_never_takes_less(runs_mm, rules):
    given_runs = [Run(edge_no, mm) for edge_no, mm in enumerate(runs_mm, start=1)]
    plain = plan_without_reuse(given_runs, rules)

    assert find_faults(asdict(plain)) == []
    assert plain.used_up_mm == plain.new_lengths_count * STOCK_MM
    best = plan(runs_mm, replace(rules, joint_rule="forced_only"))
    assert best.used_up_mm <= plain.used_up_mm


@given(
    runs_mm=st.lists(st.integers(101, 6000), min_size=15, max_size=24),
    rules=bare_rules,
    least_piece_mm=least_pieces,
)
@settings(max_examples=15, deadline=None)
def test_plans_of_many_runs_keep_their_rules_and_come_within_a_length_of_their_bound(
    runs_mm, rules, least_piece_mm
):
    found = plan(runs_mm, replace(rules, least_piece_mm=least_piece_mm))

    assert find_faults(asdict(found)) == []
    assert found.cost_mm <= found.bound_mm + STOCK_MM


@given(
    few=st.lists(st.integers(200, 5000), min_size=8, max_size=8),
    more=st.lists(st.integers(200, 5000), min_size=8, max_size=8),
    rules=bare_rules,
)
@settings(max_examples=12, deadline=None)
def test_many_runs_stand_between_some_of_them_and_all_handfuls_alone(few, more, rules):
    found = plan(few + more, rules)

    assert found.bound_mm <= plan(few, rules).cost_mm + plan(more, rules).cost_mm
    assert found.cost_mm >= plan(few, rules).cost_mm
