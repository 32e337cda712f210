"""Pricing of plain sheets, each blank at most as often as it is wanted.

Without limits on copies a good blank is repeated in every layout that pricing thinks of, which
loosens the bound most where few of a kind are wanted.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import option_rows
from nester.solve.bound.pricing import Priced
from nester.solve.bound.sizes import is_plain, plate_size
from nester.solve.kernels import columns as k
from nester.solve.plate.best import Best, best_plate
from nester.solve.plate.pieces import Pieces, Wanted

BUDGET = 100_000_000
"""Programme cells that one pricing may take; then its bound is looser."""

MORE, MOST_BUDGET = 4, 1_600_000_000
"""So many times more, and how much at the most, where that was too little for the bound."""

MOST = 200_000
"""Layouts that one pricing keeps in memory, at the most."""

MOST_TABLE = 20_000_000
"""Steps that a table of a sheet's parts may take; where it is more, copies are not counted."""

FINE = 2**24
"""Parts of the dearest blank in which prices are told, rounded up."""


def counted_pricer(
    found: Arrays, cls: int, item: StockItem, copies: Sequence[int], budget: int | None = None
) -> "CountedPricer | None":
    """Return what prices a plain sheet whose leftovers earn nothing; None for others.

    A sheet whose sizes make too many sums is left to others too.
    """
    if item.board or item.cell_credit > 0 or not is_plain(found, cls):
        return None
    pricer = CountedPricer(found, cls, copies, budget)
    return pricer if pricer.table_work <= MOST_TABLE else None


class CountedPricer:
    """Any guillotine layout of a plain sheet that takes no blank more often than asked for."""

    step = 1

    def __init__(
        self, found: Arrays, cls: int, copies: Sequence[int], budget: int | None = None
    ) -> None:
        self.budget = BUDGET if budget is None else budget
        table = found.classes[cls]
        rows = option_rows(found, cls)
        self.nx, self.ny = plate_size(found, cls)
        self.ways: dict[int, list[tuple[int, int]]] = {}
        for demand, length, width in rows[:, :3]:
            way = int(length) + int(table[k.C_KU]), int(width) + int(table[k.C_KV])
            self.ways.setdefault(int(demand), []).append(way)
        self.copies = np.array(copies, np.int64)
        self.work = self.budget
        self.loose = False
        """Whether the last pricing came to an end without being proven."""

    def more(self) -> bool:
        """Let a pricing take more from now on, if the last was cut short; whether it may."""
        if not self.loose or self.budget * MORE > MOST_BUDGET:
            return False
        self.budget *= MORE
        self.work = self.budget
        return True

    @property
    def table_work(self) -> int:
        """About how many steps a table of the sheet's parts takes."""
        wants = [Wanted(tuple(way), 1, int(self.copies[d])) for d, way in self.ways.items()]
        return Pieces(self.nx, self.ny, wants).table_work

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        best, part = self.best(prices, least, wanted)
        counts = np.zeros(len(prices), np.int32)
        counts[list(self.ways)] = best.counts
        worth = int(counts.astype(np.int64) @ prices)
        return Priced(
            max(best.bound * part, worth, least),
            counts,
            0,
            best.work,
            found=worth > least,
        )

    def best(
        self, prices: NDArray[np.int64], least: int, wanted: NDArray[np.int64] | None
    ) -> tuple[Best, int]:
        """Return the best layout and how many ticks its values are told in.

        Its counts, and the blanks of its row, count into ``ways``.
        """
        copies = self.copies if wanted is None else np.minimum(wanted, self.copies)
        part = max(1, int(prices.max(initial=0)) // FINE)
        wants = [
            Wanted(tuple(way), -(-int(prices[d]) // part), int(copies[d]))
            for d, way in self.ways.items()
        ]
        best = best_plate(self.nx, self.ny, wants, self._goes_on, MOST, least // part)
        self.loose = best.bound > best.value
        return best, part

    def _goes_on(self, work: int) -> bool:
        return work < self.budget
