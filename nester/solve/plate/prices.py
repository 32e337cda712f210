"""Prices on copies, and what they prove of a plate and its parts.

For any prices p >= 0 of pieces wanted b times each, no layout is worth more than p . b and the best
layout of unlimited copies at values less p: the Lagrangian relaxation of the limits (Christofides
and Hadjiconstantinou 1995, "An exact algorithm for orthogonal 2-D cutting problems using guillotine
cuts", go further). Good prices come from column generation, smoothed after Wentges (1997).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.plate_bounds import around, contents, inside
from nester.solve.lp import GrowingLp
from nester.solve.plate.pieces import Pieces

SCALE = 64
"""Parts of a value that a price is told in."""

CELLS_A_MASTER = 100_000
"""Programme cells that are filled in the time of one solution of the small master."""

ROUNDS = 60
"""Rounds of looking for better prices, at the most."""

WORK = 4e8
"""Programme cells that looking for prices may fill."""

SETTLED = 1e-4
"""Prices are good enough once the master is this close to what they prove."""

SMOOTHING = 0.6

Longs = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Priced:
    """Prices of copies [parts of a value], what they prove, and the cells filled for it.

    ``around`` is, first without prices and then at them, the most to be had around a layout.
    """

    prices: Longs
    base: int
    worth: Longs
    around: Longs
    bound: int
    work: int


def priced(pieces: Pieces, go_on: Callable[[int], bool], least: int = 0) -> Priced:
    """Return good prices; ``go_on`` is told the cells filled and asked whether to look further.

    Prices that prove no layout to be worth more than ``least`` are good enough.
    """
    prices = Prices(pieces, least)
    prices.look(go_on)
    return prices.told()


class Prices:
    """Prices that get better until they are good enough, with a pause wherever one is wanted."""

    def __init__(self, pieces: Pieces, least: int) -> None:
        self.pieces, self.least = pieces, least
        n = self.n = len(pieces.values)
        self.full = pieces.values * SCALE
        self.lp = GrowingLp([-np.inf] * (n + 1), [*(float(c) for c in pieces.copies), 1.0])
        self.best = np.inf
        self.center, self.duals = np.zeros(n), np.zeros(n)
        self.work = 0
        """Programme cells filled so far."""
        self.rounds = 0
        self.settled = False
        """Whether they are good enough."""

    def look(self, go_on: Callable[[int], bool]) -> None:
        """Look for better ones until they are good enough or ``go_on`` says no."""
        while not self.settled:
            self._round()
            if not go_on(self.work):
                break

    @property
    def bound(self) -> int:
        """What the best so far prove, before any table of limited copies."""
        return int(self.best) // SCALE

    def told(self) -> Priced:
        """Return the best so far and what they prove, and the most around a layout."""
        pieces = self.pieces
        prices = self.center.astype(np.int64)
        worth = pieces.values * SCALE - prices
        base = int(prices @ pieces.copies)
        tables = [_limited(pieces, pieces.values), _limited(pieces, np.maximum(0, worth))]
        free, at_prices = (int(table[-1, -1]) for table in tables)
        self.work += 6 * pieces.table_work
        return Priced(
            prices,
            base,
            worth,
            np.stack([around(table, *pieces.grid) for table in tables]),
            min(free, (at_prices + base) // SCALE),
            self.work,
        )

    def _round(self) -> None:
        pieces, n, scale = self.pieces, self.n, float(self.full.max())
        asked = np.rint(SMOOTHING * self.center + (1 - SMOOTHING) * self.duals).astype(np.int64)
        ways = pieces.ways(np.maximum(0, self.full - asked))
        table = inside(*pieces.grid, *ways, pieces.copies, False)
        self.work += pieces.table_work + CELLS_A_MASTER
        self.rounds += 1
        proven = int(table[-1, -1]) + int(asked @ pieces.copies)
        if proven < self.best:
            self.best, self.center = proven, asked.astype(np.float64)
            if proven < (self.least + 1) * SCALE:
                self.settled = True
                return
        held = contents(table, *pieces.grid, *ways, n)
        entries = {i: float(c) for i, c in enumerate(held) if c}
        self.lp.add(-float(held @ self.full) / scale, np.inf, {**entries, n: 1.0})
        if not self.lp.solve() or -self.lp.objective * scale >= self.best * (1 - SETTLED):
            self.settled = True
            return
        self.duals = np.maximum(0.0, -self.lp.duals[:n]) * scale
        self.settled = self.work > WORK or self.rounds >= ROUNDS


def _limited(pieces: Pieces, values: Longs) -> Longs:
    table: Longs = inside(*pieces.grid, *pieces.ways(values), pieces.copies, True)
    return table
