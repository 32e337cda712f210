"""Prices for sets of boards by sections: the linear programme of strips, flaws left out.

The programme of the set that is least now gives prices, by column generation (Gilmore and Gomory
1961, "A linear programming approach to the cutting-stock problem"), until that set is the least and
has settled. A section takes of its board's length and area, wherever it lies.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.bound.board_sets import BoardSets, Cut
from nester.solve.bound.strips import Alike, Priced, Size
from nester.solve.lp import CELLS_A_MASTER, GrowingLp

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


class BySections:
    """Raises what sets cost at the least, step by step, each of one programme and its pricing."""

    def __init__(self, boards: BoardSets) -> None:
        self.boards = boards
        self.done = False
        self.last_work = 0
        self.settled = np.zeros(len(boards.sets), bool)
        self.at = -1  # the set that is looked into
        self.came_with = 0.0
        self.rounds = 0
        self.lp = self._programme()
        self._choose()

    def _programme(self) -> GrowingLp:
        """Return the programme: rows of blanks, then of length and of area of each piece."""
        n, pieces = len(self.boards.copies), len(self.boards.sizes)
        inf = np.inf
        lower = [*self.boards.copies, *[-inf] * (2 * pieces)]
        lp = GrowingLp(lower, [*[inf] * n, *[0.0] * (2 * pieces)])
        missing = MISSING * float(self.boards.rest.sum())
        for d in range(n):
            lp.add(missing, inf, {d: 1.0})
        for b, size in enumerate(self.boards.sizes):
            alike = self.boards.alike[self.boards.group[b]]
            high, rate = size.wide - alike.kerf[1], alike.rate / self.boards.scale
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
        n, pieces, size = len(self.boards.copies), len(self.boards.sizes), self.boards.sizes[b]
        area = self.boards.alike[self.boards.group[b]].area
        taken = credit + sum(float(area[d]) * count for d, count in counts.items())
        return {**counts, n + b: long / size.long, n + pieces + b: taken / size.room}

    def _choose(self) -> None:
        """Go to the set that is least now, or end."""
        self.at = int(np.argmin(self.boards.least))
        self.came_with = float(self.boards.least[self.at])
        # An infinite one says that there is too little stock, which proves nothing.
        if self.settled[self.at] or not np.isfinite(self.came_with):
            self.done = True
            return
        chosen, copies = self.boards.sets[self.at] * 1.0, self.boards.copies
        upper = np.concatenate([np.full(len(copies), np.inf), chosen, chosen])
        lower = np.concatenate([copies, np.full(2 * len(chosen), -np.inf)])
        self.lp.set_rows(lower, upper)

    def step(self) -> None:
        """Solve the programme of the set that is least, and price its boards."""
        self.last_work = CELLS_A_MASTER
        if not self.lp.solve():
            self.done = True
            return
        n, pieces = len(self.boards.copies), len(self.boards.sizes)
        duals = self.lp.duals
        prices = np.maximum(0.0, duals[:n]) * self.boards.scale
        long = -duals[n : n + pieces] * self.boards.scale
        cell = np.maximum(0.0, -duals[n + pieces :]) * self.boards.scale
        cell /= [size.room for size in self.boards.sizes]
        own = {}
        fresh = False
        for b in np.flatnonzero(self.boards.sets[self.at]).tolist():
            size = self.boards.sizes[b]
            own[b] = self._priced(
                self.boards.group[b], prices, float(cell[b]), size.long, size.wide
            )
            fresh |= self._take(b, own[b], float(long[b]))
        self.rounds += 1
        if not fresh or self.rounds % CUT_EVERY == 0:
            self._cut(prices, own)
        low = float(self.boards.least.min())
        if not fresh:
            self.settled[self.at] = True
            if self.boards.least[self.at] <= low * (1 + NEAR):
                self.done = True
                return
        if not fresh or self.boards.least[self.at] > max(low, self.came_with * (1 + NEAR)):
            self._choose()

    def _priced(
        self, group: int, prices: NDArray[np.float64], cell: float, long: int, wide: int
    ) -> Priced:
        found = Priced(self.boards.alike[group], prices, cell, long, wide)
        self.last_work += found.work
        return found

    def _take(self, b: int, priced: Priced, length: float) -> bool:
        """Take over sections worth more than their length costs; whether there are any."""
        size = self.boards.sizes[b]
        gains = priced.sections(size) - length / size.long * np.arange(size.long + 1)
        longs = {int(band[np.argmax(gains[band])]) for band in _bands(size.long)}
        taken = [long for long in sorted(longs) if gains[long] > GAIN * self.boards.scale]
        for long in taken:
            made = priced.section(size, long)
            counts = {int(d): float(made.counts[d]) for d in np.flatnonzero(made.counts)}
            cost = -priced.alike.rate * made.credit / self.boards.scale
            self.lp.add(cost, np.inf, self._column(b, long, counts, made.credit))
        return bool(taken)

    def _cut(self, prices: NDArray[np.float64], own: dict[int, Priced]) -> None:
        """Raise what sets cost at the least by what these prices prove."""
        mean = float(np.mean([one.cell for one in own.values()])) if own else 0.0
        shared = [
            [self._priced(g, prices, cell, one.long, one.wide) for cell in sorted({0.0, mean})]
            for g, one in enumerate(self.boards.alike)
        ]
        worth = np.empty(len(self.boards.sizes))
        for b, size in enumerate(self.boards.sizes):
            ways = shared[self.boards.group[b]] + ([own[b]] if b in own else [])
            worth[b] = min(way.board(size) for way in ways)
        self.boards.cut(Cut(prices.copy(), worth, np.zeros(len(worth), bool)))


def _bands(long: int) -> list[NDArray[np.int64]]:
    return [band for band in np.array_split(np.arange(1, long + 1), BANDS) if len(band)]
