"""Sequential value correction: piece after piece is filled with what is worth most just then.

After Mukhacheva, Belov, Kartack and Mukhacheva (2000), "Linear one-dimensional cutting-packing
problems: numerical experiments with the sequential value correction method (SVC) and a modified
branch-and-bound method (MBB)", Pesquisa Operacional 20(2), 153-168, and Belov and Scheithauer
(2007), "Setup and open-stacks minimization in one-dimensional stock cutting", INFORMS J. on
Computing 19(1), 27-35. A blank that comes to lie in a layout with much waste is worth more from
then on, so that it is cut earlier next time.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column
from nester.solve.improve import Attempt
from nester.solve.lengths import bar_filler
from nester.solve.plans import Draft, copies_used, draft
from nester.solve.plates import MOST_SUMS, Filler, is_plain_sheet

POWERS = (1.0, 1.01, 1.02, 1.04, 1.08)
"""By how much more large blanks are worth than small ones at first: powers of their areas."""

MOST_FREED = 8
"""Layouts taken apart at the most, where it is not all of them."""

FEW_SUMS = 300
"""Sums of sizes looked at for each sheet where there are many to fill."""

SHAKE = 0.15
"""How much values are shaken at first, at the most."""

CELLS_A_PLACING = 240
"""Programme cells filled in the time that one placing of the beam search takes: it shares out
effort. It is too many where that alone is looked at (100 to 230 on four jobs of boards); with 160,
attempts took the time of dives and choices, and measured boards came out dearer."""

FILLING = 60_000
"""Cells counted for every filling, however small."""


class Fill(Protocol):
    """Fills stock of one kind: a layout that is worth much by values [ticks], and the work."""

    sizes: NDArray[np.float64]
    """What each blank takes of a piece at the least, as a share."""

    def __call__(
        self, values: NDArray[np.int64], wanted: NDArray[np.int64], most_sums: int
    ) -> tuple[Column | None, int]: ...


@dataclass(frozen=True, slots=True)
class Fillers:
    """What fills each group of like stock."""

    groups: tuple[tuple[int, ...], ...]
    fill: tuple[Fill, ...]
    sizes: NDArray[np.float64]
    """What each blank takes of the dearest stock, as a share of its price."""


def fillers(problem: Problem, found: Arrays, groups: Sequence[tuple[int, ...]]) -> Fillers | None:
    """Return what fills the stock, None where it is not all plain sheets or bars for all blanks."""
    fill: list[Fill] = []
    dearest = max((item.value for item in problem.stock), default=0)
    sizes = np.full(len(problem.demands), np.inf)
    for group in groups:
        item = problem.stock[group[0]]
        one = (
            Filler(problem, group[0])
            if is_plain_sheet(item)
            else bar_filler(problem, found, group[0])
        )
        if one is None:
            return None
        fill.append(one)
        sizes = np.minimum(sizes, one.sizes * (item.value / max(1, dearest)))
    if dearest == 0 or not np.isfinite(sizes).all():
        return None
    return Fillers(tuple(groups), tuple(fill), np.maximum(sizes, 1e-9))


def refill(
    problem: Problem,
    fillers: Fillers,
    now: Draft,
    prices: NDArray[np.float64],
    detour: int,
    placings: int,
    seed: int,
) -> Attempt:
    """Fill the sheets of some of the draft's layouts anew, or all of them, again and again.

    ``prices`` of blanks, if any, are what some tries start from. What comes back costs at most
    about ``detour`` ticks more where all is placed; ``placings`` is how much is tried.
    """
    rng = np.random.default_rng(seed)
    freed = _freed(fillers, now, rng)
    kept = [c for i, c in enumerate(now.columns) if i not in freed]
    kept_counts = np.zeros(len(problem.demands), np.int64)
    for column in kept:
        kept_counts += np.array(column.counts, np.int64)
    wanted = np.array([d.copies for d in problem.demands], np.int64)
    left = np.maximum(wanted - kept_counts, 0)
    copies = np.array([i.count for i in problem.stock], np.int64) - copies_used(problem, kept)
    limit = sum(now.columns[i].cost for i in freed) + detour if now.complete else None
    most_sums = FEW_SUMS if len(freed) > MOST_FREED or not now.complete else MOST_SUMS
    trial = _Trial(problem, fillers, left, copies, limit, most_sums)
    best = draft(problem, kept)
    values = _first_values(fillers.sizes, prices, rng)
    columns: dict[tuple[int, tuple[int, ...]], Column] = {}
    while trial.work < placings * CELLS_A_PLACING:
        before = trial.work
        made, values = trial.plan(values, rng)
        columns |= {(c.stock, c.counts): c for c in made}
        found = draft(problem, [*kept, *made])
        if found.merit < best.merit:
            best = found
        if trial.work == before or best.merit < now.merit:
            break
        if rng.random() < 0.2:
            values = _first_values(fillers.sizes, prices, rng)
    return Attempt(best, tuple(columns.values()), trial.work // CELLS_A_PLACING + 1)


def _freed(fillers: Fillers, now: Draft, rng: np.random.Generator) -> set[int]:
    """Return the layouts to take apart: all of them, or a few, the emptier the likelier."""
    n = len(now.columns)
    if n <= 3 or not now.complete or rng.random() < 0.5:
        return set(range(n))
    spent = np.array([max(c.cost, 1) for c in now.columns], np.float64)
    rate = np.array([float(np.dot(fillers.sizes, c.counts)) for c in now.columns]) / spent
    waste = 1.02 - rate / max(rate.max(), 1e-12)
    size = int(rng.integers(2, min(n, MOST_FREED) + 1))
    return {int(i) for i in rng.choice(n, size=size, replace=False, p=waste / waste.sum())}


def _first_values(
    sizes: NDArray[np.float64], prices: NDArray[np.float64], rng: np.random.Generator
) -> NDArray[np.float64]:
    """Return what blanks are worth at first, as shares of the price of the dearest stock."""
    values = sizes ** POWERS[rng.integers(len(POWERS))]
    if rng.random() < 0.5 and prices.any():
        values = np.maximum(prices, 0.01 * values)
    shaken: NDArray[np.float64] = values * (1 + rng.uniform(0, SHAKE) * rng.random(len(values)))
    return shaken


class _Trial:
    def __init__(
        self,
        problem: Problem,
        fillers: Fillers,
        left: NDArray[np.int64],
        copies: NDArray[np.int64],
        limit: int | None,
        most_sums: int,
    ) -> None:
        self.most_sums = most_sums
        self.problem, self.fillers, self.limit = problem, fillers, limit
        self.left, self.copies = left, copies
        self.dearest = max(item.value for item in problem.stock)
        self.work = 0

    def plan(
        self, values: NDArray[np.float64], rng: np.random.Generator
    ) -> tuple[list[Column], NDArray[np.float64]]:
        """Return layouts made one after another, and what blanks are worth after them."""
        left, copies, values = self.left.copy(), self.copies.copy(), values.copy()
        made: list[Column] = []
        spent = 0
        while left.any() and (self.limit is None or spent < self.limit):
            best = self._best(values, left, copies)
            if best is None:
                break
            counts = np.array(best.counts, np.int64)
            taken = counts > 0
            group = next(g for g in self.fillers.groups if best.stock in g)
            times = int((left[taken] // counts[taken]).min())
            if times > 2:
                times = int(rng.integers(times // 2, times + 1))
            stocks = [s for s in group for _ in range(int(copies[s]))][: max(1, times)]
            for s in stocks:
                copies[s] -= 1
                left -= counts
                spent += best.cost
                made.append(Column(s, best.row, best.counts, best.cost))
            self._correct(values, best, len(stocks), left, rng)
        return made, values

    def _best(
        self, values: NDArray[np.float64], left: NDArray[np.int64], copies: NDArray[np.int64]
    ) -> Column | None:
        """Return the layout that gives most for its money."""
        whole = np.maximum(1, values * self.dearest).astype(np.int64)
        best: tuple[float, Column] | None = None
        for group, fill in zip(self.fillers.groups, self.fillers.fill, strict=True):
            stock = next((s for s in group if copies[s] > 0), None)
            if stock is None:
                continue
            found, work = fill(whole, left, self.most_sums)
            self.work += work + FILLING
            if found is None:
                continue
            rate = float(np.dot(whole, found.counts)) / max(1, found.cost)
            if best is None or rate > best[0]:
                best = rate, Column(stock, found.row, found.counts, found.cost)
        return None if best is None else best[1]

    def _correct(
        self,
        values: NDArray[np.float64],
        column: Column,
        times: int,
        left: NDArray[np.int64],
        rng: np.random.Generator,
    ) -> None:
        """Mix into the values of a layout's blanks what they cost in it."""
        counts = np.array(column.counts, np.float64) * times
        used = float(np.dot(self.fillers.sizes, column.counts))
        rate = column.cost / self.dearest / max(used, 1e-9)
        taken = counts > 0
        before = self.left[taken] + left[taken]
        share = counts[taken] / (counts[taken] + before * rng.uniform(0.5, 1.5))
        power = POWERS[rng.integers(len(POWERS))]
        worth = rate * self.fillers.sizes[taken] ** power
        values[taken] = (1 - share) * values[taken] + share * worth
