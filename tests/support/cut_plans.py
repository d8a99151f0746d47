"""Whether a cutting plan keeps its rules, and what it takes; knows no way of finding plans."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import ceil
from typing import Any

Plan = Mapping[str, Any]
"""rules, runs, lengths and bound_mm as plain values, whole mm."""


def find_faults(plan: Plan, rack_mm: Mapping[str, int] | None = None) -> list[str]:
    """Name every rule that a plan breaks; `rack_mm` is the rack's pieces by their label."""
    return [
        *(fault for length in plan["lengths"] for fault in _length_faults(plan, length)),
        *_rack_faults(plan["lengths"], rack_mm or {}),
        *_run_faults(plan),
        *_joined_faults(plan),
        *_sum_faults(plan),
    ]


def take_stock(plan: Plan) -> dict[str, int]:
    """Give what is opened and what becomes of it, in mm, and how many joins and lengths."""
    rules, lengths = plan["rules"], plan["lengths"]
    pieces = [piece["piece_mm"] for length in lengths for piece in length["pieces"]]
    lefts = [_left(plan, length) for length in lengths]
    joints = len(pieces) - len(plan["runs"])
    opened = sum(length["length_mm"] for length in lengths)
    kept = sum(left for left in lefts if left >= rules["keep_from_mm"])
    price = rules["joint_price_mm"] if rules["joint_rule"] == "priced" else 0
    return {
        "opened_mm": opened,
        "run_mm": sum(run["run_mm"] for run in plan["runs"]),
        "lap_mm": joints * rules["lap_mm"],
        "kerf_mm": opened - sum(pieces) - sum(lefts),
        "kept_mm": kept,
        "binned_mm": sum(lefts) - kept,
        "used_up_mm": opened - kept,
        "cost_mm": opened - kept + joints * price,
        "joints_count": joints,
        "new_lengths_count": sum(length["offcut_label"] is None for length in lengths),
    }


def _left(plan: Plan, length: Plan) -> int:
    cut = sum(piece["piece_mm"] for piece in length["pieces"])
    kerf = plan["rules"]["kerf_mm"] * len(length["pieces"])
    return max(0, length["length_mm"] - cut - kerf)


def _length_faults(plan: Plan, length: Plan) -> list[str]:
    rules, pieces = plan["rules"], [piece["piece_mm"] for piece in length["pieces"]]
    cut = sum(pieces) + rules["kerf_mm"] * (len(pieces) - 1)
    edges = [piece["edge_no"] for piece in length["pieces"]]
    is_new = length["offcut_label"] is None
    found = {
        "nothing is cut from it": not pieces,
        "more is cut from it than it is": cut > length["length_mm"],
        "a piece is not above 0": any(piece <= 0 for piece in pieces),
        "one run has two pieces of it": len(set(edges)) < len(edges),
        "it is no new length": is_new and length["length_mm"] != rules["stock_length_mm"],
    }
    return [f"{length}: {fault}" for fault, holds in found.items() if holds]


def _rack_faults(lengths: Sequence[Plan], rack_mm: Mapping[str, int]) -> list[str]:
    taken = [length for length in lengths if length["offcut_label"] is not None]
    times = Counter(length["offcut_label"] for length in taken)
    return [
        *(
            f"rack piece {label}: taken {count} times"
            for label, count in times.items()
            if count > 1
        ),
        *(
            f"rack piece {length['offcut_label']}: not of the rack's length"
            for length in taken
            if rack_mm.get(length["offcut_label"]) != length["length_mm"]
        ),
    ]


def _run_faults(plan: Plan) -> list[str]:
    rules, runs = plan["rules"], {run["edge_no"]: run["run_mm"] for run in plan["runs"]}
    pieces = defaultdict(list)
    for length in plan["lengths"]:
        for piece in length["pieces"]:
            pieces[piece["edge_no"]].append(piece["piece_mm"])
    faults = [f"edge {edge_no}: pieces of no run" for edge_no in pieces if edge_no not in runs]
    for edge_no, run_mm in runs.items():
        cut = pieces[edge_no]
        serves = rules["stock_length_mm"] - rules["lap_mm"]
        forced = ceil(Fraction(run_mm - rules["lap_mm"], serves))
        is_forced_only = rules["joint_rule"] == "forced_only"
        least = max(rules["least_piece_mm"], rules["lap_mm"] + 1)
        found = {
            "is not covered": sum(cut) - rules["lap_mm"] * (len(cut) - 1) != run_mm,
            "has a piece too short to join": len(cut) > 1 and min(cut) < least,
            "has joins that are not forced": is_forced_only and len(cut) != forced,
        }
        faults += [f"edge {edge_no} {fault}" for fault, holds in found.items() if holds]
    return faults


def _joined_faults(plan: Plan) -> list[str]:
    """Name runs that are joined to more new lengths than they take."""
    rules, runs = plan["rules"], {run["edge_no"]: run["run_mm"] for run in plan["runs"]}
    joined: list[tuple[set[int], list[Plan]]] = []
    for length in plan["lengths"]:
        edges, lengths = {piece["edge_no"] for piece in length["pieces"]}, [length]
        for others in [each for each in joined if each[0] & edges]:
            joined.remove(others)
            edges, lengths = edges | others[0], lengths + others[1]
        joined.append((edges, lengths))
    over = rules["lap_mm"] + rules["kerf_mm"]
    serves = rules["stock_length_mm"] - rules["lap_mm"]
    return [
        f"edges {sorted(edges)}: a length more than they take"
        for edges, lengths in joined
        if all(length["offcut_label"] is None for length in lengths)
        and (len(lengths) - 1) * serves
        >= sum(runs.get(no, 0) + rules["kerf_mm"] for no in edges) - over
        > 0
    ]


def _sum_faults(plan: Plan) -> list[str]:
    stock = take_stock(plan)
    parts = ("run_mm", "lap_mm", "kerf_mm", "kept_mm", "binned_mm")
    found = {
        "the parts do not add up to what is opened": stock["opened_mm"]
        != sum(stock[part] for part in parts),
        "it costs less than its bound": stock["cost_mm"] < plan["bound_mm"],
    }
    return [fault for fault, holds in found.items() if holds]
