"""The load that a share of jobs stays within, fitted itself: a pooled linear programme."""

from dataclasses import dataclass

import highspy
import numpy as np

from pipelines.calibration.mixed_model import Floats, Positions

TYPE_PENALTY = 8.0
"""What a job type must save to part from the others, in jobs of usual size and weight."""

MOST_JOBS = 2000
"""Only so many of the newest jobs are asked: a programme of more takes minutes."""


@dataclass(frozen=True)
class LoadQuantile:
    """
    loaded = base + fixed_loss + (ratio + of_type[t]) x base.

    `fixed_loss` in base units; ratios over base, `of_type` one a job type, 0 where nothing parts
    it from the others. `loss` is the weighted pinball loss over base, without the penalty;
    `objective` with it.
    """

    fixed_loss: float
    ratio: float
    of_type: Floats
    loss: float
    objective: float


class _Quiet(highspy.Highs):
    """The solver without callbacks: setting them up writes a greeting among a command's words."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name
        """Set none up."""


@dataclass(frozen=True)
class QuantileJobs:
    """Jobs of one material: base and use in base units, position of the type, weight."""

    base: Floats
    used: Floats
    group: Positions
    group_count: int
    weight: Floats


def fit_quantile(
    jobs: QuantileJobs,
    load_share: float,
    type_penalty: float = TYPE_PENALTY,
    *,
    has_fixed_loss: bool = True,
) -> LoadQuantile:
    """
    Minimise the pinball loss of what jobs used beyond the load, over their base.

    The least over F, r, u_t of sum w rho_p(used - F - (1 + r + u_t) base) / base
    + penalty v sum |u_t|, rho_p(z) = max(p z, (p - 1) z), v the median of weight / base times the
    median base: a linear programme, solved with one thread. A type without a job keeps u_t = 0.

    Args:
        jobs: at least one, bases above 0.
        load_share: p, between 0 and 1.
        type_penalty: the larger, the less types part.
        has_fixed_loss: whether F may differ from 0.

    """
    lp = _write_programme(jobs, load_share, type_penalty, has_fixed_loss=has_fixed_loss)
    solver = _Quiet()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)  # noqa: FBT003 - the solver's own signature
    solver.setOptionValue("threads", 1)
    solver.passModel(lp)
    solver.run()
    values = np.array(solver.getSolution().col_value)
    types, count = jobs.group_count, len(jobs.base)
    up, down = values[2 : 2 + types], values[2 + types : 2 + 2 * types]
    misses = values[2 + 2 * types :]
    costs = np.array(lp.col_cost_)[2 + 2 * types :]
    return LoadQuantile(
        fixed_loss=float(values[0]) * _usual(jobs),
        ratio=float(values[1]),
        of_type=up - down,
        loss=float(misses @ costs) / float(jobs.weight.sum()),
        objective=float(values @ np.array(lp.col_cost_)) / count,
    )


def _usual(jobs: QuantileJobs) -> float:
    return float(np.median(jobs.base))


def _write_programme(
    jobs: QuantileJobs, load_share: float, type_penalty: float, *, has_fixed_loss: bool
) -> highspy.HighsLp:
    """Lay out, a row a job: F / base + r + u_t + short - spare = used / base - 1."""
    types, count = jobs.group_count, len(jobs.base)
    usual = _usual(jobs)
    job_value = type_penalty * float(np.median(jobs.weight / jobs.base)) * usual
    free = highspy.kHighsInf
    fixed = free if has_fixed_loss else 0.0
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = 2 + 2 * types + 2 * count, count
    lp.col_cost_ = np.concatenate(
        [
            np.zeros(2),
            np.full(2 * types, job_value),
            load_share * jobs.weight,
            (1 - load_share) * jobs.weight,
        ]
    )
    lp.col_lower_ = np.concatenate([[-fixed, -free], np.zeros(2 * (types + count))])
    lp.col_upper_ = np.concatenate([[fixed], np.full(1 + 2 * (types + count), free)])
    lp.row_lower_ = lp.row_upper_ = jobs.used / jobs.base - 1
    at, ones = np.arange(count), np.ones(count)
    first = 2 + 2 * types
    index = np.column_stack(
        [0 * at, 0 * at + 1, 2 + jobs.group, 2 + types + jobs.group, first + at, first + count + at]
    )
    value = np.column_stack([usual / jobs.base, ones, ones, -ones, ones, -ones])
    matrix = lp.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.arange(0, index.size + 1, index.shape[1], dtype=np.int32)
    matrix.index_ = index.ravel().astype(np.int32)
    matrix.value_ = value.ravel()
    return lp
