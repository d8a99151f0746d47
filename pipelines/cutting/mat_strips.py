"""Mat of a roof in strips along the gutter: what it takes, with and without re-use."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from pipelines.cutting.outlines import Outline
from pipelines.errors import QuantityError


@dataclass(frozen=True)
class MatRules:
    """
    The roll and how it is laid. Whole mm.

    Attributes:
        roll_width_mm: width of the roll, which every strip has.
        lap_mm: overlap of neighbouring strips.
        layer_count: layers of this mat; each is laid alike.

    Raises:
        QuantityError: a figure that can't be; the message names the column.

    """

    roll_width_mm: int
    lap_mm: int
    layer_count: int

    def __post_init__(self) -> None:
        """Refuse what can't be."""
        if self.roll_width_mm <= 0:
            raise QuantityError(f"width_mm: {self.roll_width_mm} mm is not above 0")
        if not 0 <= self.lap_mm < self.roll_width_mm:
            raise QuantityError(
                f"lap_mm: {self.lap_mm} mm is not allowed; it lies from 0 to below the roll's "
                f"width of {self.roll_width_mm} mm"
            )
        if self.layer_count <= 0:
            raise QuantityError(f"layer_count: {self.layer_count} is not above 0")


@dataclass(frozen=True)
class MatPlan:
    """
    What a roof takes of a mat, all layers. Areas in whole mm2.

    opened = net + lap + binned, exactly; nothing is kept and no saw cuts.

    Attributes:
        strips_count: strips of full width on the flat.
        joints_count: overlaps between them.
        net_mm2: the flat and its upstands.
        lap_mm2: overlap of the strips.
        binned_mm2: what is ripped off the last strips and not laid on an upstand.

    """

    strips_count: int
    joints_count: int
    net_mm2: int
    lap_mm2: int
    binned_mm2: int

    @property
    def kept_mm2(self) -> int:
        """Nothing: what is not cut off stays on the roll."""
        return 0

    @property
    def used_up_mm2(self) -> int:
        """What is cut off the rolls."""
        return self.net_mm2 + self.lap_mm2 + self.binned_mm2

    @property
    def bound_mm2(self) -> int:
        """What so many strips and the upstands take where nothing is binned: no plan takes less."""
        return self.net_mm2 + self.lap_mm2

    @property
    def is_proven(self) -> bool:
        """Whether no plan of strips along the gutter takes less."""
        return self.used_up_mm2 == self.bound_mm2


def plan_mat(outline: Outline, upstand_mm2: int, rules: MatRules) -> MatPlan:
    """
    Lay the mat in strips along the gutter; what is ripped off the last ones goes on the upstands.

    A rectangle takes ceil((depth - lap) / (roll width - lap)) strips of its width. Upstands take
    their area, first out of what is ripped off. Roll ends and laps on upstands are not counted.

    Args:
        outline: the roof as rectangles.
        upstand_mm2: area of the upstands, one layer.
        rules: the roll, lap and layers.

    Raises:
        QuantityError: an area below 0.

    """
    flat = _lay_flat(outline, upstand_mm2, rules)
    reused_mm2 = min(flat.binned_mm2, upstand_mm2 * rules.layer_count)
    return MatPlan(
        flat.strips_count,
        flat.joints_count,
        flat.net_mm2,
        flat.lap_mm2,
        flat.binned_mm2 - reused_mm2,
    )


def plan_mat_without_reuse(outline: Outline, upstand_mm2: int, rules: MatRules) -> MatPlan:
    """
    Lay the mat in strips along the gutter; what is ripped off the last ones is binned.

    Args as `plan_mat`.

    Raises:
        QuantityError: an area below 0.

    """
    return _lay_flat(outline, upstand_mm2, rules)


def _lay_flat(outline: Outline, upstand_mm2: int, rules: MatRules) -> MatPlan:
    if upstand_mm2 < 0:
        raise QuantityError("upstand_mm: the area of the upstands is below 0")
    strips_count = laps_count = lap_mm2 = ripped_mm2 = 0
    for rectangle in outline.rectangles:
        covers_mm = rules.roll_width_mm - rules.lap_mm
        strips = max(1, ceil(Fraction(rectangle.depth_mm - rules.lap_mm, covers_mm)))
        covered_mm = strips * covers_mm + rules.lap_mm
        strips_count += strips
        laps_count += strips - 1
        lap_mm2 += (strips - 1) * rules.lap_mm * rectangle.width_mm
        ripped_mm2 += (covered_mm - rectangle.depth_mm) * rectangle.width_mm
    layers = rules.layer_count
    return MatPlan(
        strips_count * layers,
        laps_count * layers,
        (outline.area_mm2 + upstand_mm2) * layers,
        lap_mm2 * layers,
        ripped_mm2 * layers,
    )
