"""The checks that hold the cutting plans of a run against the runs and rules, by sums alone."""

import pytest

RUNS = """
    job_ref  | material  | kind | stage  | edge_no | run_mm | stock_length_mm | lap_mm | kerf_mm | keep_from_mm | least_piece_mm | joint_rule  | joint_price_mm
    ---------+-----------+------+--------+---------+--------+-----------------+--------+---------+--------------+----------------+-------------+---------------
    2025-014 | drip trim | trim | fitted | 1       | 5000   | 3000            | 50     | 3       | 600          | 200            | forced_only | 0
    2025-014 | drip trim | trim | fitted | 2       | 2000   | 3000            | 50     | 3       | 600          | 200            | forced_only | 0
    2025-014 | drip trim | trim | fitted | 3       | 150    | 3000            | 50     | 3       | 600          | 200            | forced_only | 0
"""
# 9000 opened = 7150 runs + 50 lap + 3 cuts of 3 + 947 + 844 kept; the first length needs no cut
PIECES = """
    job_ref  | material  | stage  | length_no | piece_no | length_mm | edge_no | piece_mm
    ---------+-----------+--------+-----------+----------+-----------+---------+---------
    2025-014 | drip trim | fitted | 1         | 1        | 3000      | 1       | 3000
    2025-014 | drip trim | fitted | 2         | 1        | 3000      | 1       | 2050
    2025-014 | drip trim | fitted | 3         | 1        | 3000      | 2       | 2000
    2025-014 | drip trim | fitted | 3         | 2        | 3000      | 3       | 150
"""
PLANS = """
    job_ref  | material  | stage  | plan      | kind | lengths_count | joints_count | net_quantity | lap_quantity | kerf_quantity | kept_quantity | binned_quantity | used_up_quantity | bound_quantity | is_proven | problem
    ---------+-----------+--------+-----------+------+---------------+--------------+--------------+--------------+---------------+---------------+-----------------+------------------+----------------+-----------+--------
    2025-014 | drip trim | fitted | best      | trim | 3             | 1            | 7.150        | 0.050        | 0.009         | 1.791         | 0               | 7.209            | 7.209          | true      |
    2025-014 | drip trim | fitted | no re-use | trim | 4             | 1            | 7.150        | 0.050        | 0.009         | 0             | 4.791           | 12.000           | 12.000         | true      |
"""
CHECKS = {
    "cut_run_without_plan": ("cut_run", "cut_job"),
    "cut_run_not_covered": ("cut_run", "cut_job", "cut_piece"),
    "cut_length_not_sound": ("cut_run", "cut_piece"),
    "cut_job_not_its_pieces": ("cut_run", "cut_job", "cut_piece"),
    "cut_job_not_sound": ("cut_job",),
}
DRIP = "job 2025-014 drip trim as fitted"
SECOND = "2025-014 | drip trim | fitted | 2         | 1        | 3000      | 1       | 2050"
THIRD = "2025-014 | drip trim | fitted | 3         | 1        | 3000      | 2       | 2000"
FOURTH = "2025-014 | drip trim | fitted | 3         | 2        | 3000      | 3       | 150"
THIRD_RUN = "2025-014 | drip trim | trim | fitted | 3       | 150    | 3000            | 50     | 3       | 600          | 200            | forced_only | 0"
BEST = "2025-014 | drip trim | fitted | best      | trim | 3"

FAULTS = [
    (
        "cut_run_without_plan",
        [("cut_job", "best     ", "no re-use")],
        [f"{DRIP}: 1 of 2 plans"],
    ),
    (
        "cut_run_without_plan",
        [("cut_job", "fitted | best", "quoted | best")],
        [f"{DRIP}: 1 of 2 plans"],
    ),
    (
        "cut_run_not_covered",
        [("cut_piece", "2050", "2049")],
        [f"{DRIP}, edge 1: 4999 mm of its 5000 mm are covered"],
    ),
    (
        "cut_run_not_covered",
        [("cut_piece", SECOND, SECOND.replace("fitted | 2", "fitted | 1"))],
        [f"{DRIP}, edge 1: 2 pieces come from 1 lengths"],
    ),
    (
        "cut_run_not_covered",
        [
            ("cut_piece", THIRD, THIRD.replace("2000", "1000")),
            (
                "cut_piece",
                SECOND,
                SECOND + "\n" + THIRD.replace("3 ", "2 ").replace("2000", "1050"),
            ),
        ],
        [f"{DRIP}, edge 2: 2 pieces, where 1 are forced"],
    ),
    (
        "cut_run_not_covered",
        [("cut_run", "5000", "3100"), ("cut_piece", "2050", "150")],
        [f"{DRIP}, edge 1: a joined piece of 150 mm, the least is 200 mm"],
    ),
    (
        "cut_run_not_covered",
        [("cut_run", THIRD_RUN, "")],
        [f"{DRIP}, edge 3: pieces are cut for a run that is not planned"],
    ),
    (
        "cut_run_not_covered",
        [("cut_piece", THIRD, "")],
        [
            f"{DRIP}, edge 2: 0 mm of its 2000 mm are covered",
            f"{DRIP}, edge 2: 0 pieces, where 1 are forced",
        ],
    ),
    ("cut_length_not_sound", [("cut_piece", "2000", "2847")], []),
    (
        "cut_length_not_sound",
        [("cut_piece", "2000", "2848")],
        [f"{DRIP}, length 3: 3001 mm are cut from 3000 mm, a new length is 3000 mm"],
    ),
    (
        "cut_length_not_sound",
        [("cut_piece", SECOND, SECOND.replace("3000", "3001"))],
        [f"{DRIP}, length 2: 2050 mm are cut from 3001 mm, a new length is 3000 mm"],
    ),
    (
        "cut_length_not_sound",
        [("cut_piece", "| 150", "| 0")],
        [f"{DRIP}, length 3: 2003 mm are cut from 3000 mm, a new length is 3000 mm"],
    ),
    (
        "cut_job_not_its_pieces",
        [("cut_job", BEST, BEST.replace("| 3", "| 2"))],
        [f"{DRIP}: 2 lengths in the plan, 3 by its pieces"],
    ),
    (
        "cut_job_not_its_pieces",
        [("cut_piece", FOURTH, "")],
        [
            f"{DRIP}: 1 joins in the plan, 0 by its pieces",
            f"{DRIP}: 1791 mm kept in the plan, 1944 by its pieces",
            f"{DRIP}: 9 mm of cuts in the plan, 6 by its pieces",
            f"{DRIP}: 50 mm of laps in the plan, 0 by its pieces",
        ],
    ),
    (
        "cut_job_not_sound",
        [("cut_job", "0.009         | 1.791", "0.010         | 1.791")],
        [f"{DRIP}, plan best: 7.209000 is used up, its parts are 7.210000"],
    ),
    (
        "cut_job_not_sound",
        [("cut_job", "7.209          | true", "7.210          | false")],
        [f"{DRIP}, plan best: 7.209000 is used up, less than the bound of 7.210000"],
    ),
    ("cut_job_not_sound", [("cut_job", "7.209          | true", "7.208          | false")], []),
    (
        "cut_job_not_sound",
        [("cut_job", "7.209          | true", "7.208          | true")],
        [f"{DRIP}, plan best: called proven, with a bound of 7.208000 for 7.209000"],
    ),
    (
        "cut_job_not_sound",
        [
            (
                "cut_job",
                "4.791           | 12.000           | 12.000",
                "-0.001          | 7.208 | 7.208",
            )
        ],
        [f"{DRIP}, plan best: 7.209000 is used up, 7.208000 without re-use"],
    ),
]


def find_faults(relation, name, *changes):
    drawn = {"cut_run": RUNS, "cut_job": PLANS, "cut_piece": PIECES}
    for which, old, new in changes:
        assert drawn[which].count(old) == 1
        changed = drawn[which].replace(old, new).splitlines()
        drawn[which] = "\n".join(line for line in changed if line.strip())
    read = {each: drawn[each] for each in CHECKS[name]}
    return relation(f"checks.{name}", **read)["fault"].to_list()


@pytest.mark.parametrize("name", CHECKS)
def test_a_sound_plan_has_no_fault(relation, name):
    assert find_faults(relation, name) == []


@pytest.mark.parametrize(("name", "changes", "faults"), FAULTS)
def test_a_check_finds_what_is_broken_and_nothing_else(relation, name, changes, faults):
    assert find_faults(relation, name, *changes) == faults
