"""Runs parted into groups that share a rack: each run once, each rack piece at most once."""

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from pipelines.cutting.linear_models import LinearModel
from pipelines.cutting.partings import Costs, Sets, cost_partings, read_parting

MOST_ROUNDS = 120
MOST_STALLED = 6
MOST_COLUMNS = 6_000
FEW_COLUMNS = 1_000
MOST_NODES = 200
GAP_RATIO = 0.005

_TOLERANCE = 1e-6

Chosen = tuple[tuple[int, int], ...]
"""Groups, as bits, each with the number of its kit."""


@dataclass(frozen=True)
class Parted:
    """A way to part the runs, what it costs, and what no way costs less than."""

    chosen: Chosen = ()
    cost: float = inf
    bound: float = -inf

    @property
    def is_closed(self) -> bool:
        """Whether nothing is left to gain."""
        return self.cost - self.bound < _TOLERANCE


@dataclass(frozen=True)
class SetPartition:
    """
    Groups of runs and kits of rack pieces to choose from.

    Attributes:
        costs: by group, as bits, and kit; infinite where they can't be.
        uses: by kit and size, how many pieces of the size it takes. The first kit takes none.
        available: by size, how many pieces there are.

    """

    costs: Costs
    uses: Costs
    available: Costs

    def part(self) -> Parted:
        """
        Choose groups and kits of least cost.

        A price on each size of rack piece stands for "no more than there are": with it groups no
        longer compete, the cheapest parting is a bound, and mended it is a plan. Groups that can
        be in no cheaper plan are dropped; the rest is solved as a set partition, to the end
        where that is a few columns, else to within `GAP_RATIO`, and no longer than `MOST_NODES`.
        """
        best, prices = self._price_rack()
        return best if best.is_closed else self._solve_rest(best, prices)

    def _price_rack(self) -> tuple[Parted, Costs]:
        best, prices = Parted(), np.zeros(self.available.size)
        best_prices, pace, stalled = prices, 1.0, 0
        for _ in range(MOST_ROUNDS):
            kits, groups, bound = self._part_at(prices)
            stalled = 0 if bound > best.bound + _TOLERANCE else stalled + 1
            if not stalled:
                best, best_prices = replace(best, bound=bound), prices
            best = self._mend(groups, kits, best)
            over = self.uses[kits[groups]].sum(axis=0) - self.available
            over[(prices <= 0) & (over < 0)] = 0
            if best.is_closed or not over.any() or pace < GAP_RATIO:
                break
            if stalled == MOST_STALLED:
                pace, stalled, prices = pace / 2, 1, best_prices
            step = pace * (best.cost - bound) / (over @ over)
            prices = np.maximum(0, prices + step * over)
        return best, best_prices

    def _part_at(self, prices: Costs) -> tuple[Sets, Sets, float]:
        """Give by group its best kit at these prices, the groups parted into, and the bound."""
        priced = self.costs + self.uses @ prices
        kits = priced.argmin(axis=1)
        cheapest = priced[np.arange(kits.size), kits]
        least = cost_partings(cheapest)
        groups = np.array(read_parting(cheapest, least), dtype=np.int64)
        return kits, groups, float(least[-1] - prices @ self.available)

    def _mend(self, groups: Sets, kits: Sets, best: Parted) -> Parted:
        """Let the groups that gain most by their kit take first, others what is then there."""
        gains = self.costs[groups, 0] - self.costs[groups, kits[groups]]
        rest, cost, chosen = self.available.copy(), 0.0, []
        for group in groups[np.argsort(-gains, kind="stable")]:
            costs = np.where((self.uses <= rest).all(axis=1), self.costs[group], inf)
            kit = int(costs.argmin())
            rest -= self.uses[kit]
            cost += float(costs[kit])
            chosen.append((int(group), kit))
        return best if cost >= best.cost else Parted(tuple(chosen), cost, best.bound)

    def _solve_rest(self, best: Parted, prices: Costs) -> Parted:
        """Solve what can still be in a cheaper plan; a plan that is found has to be cheaper."""
        priced = self.costs + self.uses @ prices
        least = cost_partings(priced.min(axis=1))
        with_it = priced + (least[::-1] - prices @ self.available)[:, None]
        columns = np.argwhere(with_it < best.cost - _TOLERANCE)
        if not columns.size:
            return replace(best, bound=best.cost)
        is_whole = len(columns) <= MOST_COLUMNS
        if not is_whole:
            nearest = np.argsort(with_it[columns[:, 0], columns[:, 1]], kind="stable")
            columns = columns[np.sort(nearest[:MOST_COLUMNS])]
        gap_ratio = 0.0 if len(columns) <= FEW_COLUMNS else GAP_RATIO
        solved = self._model(columns).solve(MOST_NODES, gap_ratio)
        bound = min(best.cost, max(best.bound, solved.bound)) if is_whole else best.bound
        best = replace(best, bound=bound)
        if solved.values is None:
            return best
        chosen = tuple((int(group), int(kit)) for group, kit in columns[solved.values > 1 / 2])
        cost = float(sum(self.costs[group, kit] for group, kit in chosen))
        return best if cost >= best.cost else Parted(chosen, cost, bound)

    def _model(self, columns: Sets) -> LinearModel:
        model = LinearModel()
        for group, kit in columns:
            model.add(float(self.costs[group, kit]), upper=1, whole=True)
        for run in range(self.costs.shape[0].bit_length() - 1):
            served = np.flatnonzero(columns[:, 0] >> run & 1)
            model.bind(dict.fromkeys(served.tolist(), 1.0), 1, 1)
        for size, count in enumerate(self.available):
            used = self.uses[columns[:, 1], size]
            takers = np.flatnonzero(used).tolist()
            model.bind({each: float(used[each]) for each in takers}, upper=float(count))
        return model
