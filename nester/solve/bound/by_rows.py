"""Prices for sets of boards by whole boards: rows of sections, flaws where they lie.

A board gives one row of sections (Dantzig and Wolfe 1960, "Decomposition principle for linear
programs"), priced exactly by ``flawed``. Rows at far-off prices tell little, so in the programme a
price may move from the best ones so far by a share of them only, and then pays (as in du Merle,
Villeneuve, Desrosiers and Hansen 1999, "Stabilized column generation"); prices half-way to what it
says are looked at (Wentges 1997, "Weighted Dantzig-Wolfe decomposition for linear mixed-integer
programming").
"""

from concurrent.futures import Executor

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.bound.board_sets import BoardSets
from nester.solve.bound.flawed import LONGEST, Flawed, FlawedRow
from nester.solve.bound.strips import Priced
from nester.solve.lp import CELLS_A_MASTER, GrowingLp

BOX, WIDEST = 0.05, 3.0
"""How far a price may move from the best one so far, as a share of it, and further where all has
been seen that is so near."""

FLOOR = 0.04
"""A price is taken for so much of the mean price by area at the least, as some are nought."""

HALFWAY = 0.5
"""The share of the best prices in those that are looked at."""

NEAR = 1e-3
"""A set has settled where its programme promises no more than this share above what is proven."""

AHEAD = 3e-3
"""Another set is looked into where one is so much above all others, and above what it was."""

COARSE, FINE = 5e-4, 2e-5
"""What boards are worth is told to within such shares of it: finer where it must be, up to this."""

GAIN = 1e-6
"""What a row gains at the least for the programme to change, in prices of a board."""


class ByRows:
    """Raises what sets cost at the least, step by step, each of one programme and its pricing."""

    def __init__(self, problem: Problem, boards: BoardSets, prices: NDArray[np.float64]) -> None:
        self.boards = boards
        self.last_work = 0
        long = max(size.long for size in boards.sizes)
        self.done = long > LONGEST or not np.isfinite(boards.least.min())
        if self.done:
            return
        flawed = {
            s: Flawed(problem.stock[s], boards.alike[g], size)
            for s, g, size in zip(boards.stock, boards.group, boards.sizes, strict=True)
        }
        self.flawed = [flawed[s] for s in boards.stock]
        self.held: list[list[tuple[NDArray[np.float64], float]]] = [[] for _ in boards.stock]
        """The rows of each board: blanks by kind, and credit [cells]."""
        self.lp = self._programme()
        by_area = self._by_area()
        self.floor = FLOOR * float(by_area.mean())
        # Where nothing earns credit blanks may have no price, which tells nothing of other sets.
        self.center = prices if prices.any() else by_area
        self.worth: dict[int, float] = {}
        """What boards are worth at the best prices."""
        self.settled = np.zeros(len(boards.sets), bool)
        self._choose()

    def _by_area(self) -> NDArray[np.float64]:
        """Return what each blank costs by its area, on the board that is cheapest for its room."""
        boards = self.boards
        room = np.array([size.room for size in boards.sizes])
        area = np.array([alike.area for alike in boards.alike]).min(axis=0)
        cell = float((boards.rest / room).min()) * boards.scale
        return np.asarray(area * cell, np.float64)

    def _programme(self) -> GrowingLp:
        """Return the programme: rows of blanks, then of boards."""
        n, pieces = len(self.boards.copies), len(self.boards.stock)
        inf = np.inf
        lp = GrowingLp([*self.boards.copies, *[-inf] * pieces], [*[inf] * n, *[0.0] * pieces])
        for sign in (1.0, -1.0):  # more or less of a blank, for prices at the ends of the box
            for d in range(n):
                lp.add(0.0, inf, {d: sign})
        return lp

    def _choose(self) -> None:
        """Go to the set that is least now, or end."""
        self.at = int(np.argmin(self.boards.least))
        if self.settled[self.at] or not np.isfinite(self.boards.least[self.at]):
            self.done = True
            return
        self.came_with = float(self.boards.least[self.at])
        self.proven = -np.inf  # of this set, at the best prices
        self.box, self.halfway, self.fine = BOX, HALFWAY, COARSE
        chosen, copies = self.boards.sets[self.at] * 1.0, self.boards.copies
        upper = np.concatenate([np.full(len(copies), np.inf), chosen])
        self.lp.set_rows(np.concatenate([copies, np.full(len(chosen), -np.inf)]), upper)

    def step(self, pool: Executor | None = None) -> None:
        """Solve the programme of the set that is least, and price its boards, on the ``pool``."""
        self.each = map if pool is None else pool.map
        self.last_work = CELLS_A_MASTER
        boards, asked, promised, moved = self.boards, self.center, np.inf, True
        duals = np.zeros(0)
        if np.isfinite(self.proven):
            center = self.center / boards.scale
            reach = self.box * np.maximum(center, self.floor / boards.scale)
            self.lp.set_costs(np.concatenate([center + reach, np.minimum(0.0, reach - center)]))
            if not self.lp.solve():
                self.done = True
                return
            n = len(center)
            chosen = boards.sets[self.at]
            promised = self.lp.objective + float(chosen @ boards.rest)
            moved = float(self.lp.values[: 2 * n].sum()) > GAIN
            duals = self.lp.duals * boards.scale
            asked = np.maximum(0.0, duals[:n])
        self._look(asked, duals, promised, moved)

    def _look(
        self,
        asked: NDArray[np.float64],
        duals: NDArray[np.float64],
        promised: float,
        moved: bool,
    ) -> None:
        """Price the set's boards near the prices asked for, and see whether it has settled."""
        boards, n = self.boards, len(asked)
        prices = self.halfway * self.center + (1 - self.halfway) * asked
        priced = [self._priced(g, prices) for g in range(len(boards.alike))]
        worth, fresh = {}, not len(duals)
        for b, row in self._rows(np.flatnonzero(boards.sets[self.at]).tolist(), priced):
            worth[b] = row.worth
            counts, credit = row.held()
            self._add(b, counts, credit)
            if len(duals):
                gain = float(counts @ asked) + credit * boards.alike[boards.group[b]].rate
                fresh |= gain + float(duals[n + b]) > GAIN * boards.scale
        proven = boards.cut_one(self.at, prices, worth)
        stuck = not fresh and proven <= self.proven and self.halfway == 0
        if stuck:
            self.fine /= 5
        near = boards.least[self.at] >= promised - NEAR * abs(promised)
        if near and moved:
            self.box = min(WIDEST, 3 * self.box)
        elif proven <= self.proven:
            self.box = max(BOX, self.box / 2)
        self.halfway = HALFWAY if fresh or proven > self.proven else 0.0
        if proven > self.proven:
            self.proven, self.center, self.worth = proven, prices, worth
        if self.fine < FINE or (near and not moved):
            self.settled[self.at] = True
        others = np.delete(boards.least, self.at).min(initial=np.inf)
        least = float(boards.least[self.at])
        ahead = least > max(others, self.came_with) * (1 + AHEAD)
        if self.settled[self.at] or ahead or not np.isfinite(least):
            self._cut()
            self._choose()

    def _cut(self) -> None:
        """Raise what all sets cost at the least by what the best prices prove."""
        boards = self.boards
        priced = [self._priced(g, self.center) for g in range(len(boards.alike))]
        others = [b for b in range(len(boards.stock)) if b not in self.worth]
        worth = self.worth | {b: row.worth for b, row in self._rows(others, priced)}
        boards.cut(self.center, np.array([worth[b] for b in range(len(boards.stock))]))

    def _priced(self, group: int, prices: NDArray[np.float64]) -> Priced:
        alike = self.boards.alike[group]
        found = Priced(alike, prices, 0.0, alike.long, alike.wide)
        self.last_work += found.work
        return found

    def _rows(self, which: list[int], priced: list[Priced]) -> list[tuple[int, FlawedRow]]:
        """Return the best row of each board; none is looked for beyond the best of those known."""
        rows = list(self.each(lambda b: self._row(b, priced[self.boards.group[b]]), which))
        self.last_work += sum(row.work for row in rows)
        return list(zip(which, rows, strict=True))

    def _row(self, b: int, priced: Priced) -> FlawedRow:
        value, rate = priced.value, priced.rate
        known = max((float(c @ value) + credit * rate for c, credit in self.held[b]), default=0.0)
        return self.flawed[b].price(priced, known, self.fine)

    def _add(self, b: int, counts: NDArray[np.float64], credit: float) -> None:
        self.held[b].append((counts, credit))
        entries = {int(d): float(counts[d]) for d in np.flatnonzero(counts)}
        entries[len(self.boards.copies) + b] = 1.0
        rate = self.boards.alike[self.boards.group[b]].rate
        self.lp.add(-rate * credit / self.boards.scale, np.inf, entries)
