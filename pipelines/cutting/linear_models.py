"""Linear models, with whole numbers or without, solved by HiGHS: the same answer every time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
UNBOUNDED = highspy.kHighsInf


class _Quiet(highspy.Highs):
    """The solver without callbacks: setting them up writes a greeting among a command's words."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name
        """Set none up."""


@dataclass(frozen=True)
class Solved:
    """
    What a model came to.

    Attributes:
        values: by variable; None where no solution was found.
        prices: by row, what one unit more of its right side costs; of models without whole numbers.
        bound: no solution costs less; infinite where there is no solution at all.

    """

    values: Floats | None
    prices: Floats
    bound: float


@dataclass
class LinearModel:
    """Variables with a cost each, and rows that bound sums of them; the cost is minimised."""

    _costs: list[float] = field(default_factory=list)
    _lower: list[float] = field(default_factory=list)
    _upper: list[float] = field(default_factory=list)
    _whole: list[bool] = field(default_factory=list)
    _rows: list[tuple[float, float, Mapping[int, float]]] = field(default_factory=list)

    def add(
        self, cost: float, lower: float = 0, upper: float = UNBOUNDED, *, whole: bool = False
    ) -> int:
        """Add a variable and return its number."""
        for values, value in ((self._costs, cost), (self._lower, lower), (self._upper, upper)):
            values.append(value)
        self._whole.append(whole)
        return len(self._costs) - 1

    def bind(
        self, terms: Mapping[int, float], lower: float = -UNBOUNDED, upper: float = UNBOUNDED
    ) -> None:
        """Add a row: lower <= sum of factor x variable <= upper."""
        self._rows.append((lower, upper, terms))

    def costs(self) -> Sequence[float]:
        """Return the cost of each variable."""
        return tuple(self._costs)

    def solve(self, most_nodes: int = 0, gap_ratio: float = 0.0) -> Solved:
        """Solve with one thread; models with whole numbers stop at so many nodes or such a gap."""
        solver = _Quiet()  # type: ignore[no-untyped-call]
        for name, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", gap_ratio)):
            solver.setOptionValue(name, value)
        if any(self._whole):
            solver.setOptionValue("mip_max_nodes", most_nodes)
        solver.passModel(self._as_lp())
        solver.run()
        info, solution = solver.getInfo(), solver.getSolution()
        if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return Solved(None, np.zeros(0), UNBOUNDED)
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        return Solved(
            np.array(solution.col_value) if found else None,
            np.array(solution.row_dual),
            info.mip_dual_bound if any(self._whole) else info.objective_function_value,
        )

    def _as_lp(self) -> highspy.HighsLp:
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self._costs), len(self._rows)
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = (
            np.array(values, dtype=np.float64) for values in (self._costs, self._lower, self._upper)
        )
        lp.row_lower_ = np.array([row[0] for row in self._rows], dtype=np.float64)
        lp.row_upper_ = np.array([row[1] for row in self._rows], dtype=np.float64)
        if any(self._whole):
            kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
            lp.integrality_ = [kinds[whole] for whole in self._whole]
        matrix = lp.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0, *(len(terms) for _, _, terms in self._rows)])
        matrix.index_ = np.array([i for _, _, terms in self._rows for i in terms], dtype=np.int32)
        matrix.value_ = np.array([v for _, _, terms in self._rows for v in terms.values()])
        return lp
