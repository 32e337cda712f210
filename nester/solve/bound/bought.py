"""A bound by sets of boards: what the cheapest set costs that could hold all blanks, by strips.

For any prices of the blanks each set of boards has a bound: the prices of all blanks, and for each
board its cost less what it is worth at these prices (``strips``). So prices found for one set are a
cut for all of them, as in Benders (1962), "Partitioning procedures for solving mixed-variables
programming problems", and the bound is the least over all sets of the highest cut. It is a few
boards that are bought whole, so all sets can be listed. The linear programme of the set that is
least now gives prices, by column generation, until that set is the least and has settled.
"""

from collections.abc import Sequence
from concurrent.futures import Executor
from itertools import product

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.bound.area import least_anywhere
from nester.solve.bound.strips import Alike, Priced, Size, applies, groups, size_of
from nester.solve.columns import Column
from nester.solve.lp import CELLS_A_MASTER, GrowingLp

MOST_PIECES = 14
"""Pieces of stock up to which all sets of them are listed."""

MOST_CELLS = 30_000_000
"""Programme cells of pricing boards once up to which this is tried."""

MISSING = 2.0
"""What a blank that is left out costs, in prices of all stock."""

CUT_EVERY = 4
"""Rounds of a set's linear programme after which its prices are a cut for all sets."""

NEAR = 3e-4
"""A set that has settled is near enough to the least one at this share above it."""

GAIN = 1e-6
"""What a section gains at the least to be taken into the programme, in prices of a board."""

BANDS = 3
"""Lengths of sections are as many bands, of which each gives its best."""


class Bought:
    """Raises a bound round by round, each of one linear programme and its pricing."""

    again = False
    expected = 0

    def __init__(self, problem: Problem) -> None:
        self.bound = 0
        self.last_work = 0
        self.done = True
        pieces = [s for s, item in enumerate(problem.stock) for _ in range(item.count)]
        copies = np.array([d.copies for d in problem.demands], np.int64)
        if not 0 < len(pieces) <= MOST_PIECES or not applies(problem):
            return
        grouped = groups(problem)
        self.alike = [Alike([problem.stock[s] for s in group], copies) for group in grouped]
        if sum(alike.cells for alike in self.alike) > MOST_CELLS:
            return
        self.done = False
        self.copies = copies
        self.scale = float(max(problem.stock[s].value for s in pieces)) or 1.0
        self.sizes = [size_of(problem.stock[s]) for s in pieces]
        group_of = {s: g for g, group in enumerate(grouped) for s in group}
        self.group = [group_of[s] for s in pieces]
        self.rest = np.array([size.rest for size in self.sizes]) / self.scale
        self.sets = np.array(list(product((False, True), repeat=len(pieces))))
        self.least = self._by_area(problem)
        self.settled = np.zeros(len(self.sets), bool)
        self.at = -1  # the set that is looked into
        self.came_with = 0.0
        self.rounds = 0
        self.lp = self._programme(problem)
        self._choose()

    def _by_area(self, problem: Problem) -> NDArray[np.float64]:
        """Return what each set costs at the least by area, infinite where it has no room."""
        room = np.array([size.room for size in self.sizes])
        need = least_anywhere(problem.stock, len(self.copies), kerfs=True).astype(float)
        over = self.sets @ room - float(need @ self.copies)
        credit = max(alike.rate for alike in self.alike) / self.scale
        return np.where(over >= 0, self.sets @ self.rest - credit * over, np.inf)

    def _programme(self, problem: Problem) -> GrowingLp:
        """Return the programme: rows of blanks, then of length and of area of each piece."""
        n, pieces = len(self.copies), len(self.sizes)
        inf = np.inf
        lp = GrowingLp([*self.copies, *[-inf] * (2 * pieces)], [*[inf] * n, *[0.0] * (2 * pieces)])
        missing = MISSING * float(self.rest.sum())
        for d in range(n):
            lp.add(missing, inf, {d: 1.0})
        for b, size in enumerate(self.sizes):
            alike = self.alike[self.group[b]]
            high, rate = size.wide - alike.kerf[1], alike.rate / self.scale
            if rate > 0 and high >= alike.off[1]:  # as if all that is left over were one offcut
                cells = high * size.long
                entries = {n + b: 1.0, n + pieces + b: cells / size.room}
                lp.add(-rate * cells, inf, entries)
            for d, i in self._widest(alike, size):
                long = int(alike.size[i])
                lp.add(0.0, inf, self._column(b, long, {d: 1.0}, 0.0))
        return lp

    def _widest(self, alike: Alike, size: Size) -> list[tuple[int, int]]:
        """Return the kinds of blanks that fit a piece, each with a place in the widest strips."""
        wide = np.flatnonzero(alike.widths <= size.wide - alike.kerf[1])
        if not len(wide):
            return []
        own = range(alike.first[wide[-1]], alike.first[wide[-1] + 1])
        return [(int(alike.owner[i]), i) for i in own if alike.size[i] <= size.long]

    def _column(
        self, b: int, long: int, counts: dict[int, float], credit: float
    ) -> dict[int, float]:
        n, pieces, size = len(self.copies), len(self.sizes), self.sizes[b]
        area = self.alike[self.group[b]].area
        taken = credit + sum(float(area[d]) * count for d, count in counts.items())
        return {**counts, n + b: long / size.long, n + pieces + b: taken / size.room}

    def _choose(self) -> None:
        """Go to the set that is least now, or end."""
        self.at = int(np.argmin(self.least))
        self.came_with = float(self.least[self.at])
        # An infinite one says that there is too little stock, which proves nothing.
        if self.settled[self.at] or not np.isfinite(self.came_with):
            self.done = True
            return
        upper = np.concatenate([np.full(len(self.copies), np.inf), *[self.sets[self.at] * 1.0] * 2])
        lower = np.concatenate([self.copies, np.full(2 * len(self.sizes), -np.inf)])
        self.lp.set_rows(lower, upper)

    @property
    def next_work(self) -> int:
        """About how many programme cells the next round fills."""
        return self.last_work

    def round(self, pool: Executor, columns: Sequence[Column], best: int) -> None:
        """Make a step on the pool, which has no other use for ``columns`` and ``best``."""
        pool.submit(self.step).result()

    def step(self) -> None:
        """Solve the programme of the set that is least, and price its boards."""
        self.last_work = CELLS_A_MASTER
        if not self.lp.solve():
            self.done = True
            return
        n, pieces = len(self.copies), len(self.sizes)
        duals = self.lp.duals
        prices = np.maximum(0.0, duals[:n]) * self.scale
        long = -duals[n : n + pieces] * self.scale
        cell = np.maximum(0.0, -duals[n + pieces :]) * self.scale
        cell /= [size.room for size in self.sizes]
        own = {}
        fresh = False
        for b in np.flatnonzero(self.sets[self.at]).tolist():
            size = self.sizes[b]
            own[b] = self._priced(self.group[b], prices, float(cell[b]), size.long, size.wide)
            fresh |= self._take(b, own[b], float(long[b]))
        self.rounds += 1
        if not fresh or self.rounds % CUT_EVERY == 0:
            self._cut(prices, own)
        low = float(self.least.min())
        if not fresh:
            self.settled[self.at] = True
            if self.least[self.at] <= low * (1 + NEAR):
                self.done = True
                return
        if not fresh or self.least[self.at] > max(low, self.came_with * (1 + NEAR)):
            self._choose()

    def _priced(
        self, group: int, prices: NDArray[np.float64], cell: float, long: int, wide: int
    ) -> Priced:
        found = Priced(self.alike[group], prices, cell, long, wide)
        self.last_work += found.work
        return found

    def _take(self, b: int, priced: Priced, length: float) -> bool:
        """Take over sections worth more than their length costs; whether there are any."""
        size = self.sizes[b]
        gains = priced.sections(size) - length / size.long * np.arange(size.long + 1)
        longs = {int(band[np.argmax(gains[band])]) for band in _bands(size.long)}
        taken = [long for long in sorted(longs) if gains[long] > GAIN * self.scale]
        for long in taken:
            made = priced.section(size, long)
            counts = {int(d): float(made.counts[d]) for d in np.flatnonzero(made.counts)}
            cost = -priced.alike.rate * made.credit / self.scale
            self.lp.add(cost, np.inf, self._column(b, long, counts, made.credit))
        return bool(taken)

    def _cut(self, prices: NDArray[np.float64], own: dict[int, Priced]) -> None:
        """Raise what sets cost at the least by what these prices prove."""
        mean = float(np.mean([one.cell for one in own.values()])) if own else 0.0
        shared = [
            [self._priced(g, prices, cell, one.long, one.wide) for cell in sorted({0.0, mean})]
            for g, one in enumerate(self.alike)
        ]
        worth = np.empty(len(self.sizes))
        for b, size in enumerate(self.sizes):
            ways = shared[self.group[b]] + ([own[b]] if b in own else [])
            worth[b] = min(way.board(size) for way in ways)
        whole = float(prices @ self.copies) / self.scale
        cut = whole + self.sets @ (self.rest - worth / self.scale)
        self.least = np.maximum(self.least, cut)
        self.bound = max(self.bound, int(self.least.min() * self.scale * (1 - 1e-6)) - 1)


def _bands(long: int) -> list[NDArray[np.int64]]:
    return [band for band in np.array_split(np.arange(1, long + 1), BANDS) if len(band)]
