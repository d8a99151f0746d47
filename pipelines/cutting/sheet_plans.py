"""Plans of boards and mat for the roofs of jobs, as one frame."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

import polars as pl

from pipelines.cutting.board_plans import REUSE_FROM_MM, STAGGER_MM, BoardPlan, BoardRules
from pipelines.cutting.boards import count_rows, plan_boards, plan_boards_without_reuse
from pipelines.cutting.mat_strips import MatPlan, MatRules, plan_mat, plan_mat_without_reuse
from pipelines.cutting.outlines import Outline, outline_roof
from pipelines.errors import QuantityError
from pipelines.quantities import MM2_IN_M2
from schemas.frames import shape_of

KEY = ("job_ref", "material", "stage", "plan")
BEST, NO_REUSE = "best", "no re-use"
ANEW = "rows begin anew at the inner corner; running them through may take fewer"


def plan_sheets(roofs: pl.DataFrame, edges: pl.DataFrame) -> pl.DataFrame:
    """
    Plan the boards and the mat of each roof, with re-use and without.

    Args:
        roofs: one row per job_ref, material, stage: kind (board, mat), net_quantity (m2 of board
            or mat), area_m2 (of the roof), layer_count (of mat), length_mm, width_mm,
            cover_width_mm, lap_mm, keep_from_mm, joist_mm, stagger_mm, reuse_from_mm. Blank
            cover_width_mm is a square edge, blank joist_mm ends anywhere, blank keep_from_mm
            nothing kept; blank stagger_mm and reuse_from_mm are 400 mm.
        edges: one row per job_ref, stage, edge_no: edge_mm, upstand_mm; blank upstand_mm is none.

    Returns:
        Two rows per row of `roofs`, plan best and no re-use, sorted by key, shaped as
        `result.cut_job`.
        opened = net + lap + kerf + kept + binned, used_up = opened - kept. Net is the area of the
        rectangles that are covered, and for mat that of the upstands too, by layers. Where no
        plan can be made the figures are null and `problem` says why.

    """
    rings = {
        (key[0], key[1]): ring.sort("edge_no")
        for key, ring in edges.group_by("job_ref", "stage", maintain_order=True)
    }
    none = edges.clear()
    planned = [
        row
        for roof in roofs.iter_rows(named=True)
        for row in _plan_roof(roof, rings.get((roof["job_ref"], roof["stage"]), none))
    ]
    return pl.DataFrame(planned, schema=shape_of("result.cut_job")).sort(KEY)


def _plan_roof(roof: Mapping[str, Any], ring: pl.DataFrame) -> list[dict[str, Any]]:
    key = {name: roof[name] for name in ("job_ref", "material", "stage", "kind")}
    try:
        figures = (_board_figures if roof["kind"] == "board" else _mat_figures)(roof, ring)
    except QuantityError as error:
        return [key | {"plan": plan, "problem": str(error)} for plan in (BEST, NO_REUSE)]
    return [key | {"plan": plan} | figures[plan] for plan in (BEST, NO_REUSE)]


def _board_figures(roof: Mapping[str, Any], ring: pl.DataFrame) -> dict[str, dict[str, Any]]:
    rules = BoardRules(
        length_mm=_recorded(roof, "length_mm"),
        width_mm=_recorded(roof, "width_mm"),
        cover_width_mm=roof["cover_width_mm"],
        joist_mm=roof["joist_mm"],
        stagger_mm=_or_usual(roof["stagger_mm"], STAGGER_MM),
        reuse_from_mm=_or_usual(roof["reuse_from_mm"], REUSE_FROM_MM),
        keep_from_mm=roof["keep_from_mm"],
    )
    outline = _outline(roof, ring)
    decked_mm2 = _to_mm2(roof, "net_quantity")
    if decked_mm2 is None:
        raise QuantityError("net_quantity is not recorded")
    whole_mm2 = _to_mm2(roof, "area_m2") or outline.area_mm2
    decked = count_rows(outline, rules, Fraction(decked_mm2, whole_mm2))
    own = plan_boards_without_reuse(decked, rules)
    best = plan_boards(decked, rules)
    searched = None if best.is_proven else "best of a search; fewer boards are not ruled out"
    return {
        BEST: _figures(best, outline, decked.how, searched),
        NO_REUSE: _figures(own, outline, decked.how),
    }


def _mat_figures(roof: Mapping[str, Any], ring: pl.DataFrame) -> dict[str, dict[str, Any]]:
    rules = MatRules(
        roll_width_mm=_recorded(roof, "width_mm"),
        lap_mm=_recorded(roof, "lap_mm"),
        layer_count=_recorded(roof, "layer_count"),
    )
    outline = _outline(roof, ring)
    upstand_mm2 = sum(
        edge["edge_mm"] * (edge["upstand_mm"] or 0) for edge in ring.iter_rows(named=True)
    )
    return {
        BEST: _figures(plan_mat(outline, upstand_mm2, rules), outline),
        NO_REUSE: _figures(plan_mat_without_reuse(outline, upstand_mm2, rules), outline),
    }


def _figures(plan: BoardPlan | MatPlan, outline: Outline, *how: str | None) -> dict[str, Any]:
    # rows that ran through the inner corner of an L could be fewer: only the area bounds them
    is_parted = len(outline.rectangles) > 1
    said = (outline.how, *how, ANEW if is_parted else None)
    return {
        "lengths_count": plan.boards_count if isinstance(plan, BoardPlan) else plan.strips_count,
        "joints_count": plan.joints_count,
        "net_quantity": _square_metres(plan.net_mm2),
        "lap_quantity": _square_metres(plan.lap_mm2),
        "kerf_quantity": Decimal(0),
        "kept_quantity": _square_metres(plan.kept_mm2),
        "binned_quantity": _square_metres(plan.binned_mm2),
        "used_up_quantity": _square_metres(plan.used_up_mm2),
        "bound_quantity": _square_metres(plan.net_mm2 if is_parted else plan.bound_mm2),
        "is_proven": plan.is_proven and not is_parted,
        "how": "; ".join(words for words in said if words) or None,
    }


def _outline(roof: Mapping[str, Any], ring: pl.DataFrame) -> Outline:
    for edge in ring.iter_rows(named=True):
        if edge["edge_mm"] is None:
            raise QuantityError(f"edge {edge['edge_no']}: its length is not recorded")
    return outline_roof(ring["edge_mm"].to_list(), _to_mm2(roof, "area_m2"))


def _to_mm2(roof: Mapping[str, Any], name: str) -> int | None:
    area_m2: float | None = roof[name]
    if area_m2 is None:
        return None
    if area_m2 <= 0:
        raise QuantityError(f"{name}: {area_m2} m2 is not above 0")
    return round(area_m2 * MM2_IN_M2)


def _recorded(roof: Mapping[str, Any], name: str) -> int:
    value: int | None = roof[name]
    if value is None:
        raise QuantityError(f"{name} is not recorded")
    return value


def _or_usual(value: int | None, usual: int) -> int:
    return usual if value is None else value


def _square_metres(area_mm2: int) -> Decimal:
    return Decimal(area_mm2) / MM2_IN_M2
