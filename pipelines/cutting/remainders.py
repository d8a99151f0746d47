"""What is left of a run once its whole lengths are taken off, and what a group of them costs."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipelines.cutting.plans import LengthRules, Run
from pipelines.errors import QuantityError

Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Remainder:
    """
    A run as whole lengths and what they leave to be cut. mm.

    Each whole length serves its own length less a lap. The remainder is longer than the lap and
    no longer than a length. To take the whole lengths off first loses nothing: in the sum that
    decides whether a group of runs can be cut from so many lengths, a whole length and the run
    that it serves fall by the same figure.
    """

    edge_no: int
    whole_count: int
    rest_mm: int


@dataclass(frozen=True)
class GroupCosts:
    """What groups cost, by what they take; one figure a group. The whole lengths are not in it."""

    cost_mm: Numbers
    joints_count: Numbers
    lengths_count: Numbers
    leftover_mm: Numbers
    can_be_cut: npt.NDArray[np.bool_]


def take_whole_lengths(run: Run, rules: LengthRules) -> Remainder:
    """
    Take the whole lengths off a run: the fewest joins that it can have.

    Raises:
        QuantityError: the pieces of a run that needs a join can't all have the least length.

    """
    serves = rules.stock_length_mm - rules.lap_mm
    whole = -(-(run.run_mm - rules.lap_mm) // serves) - 1
    pieces_mm = run.run_mm + whole * rules.lap_mm
    if whole and pieces_mm < (whole + 1) * rules.least_piece_mm:
        raise QuantityError(
            f"edge {run.edge_no}: a run of {run.run_mm} mm can't be joined from {whole + 1} pieces "
            f"of at least {rules.least_piece_mm} mm (least_piece_mm) out of lengths of "
            f"{rules.stock_length_mm} mm"
        )
    return Remainder(run.edge_no, whole, run.run_mm - whole * serves)


def cost_groups(takes_mm: Numbers, rules: LengthRules) -> GroupCosts:
    """
    Give what groups of remainders cost that are cut from shared lengths.

    A length of S serves S + kerf, as its last cut may fall off the end, and a piece takes its
    finished share and kerf and, if it is joined, a lap. A group that shares n lengths has n - 1
    joins, so it can be cut if, and only if, n (S - lap) + lap + kerf is not less than what its
    remainders take. What is over is one leftover, less its cut.

    Args:
        takes_mm: by group, the sum of remainder + kerf.
        rules: how the trim may be cut; `forced_only` joins no remainder, so n is 1.

    """
    over_mm = rules.lap_mm + rules.kerf_mm
    serves = rules.stock_length_mm - rules.lap_mm
    lengths = np.maximum(1, -((over_mm - takes_mm) // serves))
    can_be_cut = np.ones(takes_mm.shape, dtype=np.bool_)
    if rules.joint_rule == "forced_only":
        can_be_cut = lengths <= 1
    left = np.maximum(0, lengths * serves + over_mm - takes_mm - rules.kerf_mm)
    kept = np.where(left >= rules.keep_from_mm, left, 0)
    priced_mm = rules.joint_price_mm if rules.joint_rule == "priced" else 0
    cost = lengths * rules.stock_length_mm - kept + (lengths - 1) * priced_mm
    return GroupCosts(cost, lengths - 1, lengths, left, can_be_cut)
