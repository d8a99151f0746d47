"""The load that a share of jobs stays within, fitted itself: a pooled linear programme."""

from dataclasses import dataclass

import highspy
import numpy as np

from pipelines.calibration.mixed_model import Floats, Positions

TYPE_PENALTY = 8.0
"""What a job type must save to part from the others, in jobs of usual size and weight."""

MOST_JOBS = 2000
"""Only so many of the newest jobs are asked: more take minutes and say no more."""

LEAST_RATIO = -1.0
"""A load that does not grow with the base at all."""


@dataclass(frozen=True)
class QuantileJobs:
    """Jobs of one material: base and use in base units, position of the type, weight."""

    base: Floats
    used: Floats
    group: Positions
    group_count: int
    weight: Floats

    @property
    def usual_base(self) -> float:
        """Give the median base."""
        return float(np.median(self.base))


@dataclass(frozen=True)
class LoadQuantile:
    """
    loaded = base + fixed_loss + (ratio + of_type[t]) x base.

    `fixed_loss` in base units; ratios over base, `of_type` one a job type, 0 where nothing parts
    it from the others. `objective` is what was minimised.
    """

    fixed_loss: float
    ratio: float
    of_type: Floats
    objective: float


class _Quiet(highspy.Highs):
    """The solver without callbacks: setting them up writes a greeting among a command's words."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name
        """Set none up."""


def fit_quantile(
    jobs: QuantileJobs, load_share: float, type_penalty: float = TYPE_PENALTY
) -> LoadQuantile:
    """
    Minimise the pinball loss of what jobs used beyond the load, over their base.

    The least over F, r, u_t of sum w rho_p(used - F - (1 + r + u_t) base) / base
    + penalty v sum |u_t|, rho_p(z) = max(p z, (p - 1) z), v the median of weight / base times the
    median base: a linear programme, solved with one thread. F is 0 or more, and 0 where all jobs
    are of one size, which tell no loss per job; r is -1 or more. A type without a job has u_t = 0.

    Args:
        jobs: at least one, bases above 0.
        load_share: p, between 0 and 1.
        type_penalty: the larger, the less types part.

    """
    lp = _write_programme(jobs, load_share, type_penalty)
    solver = _Quiet()  # type: ignore[no-untyped-call]
    for name, value in (("output_flag", False), ("threads", 1)):
        solver.setOptionValue(name, value)
    solver.passModel(lp)
    solver.run()
    values = np.array(solver.getSolution().col_value)
    up, down = values[2 : 2 + 2 * jobs.group_count].reshape(2, -1)
    return LoadQuantile(
        fixed_loss=float(values[0]) * jobs.usual_base,
        ratio=float(values[1]),
        of_type=up - down,
        objective=float(values @ np.array(lp.col_cost_)),
    )


def _write_programme(jobs: QuantileJobs, load_share: float, type_penalty: float) -> highspy.HighsLp:
    """Lay out, a row a job: F / base + r + up_t - down_t + short - spare = used / base - 1."""
    types, count, usual = jobs.group_count, len(jobs.base), jobs.usual_base
    parting = type_penalty * float(np.median(jobs.weight / jobs.base)) * usual
    free = highspy.kHighsInf
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = 2 + 2 * types + 2 * count, count
    misses = [load_share * jobs.weight, (1 - load_share) * jobs.weight]
    lp.col_cost_ = np.concatenate([np.zeros(2), np.full(2 * types, parting), *misses])
    lp.col_lower_ = np.concatenate([[0, LEAST_RATIO], np.zeros(2 * (types + count))])
    most_loss = free if np.ptp(jobs.base) > 0 else 0.0
    lp.col_upper_ = np.concatenate([[most_loss], np.full(1 + 2 * (types + count), free)])
    lp.row_lower_ = lp.row_upper_ = jobs.used / jobs.base - 1
    _fill_matrix(lp, jobs)
    return lp


def _fill_matrix(lp: highspy.HighsLp, jobs: QuantileJobs) -> None:
    types, count = jobs.group_count, len(jobs.base)
    at, ones = np.arange(count), np.ones(count)
    miss = 2 + 2 * types + at
    up = 2 + jobs.group
    index = np.column_stack([0 * at, 0 * at + 1, up, up + types, miss, miss + count])
    value = np.column_stack([jobs.usual_base / jobs.base, ones, ones, -ones, ones, -ones])
    matrix = lp.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.arange(0, index.size + 1, index.shape[1], dtype=np.int32)
    matrix.index_ = index.ravel().astype(np.int32)
    matrix.value_ = value.ravel()
