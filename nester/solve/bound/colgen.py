"""A bound by column generation, true at every moment.

For any prices p >= 0 of the blanks, every plan costs at least

    sum over demands of p * copies  +  sum over stock of count * min(0, least (cost - p . counts)),

the Lagrangian bound of the master programme (Gilmore and Gomory 1961; Farley 1990). Prices are
whole ticks, so it is exact in whole numbers. The master finds good prices; they are smoothed towards
the best found so far after Wentges (1997), "Weighted Dantzig-Wolfe decomposition".
"""

from collections.abc import Sequence
from concurrent.futures import Executor

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.ladder import BUDGETS, Rung, groups
from nester.solve.bound.pricing import Priced, Pricer
from nester.solve.columns import Column
from nester.solve.lp import GrowingLp

SMOOTHING = 0.5
SETTLED = 5e-4
"""A rung is left once its bound is this close to its master's value."""


class Bounding:
    """Raises a lower bound round by round, on finer and finer rungs."""

    def __init__(self, problem: Problem, found: Arrays, prices: NDArray[np.float64]) -> None:
        self.problem = problem
        self.found = found
        self.groups = groups(problem, found)
        self.group_of = {s: g for g, group in enumerate(self.groups) for s in group}
        self.counts = [sum(problem.stock[s].count for s in group) for group in self.groups]
        self.wanted = np.array([d.copies for d in problem.demands], np.int64)
        self.scale = float(max((item.value for item in problem.stock), default=1)) or 1.0
        self.bound = 0
        self.best_prices = np.floor(prices).astype(np.int64)
        self.dear = np.maximum(2.0 * prices, _alone(problem)) / self.scale
        self.rung_at = -1
        self.rung: Rung | None = None
        self.lp: GrowingLp | None = None
        self.rung_bound = -(2**62)
        self.smoothing = SMOOTHING
        self.done = False
        self.last_work = 0

    @property
    def next_work(self) -> int:
        """About how many programme cells the next round fills."""
        return 0 if self.rung is None else self.rung.work

    def start(self, columns: Sequence[Column]) -> None:
        """Begin the next rung with the known layouts."""
        self.rung_at += 1
        if self.rung_at >= len(BUDGETS) or (self.rung is not None and self.rung.exact):
            self.done = True
            return
        before = self.rung
        self.rung = Rung(self.problem, self.found, self.groups, BUDGETS[self.rung_at])
        if before is not None and self.rung.work < 1.3 * before.work:
            self.start(columns)
            return
        self.rung_bound = -(2**62)
        self.smoothing = 0.8
        self.lp = GrowingLp(
            [*(float(n) for n in self.wanted), *(-np.inf for _ in self.groups)],
            [*(np.inf for _ in self.wanted), *(float(n) for n in self.counts)],
        )
        for d, n in enumerate(self.wanted):
            self.lp.add(float(self.dear[d]), float(n), {d: 1.0})
        for column in columns:
            self._add(self.group_of[column.stock], column.cost, column.counts)

    def _add(self, group: int, cost: int, counts: Sequence[int] | NDArray[np.int32]) -> None:
        assert self.lp is not None
        entries = {d: float(c) for d, c in enumerate(counts) if c}
        entries[len(self.wanted) + group] = 1.0
        self.lp.add(cost / self.scale, np.inf, entries)

    def round(self, pool: Executor, columns: Sequence[Column]) -> None:
        """Price every group once and raise the bound where that proves more."""
        if self.lp is None or self.rung is None:
            self.start(columns)
            if self.done or self.lp is None or self.rung is None:
                return
        if not self.lp.solve():
            self.done = True
            return
        master = self.lp.objective * self.scale
        prices = np.maximum(0.0, self.lp.duals[: len(self.wanted)]) * self.scale
        prices = self.smoothing * self.best_prices + (1 - self.smoothing) * prices
        asked = np.floor(prices).astype(np.int64)
        found = list(pool.map(_price, self.rung.pricers, [asked] * len(self.groups)))
        self.last_work = self.rung.work
        value = int(np.dot(asked, self.wanted))
        fresh = False
        for g, priced in enumerate(found):
            item = self.problem.stock[self.groups[g][0]]
            if priced is None:
                continue
            least = item.value - priced.value
            value += self.counts[g] * min(0, least)
            if priced.counts.any():
                self._add(g, item.value - priced.credit, priced.counts)
                fresh = fresh or least < 0
        if value > self.rung_bound:
            self.rung_bound = value
            self.best_prices = asked
        self.bound = max(self.bound, value)
        if self.rung_bound >= master * (1 - SETTLED) or not fresh:
            if self.smoothing > 0.0 and self.rung_bound < master * (1 - SETTLED):
                self.smoothing = 0.0
            else:
                self.start(columns)
        else:
            self.smoothing = min(self.smoothing, SMOOTHING)


def _price(pricers: tuple[Pricer, ...], prices: NDArray[np.int64]) -> Priced | None:
    """Return the best over a group's directions; None where it gives nothing."""
    best: Priced | None = None
    for pricer in pricers:
        priced = pricer(prices)
        if best is None or priced.value > best.value:
            best = priced
    return best


def _alone(problem: Problem) -> NDArray[np.float64]:
    """Return what each blank costs at the most: the cheapest stock item it fits, all for itself."""
    least = np.full(len(problem.demands), np.inf)
    for item in problem.stock:
        for option in item.options:
            least[option.demand] = min(least[option.demand], float(item.value))
    return np.where(np.isfinite(least), least, 0.0)
