"""Geometry and common practice: outlines of roofs from their edges, clockwise from the gutter."""

import pytest

from pipelines.cutting.outlines import Outline, Rectangle, outline_roof
from pipelines.errors import QuantityError

L_SHAPE_MM = (6000, 3500, 2400, 2000, 3600, 1500)
FULL, NARROW = Rectangle(6000, 1500), Rectangle(2400, 2000)


def test_four_edges_make_a_rectangle():
    assert outline_roof((6000, 3500, 6000, 3500), None) == Outline((Rectangle(6000, 3500),))


def test_opposite_edges_that_nearly_agree_count_as_the_longer():
    # 2 in 100 of 6.12 m is 122 mm, of 3.55 m 71 mm
    found = outline_roof((6000, 3500, 6120, 3550), None)

    assert found.rectangles == (Rectangle(6120, 3550),)
    assert found.how == "opposite edges differ; the longer ones were taken"


@pytest.mark.parametrize(("back_mm", "width_mm"), [(1050, 1050), (950, 1000), (1051, 2000)])
def test_short_edges_may_differ_by_50_mm(back_mm: int, width_mm: int):
    # beyond that the ring is its area along its longest edge, 2.0 m
    found = outline_roof((1000, 2000, back_mm, 2000), 2_000_000)

    assert found.rectangles[0].width_mm == width_mm


def test_six_edges_make_a_full_and_a_narrower_part():
    # 6.0 x 1.5 at the gutter, 2.4 x 2.0 behind it: 9.0 + 4.8 m2
    found = outline_roof(L_SHAPE_MM, 13_800_000)

    assert found == Outline((FULL, NARROW))
    assert found.area_mm2 == 13_800_000


@pytest.mark.parametrize(
    ("first", "rectangles"),
    [
        (0, (FULL, NARROW)),
        (2, (FULL, NARROW)),  # the gutter is the end of the narrower part
        (4, (FULL, NARROW)),  # the gutter is the step
        (1, (Rectangle(3500, 2400), Rectangle(1500, 3600))),
        (3, (Rectangle(3500, 2400), Rectangle(1500, 3600))),
        (5, (Rectangle(3500, 2400), Rectangle(1500, 3600))),
    ],
)
def test_rows_lie_along_the_gutter_wherever_it_is(first: int, rectangles: tuple[Rectangle, ...]):
    ring = L_SHAPE_MM[first:] + L_SHAPE_MM[:first]

    assert outline_roof(ring, None) == Outline(rectangles)


def test_the_mirrored_l_shape_is_found_too():
    found = outline_roof((6000, 1500, 3600, 2000, 2400, 3500), None)

    assert found == Outline((FULL, NARROW))


def test_six_edges_that_nearly_close_count_as_the_longer():
    found = outline_roof((6040, 3500, 2400, 2000, 3600, 1500), None)

    assert found.rectangles == (Rectangle(6040, 1500), Rectangle(2440, 2000))
    assert found.how == "the edges do not quite close; the longer ones were taken"


@pytest.mark.parametrize(
    "edges_mm",
    [
        (6000, 3500, 5000, 3500),
        (6000, 3500, 2400, 2000, 3000, 1500),
        (6000, 3500, 6000),
        (5000, 3000, 6000, 2000, 1000, 700, 900),
    ],
)
def test_any_other_ring_is_its_area_along_its_longest_edge_and_says_so(edges_mm: tuple[int, ...]):
    found = outline_roof(edges_mm, 18_000_000)

    assert found.rectangles == (Rectangle(6000, 3000),)
    assert f"its {len(edges_mm)} edges make no rectangle or L-shape" in (found.how or "")


def test_an_area_that_is_not_that_of_the_edges_is_told():
    assert outline_roof((6000, 3500, 6000, 3500), 20_000_000).how is None
    assert outline_roof((6000, 3500, 6000, 3500), 18_000_000).how == (
        "its edges make 21.00 m2, its area is recorded as 18.00 m2; the edges were taken"
    )


@pytest.mark.parametrize(
    ("edges_mm", "area_mm2", "says"),
    [
        ((), 1, "no edge of the roof is recorded"),
        ((6000, 0, 6000, 3500), 1, "edge 2: a length of 0 mm"),
        ((6000, 3500, 6000), None, "area_m2: not recorded"),
        ((6000, 3500, 6000), 0, "area_m2: the area of the roof is not above 0"),
    ],
)
def test_what_can_not_be_drawn_is_refused_by_name(
    edges_mm: tuple[int, ...], area_mm2: int | None, says: str
):
    with pytest.raises(QuantityError, match=says):
        outline_roof(edges_mm, area_mm2)
