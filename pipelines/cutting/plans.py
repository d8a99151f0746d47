"""The values of the cutting room: runs, the rules of a trim, plans of what is cut from what."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Literal

from pipelines.errors import QuantityError

JointRule = Literal["forced_only", "priced"]


@dataclass(frozen=True)
class LengthRules:
    """
    What a trim or batten comes in, and how it may be cut and joined. Whole mm.

    Attributes:
        stock_length_mm: a new length.
        lap_mm: overlap of a join; 0 for butt joints.
        kerf_mm: what a cut takes away. A cut that falls off the end of a length takes none.
        least_piece_mm: shortest piece that a join may have.
        keep_from_mm: shortest leftover that goes to the rack.
        joint_rule: forced_only joins only runs that are longer than a length; priced joins
            wherever that saves more than joint_price_mm of material.
        joint_price_mm: what a join costs, as mm of new length; counts only where priced.

    Raises:
        QuantityError: a figure that can't be; the message names it.

    """

    stock_length_mm: int
    lap_mm: int
    kerf_mm: int
    keep_from_mm: int
    least_piece_mm: int = 0
    joint_rule: JointRule = "forced_only"
    joint_price_mm: int = 0

    def __post_init__(self) -> None:
        """Refuse what can't be."""
        if self.stock_length_mm <= 0:
            raise QuantityError(f"stock_length_mm: {self.stock_length_mm} mm is not above 0")
        if not 0 <= self.lap_mm < self.stock_length_mm:
            raise QuantityError(
                f"lap_mm: {self.lap_mm} mm is not allowed; it lies from 0 to below the new length "
                f"of {self.stock_length_mm} mm"
            )
        for name in ("kerf_mm", "keep_from_mm", "least_piece_mm", "joint_price_mm"):
            if getattr(self, name) < 0:
                raise QuantityError(f"{name}: {getattr(self, name)} mm is below 0")


@dataclass(frozen=True)
class Run:
    """One edge's finished length of a trim, its corner covers taken off. mm."""

    edge_no: int
    run_mm: int


@dataclass(frozen=True)
class Offcut:
    """A rack piece, by its label or number. mm."""

    label: str
    length_mm: int


@dataclass(frozen=True)
class Piece:
    """One piece that is cut, as long as it leaves the saw (its lap is in it). mm."""

    edge_no: int
    piece_mm: int


@dataclass(frozen=True)
class CutLength:
    """One new length, or one rack piece, and what is cut from it, in order. mm."""

    length_mm: int
    pieces: tuple[Piece, ...]
    offcut_label: str | None = None

    def kerf_mm(self, rules: LengthRules) -> int:
        """Give what its cuts take: the last one takes no more than is left."""
        cut = sum(piece.piece_mm for piece in self.pieces)
        return min(len(self.pieces) * rules.kerf_mm, self.length_mm - cut)

    def left_mm(self, rules: LengthRules) -> int:
        """Give what is left of it after the last cut."""
        return self.length_mm - sum(p.piece_mm for p in self.pieces) - self.kerf_mm(rules)


@dataclass(frozen=True)
class CutPlan:
    """
    What is cut from what for the runs of one trim on one job.

    Attributes:
        rules: the rules that it keeps.
        runs: the runs that it serves.
        lengths: new lengths and rack pieces in the order in which they are opened.
        bound_mm: no plan under the rules costs less than this (`cost_mm`) that opens no length
            which the runs joined to it could do without.
        offcut_price_ratio: what a mm of a rack piece counts, beside 1 of a new length.

    """

    rules: LengthRules
    runs: tuple[Run, ...]
    lengths: tuple[CutLength, ...]
    bound_mm: int
    offcut_price_ratio: float = 1.0

    @property
    def new_lengths_count(self) -> int:
        """New lengths that it opens."""
        return sum(length.offcut_label is None for length in self.lengths)

    @property
    def joints_count(self) -> int:
        """Joins: pieces beyond one a run."""
        return sum(len(length.pieces) for length in self.lengths) - len(self.runs)

    @property
    def run_mm(self) -> int:
        """All runs."""
        return sum(run.run_mm for run in self.runs)

    @property
    def lap_mm(self) -> int:
        """Overlap of its joins."""
        return self.joints_count * self.rules.lap_mm

    @property
    def kerf_mm(self) -> int:
        """What its cuts take."""
        return sum(length.kerf_mm(self.rules) for length in self.lengths)

    @property
    def kept_mm(self) -> int:
        """Leftovers long enough to keep."""
        return sum(left for left in self._lefts() if left >= self.rules.keep_from_mm)

    @property
    def binned_mm(self) -> int:
        """Leftovers too short to keep."""
        return sum(left for left in self._lefts() if left < self.rules.keep_from_mm)

    @property
    def used_up_mm(self) -> int:
        """What is opened less what is kept: run, laps, saw cuts and what is binned."""
        return sum(length.length_mm for length in self.lengths) - self.kept_mm

    @property
    def cost_mm(self) -> int:
        """What is used up, rack pieces at their price, and the price of joins; rounded up."""
        racked = sum(
            self._used_up_mm(each) for each in self.lengths if each.offcut_label is not None
        )
        priced = racked * Fraction(str(self.offcut_price_ratio))
        joined = joints_cost_mm(self.rules, self.joints_count)
        return self.used_up_mm - racked + ceil(priced) + joined

    @property
    def is_proven(self) -> bool:
        """Whether no plan under its rules can do better."""
        return self.cost_mm == self.bound_mm

    def _used_up_mm(self, length: CutLength) -> int:
        left = length.left_mm(self.rules)
        return length.length_mm - (left if left >= self.rules.keep_from_mm else 0)

    def _lefts(self) -> Sequence[int]:
        return [length.left_mm(self.rules) for length in self.lengths]


def joints_cost_mm(rules: LengthRules, joints_count: int) -> int:
    """Give what joins cost as mm of new length: nothing where they are not priced."""
    return joints_count * rules.joint_price_mm if rules.joint_rule == "priced" else 0


def refuse_run(run: Run, lap_mm: int) -> None:
    """
    Refuse a run that can't be cut or fitted.

    Raises:
        QuantityError: a run of 0 or less, or one not longer than its lap; names the edge.

    """
    if run.run_mm <= 0:
        raise QuantityError(
            f"edge {run.edge_no}: a run of {run.run_mm} mm can't be cut; a run is longer than 0"
        )
    if run.run_mm <= lap_mm:
        raise QuantityError(
            f"edge {run.edge_no}: a run of {run.run_mm} mm can't be fitted; it is not longer than "
            f"the lap of {lap_mm} mm"
        )
