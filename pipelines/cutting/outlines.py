"""A roof's outline from its edges: the rectangles that boards and strips of mat are laid on."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipelines.errors import QuantityError
from pipelines.quantities import MM2_IN_M2

CLOSES_WITHIN_MM = 50
CLOSES_WITHIN_HUNDREDTHS = 2
AREA_WITHIN_HUNDREDTHS = 5
FOUR_SIDES = 4
L_SHAPED_SIDES = 6


@dataclass(frozen=True)
class Rectangle:
    """A part of a roof: its width along the gutter and its depth away from it. Whole mm."""

    width_mm: int
    depth_mm: int

    @property
    def area_mm2(self) -> int:
        """Its area."""
        return self.width_mm * self.depth_mm


@dataclass(frozen=True)
class Outline:
    """
    The rectangles of a roof.

    Attributes:
        rectangles: one, or for an L-shape the part of full width first, then the narrower one.
            Both end at the straight side of the L, from which their rows can be laid.
        how: what was assumed, in words; None where the edges say it exactly.

    """

    rectangles: tuple[Rectangle, ...]
    how: str | None = None

    @property
    def area_mm2(self) -> int:
        """Area of all rectangles."""
        return sum(rectangle.area_mm2 for rectangle in self.rectangles)


@dataclass(frozen=True)
class _Lengthwise:
    """An L-shape's long edge in one direction, and the end and the step that make it up."""

    long_mm: int
    end_mm: int
    step_mm: int

    @property
    def miss_mm(self) -> int:
        return abs(self.long_mm - self.end_mm - self.step_mm)

    @property
    def closes(self) -> bool:
        return _closes(self.long_mm, self.end_mm + self.step_mm)


def outline_roof(edges_mm: Sequence[int], area_mm2: int | None) -> Outline:
    """
    Make rectangles of the ring of a roof's edges.

    Four edges make a rectangle where opposite ones agree, six an L-shape where one inner corner
    lets the ring close; both within 50 mm or 2 in 100. Where they agree no better than that, the
    longer side counts, as it has to be covered. Any other ring is taken for one rectangle of the
    roof's area along its longest edge. The geometry is that of right angles; `how` says whatever
    was assumed, and where the roof's area is not that of its edges within 5 in 100.

    Args:
        edges_mm: lengths clockwise from the gutter, which is the first.
        area_mm2: area of the roof; needed only where the ring is no rectangle or L-shape.

    Raises:
        QuantityError: no edge, an edge of 0 or less, or no area where it is needed.

    """
    if not edges_mm:
        raise QuantityError("edges: no edge of the roof is recorded")
    for number, edge_mm in enumerate(edges_mm, start=1):
        if edge_mm <= 0:
            raise QuantityError(f"edge {number}: a length of {edge_mm} mm is not above 0")
    if len(edges_mm) == FOUR_SIDES:
        found = _outline_four(edges_mm)
    else:
        found = _outline_six(edges_mm) if len(edges_mm) == L_SHAPED_SIDES else None
    if found is None:
        return _outline_by_area(edges_mm, area_mm2)
    return _compare_area(found, area_mm2)


def _outline_four(edges_mm: Sequence[int]) -> Outline | None:
    gutter, right, back, left = edges_mm
    if not (_closes(gutter, back) and _closes(right, left)):
        return None
    is_exact = gutter == back and right == left
    how = None if is_exact else "opposite edges differ; the longer ones were taken"
    return Outline((Rectangle(max(gutter, back), max(right, left)),), how)


def _outline_six(edges_mm: Sequence[int]) -> Outline | None:
    fits = []
    for inner in range(L_SHAPED_SIDES):
        # clockwise from the end before the inner corner: end, step, step, end, long, long
        end, step, next_step, next_end, long, next_long = (
            edges_mm[(inner - 1 + along) % L_SHAPED_SIDES] for along in range(L_SHAPED_SIDES)
        )
        first = _Lengthwise(long, end, next_step)
        second = _Lengthwise(next_long, next_end, step)
        if first.closes and second.closes:
            is_along_gutter = inner % 2 == 1
            fits.append((first, second) if is_along_gutter else (second, first))
    exact = [fit for fit in fits if fit[0].miss_mm == fit[1].miss_mm == 0]
    if exact:
        return _split(*exact[0], how=None)
    if len(fits) == 1:
        return _split(*fits[0], how="the edges do not quite close; the longer ones were taken")
    return None


def _split(along: _Lengthwise, away: _Lengthwise, how: str | None) -> Outline:
    """Cut an L-shape parallel to the gutter, through its inner corner."""
    full = Rectangle(max(along.long_mm, along.end_mm + along.step_mm), away.end_mm)
    narrow = Rectangle(
        max(along.end_mm, along.long_mm - along.step_mm),
        max(away.step_mm, away.long_mm - away.end_mm),
    )
    return Outline((full, narrow), how)


def _compare_area(found: Outline, area_mm2: int | None) -> Outline:
    if area_mm2 is None:
        return found
    if abs(found.area_mm2 - area_mm2) <= area_mm2 * AREA_WITHIN_HUNDREDTHS // 100:
        return found
    says = (
        f"its edges make {found.area_mm2 / MM2_IN_M2:.2f} m2, its area is recorded as "
        f"{area_mm2 / MM2_IN_M2:.2f} m2; the edges were taken"
    )
    return Outline(found.rectangles, f"{found.how}; {says}" if found.how else says)


def _outline_by_area(edges_mm: Sequence[int], area_mm2: int | None) -> Outline:
    if area_mm2 is None:
        raise QuantityError(
            f"area_m2: not recorded, and the {len(edges_mm)} edges make no rectangle or L-shape"
        )
    if area_mm2 <= 0:
        raise QuantityError("area_m2: the area of the roof is not above 0")
    width_mm = max(edges_mm)
    depth_mm = -(-area_mm2 // width_mm)
    how = (
        f"its {len(edges_mm)} edges make no rectangle or L-shape; taken as one rectangle "
        "of its area along the longest edge"
    )
    return Outline((Rectangle(width_mm, depth_mm),), how)


def _closes(one_mm: int, other_mm: int) -> bool:
    longer = max(one_mm, other_mm)
    return abs(one_mm - other_mm) <= max(CLOSES_WITHIN_MM, longer * CLOSES_WITHIN_HUNDREDTHS // 100)
