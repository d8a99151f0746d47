"""The least number of new lengths that one job's runs of one trim can be cut from."""

from collections.abc import Sequence
from dataclasses import dataclass

from pipelines.errors import QuantityError


@dataclass(frozen=True)
class LeastLengths:
    """
    What the runs use up at best. Lengths in mm.

    `joints_forced_count` are the joins of runs that are longer than a length; `joints_count`
    holds these, or the joins without which so many lengths can't serve so few runs.
    """

    lengths_count: int
    joints_count: int
    joints_forced_count: int
    run_mm: int
    lap_mm: int
    leftover_mm: int
    kept_mm: int
    base_mm: int


def least_lengths(
    runs_mm: Sequence[int], *, stock_length_mm: int, lap_mm: int, kerf_mm: int, keep_from_mm: int
) -> LeastLengths:
    """
    Find the least lengths for the runs of one trim on one job, from new lengths only.

    Every piece carries a lap and every cut takes the saw's width, so a piece of finished share p
    takes p + lap + kerf out of a length, which counts as stock + kerf as the last cut may fall
    off its end. N lengths are too few unless

        N (stock + kerf) >= sum(run - lap) + (runs + joins) (lap + kerf)

    with joins at least those that runs longer than a length force, and at least N - runs. The
    smallest such N is a bound: no plan opens fewer. A plan may need one more where whole runs
    don't share the lengths out well. On most jobs the bound is the optimum: a test holds it
    against every way to cut small jobs, where it is met on nine in ten. The leftover is counted
    as one piece, which is the best that can come of it, so `base_mm` is a bound as well: the
    lengths opened, less a leftover long enough to keep.

    Args:
        runs_mm: finished lengths, corner covers taken off. None at all gives a plan of nothing.
        stock_length_mm: a new length.
        lap_mm: overlap of a join; 0 for butt joints.
        kerf_mm: what a cut takes away.
        keep_from_mm: shortest leftover that goes to the rack.

    Raises:
        QuantityError: a length that can't be; the message names it.

    """
    _refuse_dimensions(stock_length_mm, lap_mm, kerf_mm, keep_from_mm)
    for run in runs_mm:
        _refuse_run(run, lap_mm)
    shares = sum(runs_mm) - lap_mm * len(runs_mm)
    forced = sum(_divide_up(run - lap_mm, stock_length_mm - lap_mm) - 1 for run in runs_mm)
    lengths = max(
        _divide_up(
            shares + (len(runs_mm) + forced) * (lap_mm + kerf_mm), stock_length_mm + kerf_mm
        ),
        _divide_up(shares, stock_length_mm - lap_mm),
    )
    joints = max(forced, lengths - len(runs_mm))
    pieces = len(runs_mm) + joints
    spare = lengths * (stock_length_mm + kerf_mm) - shares - pieces * (lap_mm + kerf_mm)
    leftover = max(0, spare - kerf_mm)
    kept = leftover if leftover >= keep_from_mm else 0
    return LeastLengths(
        lengths_count=lengths,
        joints_count=joints,
        joints_forced_count=forced,
        run_mm=sum(runs_mm),
        lap_mm=joints * lap_mm,
        leftover_mm=leftover,
        kept_mm=kept,
        base_mm=lengths * stock_length_mm - kept,
    )


def _divide_up(whole: int, part: int) -> int:
    return -(-whole // part)


def _refuse_dimensions(stock_length_mm: int, lap_mm: int, kerf_mm: int, keep_from_mm: int) -> None:
    if stock_length_mm <= 0:
        raise QuantityError(f"stock_length_mm: {stock_length_mm} mm is not above 0")
    if not 0 <= lap_mm < stock_length_mm:
        raise QuantityError(
            f"lap_mm: {lap_mm} mm is not allowed; it lies from 0 to below the new length of "
            f"{stock_length_mm} mm"
        )
    if kerf_mm < 0:
        raise QuantityError(f"kerf_mm: {kerf_mm} mm is below 0")
    if keep_from_mm < 0:
        raise QuantityError(f"keep_from_mm: {keep_from_mm} mm is below 0")


def _refuse_run(run_mm: int, lap_mm: int) -> None:
    if run_mm <= 0:
        raise QuantityError(f"a run of {run_mm} mm can't be cut; a run is longer than 0")
    if run_mm <= lap_mm:
        raise QuantityError(
            f"a run of {run_mm} mm can't be fitted; it is not longer than the lap of {lap_mm} mm"
        )
