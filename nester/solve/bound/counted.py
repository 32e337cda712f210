"""Pricing of plain sheets, each blank at most as often as it is wanted.

Without limits on copies a good blank is repeated in every layout that pricing thinks of, which
loosens the bound most where few of a kind are wanted.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import option_rows
from nester.solve.bound.pricing import Priced
from nester.solve.bound.sizes import is_plain, plate_size
from nester.solve.kernels import columns as k
from nester.solve.plate.best import Best, Looking
from nester.solve.plate.pieces import Pieces, Wanted

BUDGET = 100_000_000
"""Programme cells that one pricing may take; then it pauses, and its bound is looser."""

MOST_WORK = 1_600_000_000
"""What it takes at the most where the same prices are asked for again and again."""

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
        self.last: _Asked | None = None

    def more(self) -> bool:
        """Whether the last pricing was cut short and goes on if the same is asked for again."""
        last = self.last
        return last is not None and last.looking.loose and last.looking.work < MOST_WORK

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
        if wanted is None:
            best, part = self._again(prices, least)
        else:
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

    def _again(self, prices: NDArray[np.int64], least: int) -> tuple[Best, int]:
        """Return the best layout, going on from the last pricing if that asked the same."""
        last = self.last
        if last is None or least < last.least or not np.array_equal(prices, last.prices):
            looking, part = self._looking(prices, least, self.copies)
            last = self.last = _Asked(prices.copy(), least, looking, part)
        before = last.looking.work
        most = min(MOST_WORK, before + self.budget)
        best = last.looking.on(lambda work: work < most)
        return replace(best, work=best.work - before), last.part

    def best(
        self, prices: NDArray[np.int64], least: int, wanted: NDArray[np.int64]
    ) -> tuple[Best, int]:
        """Return the best layout and how many ticks its values are told in.

        Its counts, and the blanks of its row, count into ``ways``.
        """
        copies = np.minimum(wanted, self.copies)
        looking, part = self._looking(prices, least, copies)
        return looking.on(lambda work: work < self.budget), part

    def _looking(
        self, prices: NDArray[np.int64], least: int, copies: NDArray[np.int64]
    ) -> tuple[Looking, int]:
        part = max(1, int(prices.max(initial=0)) // FINE)
        wants = [
            Wanted(tuple(way), -(-int(prices[d]) // part), int(copies[d]))
            for d, way in self.ways.items()
        ]
        return Looking(self.nx, self.ny, wants, MOST, least // part), part


@dataclass(frozen=True, slots=True)
class _Asked:
    """What was asked of the last pricing, how far it has come, and the ticks of its values."""

    prices: NDArray[np.int64]
    least: int
    looking: Looking
    part: int
