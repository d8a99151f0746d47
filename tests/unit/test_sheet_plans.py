"""Plans of boards and mat, as one frame."""

from decimal import Decimal
from typing import Any

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from pipelines.cutting.sheet_plans import plan_sheets
from schemas.frames import shape_of
from schemas.tables import TABLES

ROOF = {
    "job_ref": "2025-014",
    "material": "deck board",
    "kind": "board",
    "stage": "fitted",
    "net_quantity": 21.0,
    "area_m2": 21.0,
    "layer_count": None,
    "length_mm": 2400,
    "width_mm": 600,
    "cover_width_mm": 590,
    "lap_mm": None,
    "keep_from_mm": None,
    "joist_mm": None,
    "stagger_mm": None,
    "reuse_from_mm": None,
}
MAT = ROOF | {
    "material": "mat 450",
    "kind": "mat",
    "net_quantity": 42.0,
    "layer_count": 2,
    "length_mm": None,
    "width_mm": 950,
    "cover_width_mm": None,
    "lap_mm": 50,
}
PARTS = [f"{part}_quantity" for part in ("net", "lap", "kerf", "kept", "binned")]


def roofs(*rows: dict[str, Any]) -> pl.DataFrame:
    text = ("job_ref", "material", "kind", "stage")
    area = ("net_quantity", "area_m2")
    schema = {
        name: pl.String if name in text else pl.Float64 if name in area else pl.Int64
        for name in ROOF
    }
    return pl.DataFrame(rows, schema=schema)


def ring(*edges_mm: int | None, upstands_mm: tuple[int | None, ...] = ()) -> pl.DataFrame:
    heights = upstands_mm or (None,) * len(edges_mm)
    return pl.DataFrame(
        {
            "job_ref": ["2025-014"] * len(edges_mm),
            "stage": ["fitted"] * len(edges_mm),
            "edge_no": list(range(1, len(edges_mm) + 1)),
            "edge_mm": list(edges_mm),
            "upstand_mm": list(heights),
        },
        schema={
            "job_ref": pl.String,
            "stage": pl.String,
            "edge_no": pl.Int64,
            "edge_mm": pl.Int64,
            "upstand_mm": pl.Int64,
        },
    )


RECTANGLE = ring(6000, 3500, 6000, 3500)


def test_boards_are_planned_with_reuse_and_without():
    best, own = plan_sheets(roofs(ROOF), RECTANGLE).to_dicts()

    assert best == {
        "job_ref": "2025-014",
        "material": "deck board",
        "stage": "fitted",
        "plan": "best",
        "kind": "board",
        "lengths_count": 15,
        "joints_count": 12,
        "net_quantity": Decimal("21.0"),
        "lap_quantity": Decimal("0.36"),
        "kerf_quantity": Decimal("0.0"),
        "kept_quantity": Decimal("0.0"),
        "binned_quantity": Decimal("0.24"),
        "used_up_quantity": Decimal("21.6"),
        "bound_quantity": Decimal("21.6"),
        "is_proven": True,
        "how": None,
        "problem": None,
    }
    assert own["plan"] == "no re-use"
    assert (own["lengths_count"], own["used_up_quantity"]) == (18, Decimal("25.92"))


def test_mat_is_planned_with_its_upstands_in_all_layers():
    # an upstand of 150 mm along the back is 0.9 m2 a layer, as much as is ripped off
    edges = ring(6000, 3500, 6000, 3500, upstands_mm=(0, None, 150, None))

    best, own = plan_sheets(roofs(MAT), edges).to_dicts()

    assert (best["lengths_count"], best["joints_count"]) == (8, 6)
    assert (best["net_quantity"], best["lap_quantity"]) == (Decimal("43.8"), Decimal("1.8"))
    assert (best["binned_quantity"], best["used_up_quantity"]) == (0, Decimal("45.6"))
    assert best["is_proven"]
    assert (own["binned_quantity"], own["used_up_quantity"]) == (Decimal("1.8"), Decimal("47.4"))


def test_what_is_opened_is_what_becomes_of_it():
    planned = plan_sheets(roofs(ROOF | {"keep_from_mm": 600}, MAT), ring(5310, 2900, 5310, 2900))

    TABLES["result.cut_job"].validate(planned)
    for plan in planned.to_dicts():
        opened = sum(plan[part] for part in PARTS)
        assert plan["used_up_quantity"] == opened - plan["kept_quantity"]
        if plan["kind"] == "board":
            assert opened == Decimal("1.44") * plan["lengths_count"]


def test_how_says_what_was_assumed_and_how_the_plan_was_found():
    part = ROOF | {"net_quantity": 8.4}
    uneven = ring(5310, 2900, 5310, 2950)

    assert (
        plan_sheets(roofs(part), RECTANGLE)["how"].to_list()
        == ["part of the roof is decked: 3 of 6 rows, the longest ones"] * 2
    )
    searched, own = plan_sheets(roofs(ROOF | {"area_m2": 15.6}), uneven)["how"].to_list()
    assert searched.startswith(own)
    assert own.startswith("opposite edges differ; the longer ones were taken")
    by_area = plan_sheets(roofs(MAT), ring(6000, 3500, 6000))
    assert by_area["how"].str.contains("taken as one rectangle of its area").all()


@pytest.mark.parametrize(
    ("roof", "says"),
    [
        (ROOF | {"length_mm": None}, "length_mm is not recorded"),
        (ROOF | {"width_mm": None}, "width_mm is not recorded"),
        (ROOF | {"length_mm": 0}, "length_mm: 0 mm is not above 0"),
        (ROOF | {"net_quantity": None}, "net_quantity is not recorded"),
        (ROOF | {"net_quantity": 0.0}, "net_quantity: 0.0 m2 is not above 0"),
        (MAT | {"width_mm": None}, "width_mm is not recorded"),
        (MAT | {"lap_mm": None}, "lap_mm is not recorded"),
        (MAT | {"layer_count": None}, "layer_count is not recorded"),
    ],
)
def test_a_roof_that_can_not_be_planned_says_why_and_the_others_are(
    roof: dict[str, Any], says: str
):
    other = ROOF | {"material": "second board"}

    planned = plan_sheets(roofs(roof, other), RECTANGLE)

    failed = planned.filter(material=roof["material"])
    assert failed["problem"].to_list() == [says] * 2
    assert failed["used_up_quantity"].null_count() == 2
    assert planned.filter(material="second board")["lengths_count"].to_list() == [15, 18]


def test_edges_that_are_not_known_are_named():
    unknown = plan_sheets(roofs(ROOF), ring(6000, None, 6000, 3500))
    none = plan_sheets(roofs(ROOF), RECTANGLE.with_columns(stage=pl.lit("quoted")))

    assert unknown["problem"].to_list() == ["edge 2: its length is not recorded"] * 2
    assert none["problem"].to_list() == ["edges: no edge of the roof is recorded"] * 2


def test_the_order_of_rows_changes_nothing():
    given = roofs(ROOF, MAT, ROOF | {"stage": "quoted"})
    edges = pl.concat([RECTANGLE, RECTANGLE.with_columns(stage=pl.lit("quoted"))])

    turned = plan_sheets(given.reverse(), edges.reverse())

    assert_frame_equal(plan_sheets(given, edges), turned)


def test_no_roof_gives_no_plan():
    assert plan_sheets(roofs(), RECTANGLE).schema == shape_of("result.cut_job")


def test_an_l_is_not_called_proven_as_its_rows_begin_anew_at_the_inner_corner():
    # 6.61 x 3.62 m less 3.66 x 1.81 m: a job of this shape takes 8 rows laid apart, 7 run through
    edges = ring(6610, 3620, 3660, 1810, 2950, 1810)
    area = 6.61 * 3.62 - 2.95 * 1.81

    planned = plan_sheets(roofs(ROOF | {"net_quantity": area, "area_m2": area}), edges)

    assert planned["is_proven"].to_list() == [False, False]
    assert planned["bound_quantity"].to_list() == planned["net_quantity"].to_list()
    assert all("begin anew at the inner corner" in how for how in planned["how"])
