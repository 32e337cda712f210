"""Pricing: the layout of a stock item that is worth most at given prices of blanks.

Pricers may think of layouts that cannot be sawn (flaws ignored, sizes rounded down to steps), never
fewer than can: their values are upper bounds, so what is proven from them holds.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.drawn import Sketch
from nester.solve.bound.places import option_rows
from nester.solve.bound.sizes import edge_rows, least_offcut, plate_size
from nester.solve.kernels import columns as k
from nester.solve.kernels.plate import plate_counts, plate_values
from nester.solve.rows import Row


class PricedLayout(NamedTuple):
    """The blanks of a layout, what its offcuts earn [ticks], and where its blanks lie, if known."""

    counts: NDArray[np.int32]
    credit: int
    sketch: Sketch | None = None


@dataclass(frozen=True, slots=True)
class Priced:
    """The most any layout is worth, offcut credit included [ticks], and one of the best layouts.

    Where no layout is worth more than what was asked for, ``found`` is false.
    Wood beyond the last whole cells is credited in full, whether or not an offcut reaches there.
    ``sketch`` tells where its blanks lie, where the pricer knows. ``others`` are further layouts
    worth more than was asked for. ``rows`` are all of them as they are sawn, once they are drawn.
    """

    value: int
    counts: NDArray[np.int32]
    credit: int
    work: int
    found: bool = True
    sketch: Sketch | None = None
    others: tuple[PricedLayout, ...] = ()
    rows: tuple[Row | None, ...] = ()

    @property
    def layouts(self) -> tuple[PricedLayout, ...]:
        """All layouts that were found, the best first."""
        return (PricedLayout(self.counts, self.credit, self.sketch), *self.others)


class Pricer(Protocol):
    """Prices one stock item: the best layout at given prices, where it is worth over ``least``.

    Some never take a blank more often than it is ``wanted``.
    """

    work: int
    step: int

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced: ...


class PlatePricer:
    """Any guillotine layout of the usable rectangle, flaws not looked at."""

    def __init__(self, found: Arrays, cls: int, item: StockItem, demands: int, step: int) -> None:
        table = found.classes[cls]
        ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
        rows = option_rows(found, cls)
        self.step = step
        self.nx, self.ny = (size // step for size in plate_size(found, cls))
        self.lengths = ((rows[:, 1] + ku) // step).astype(np.int32)
        self.widths = ((rows[:, 2] + kv) // step).astype(np.int32)
        self.owner = rows[:, 0].astype(np.int32)
        self.demands = demands
        self.credit = item.cell_credit * step * step
        self.beyond = item.cell_credit * item.beyond
        over_u, over_v = least_offcut(found, cls, item)
        edges = edge_rows(found, cls, item)
        if edges >= over_v:
            self.beyond += item.cell_credit * self.nx * step * edges
        off = [max(1, (over_u + ku) // step), max(1, (over_v - edges + kv) // step)]
        other = [max(1, (over_v + ku) // step), max(1, (over_u + kv) // step)]
        off += other if item.off_either else [2**30] * 2
        # x steps hold at most (x + 1) * step - 1 cells, a kerf among them.
        # An offcut may keep the edges that only blanks lose.
        off += [(ku + 1) // step - 1, (kv + 1) // step - 1 - -(-edges // step)]
        self.off = np.array(off, np.int32)
        self.work = plate_work(self.nx, self.ny)

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        values = prices[self.owner]
        useful = values > 0
        lengths, widths = self.lengths[useful], self.widths[useful]
        best = plate_values(
            self.nx, self.ny, lengths, widths, values[useful], self.credit, self.off
        )
        counts, credit = plate_counts(
            best,
            lengths,
            widths,
            values[useful],
            self.owner[useful],
            self.demands,
            self.nx,
            self.ny,
        )
        value = int(best[self.nx, self.ny]) + self.beyond
        return Priced(value, counts, int(credit) + self.beyond, self.work)


def plate_work(nx: int, ny: int) -> int:
    """Return about how many programme cells a plate takes."""
    return nx * ny * (nx + ny) // 4


def best_priced(
    pricers: tuple[Pricer, ...],
    prices: NDArray[np.int64],
    least: int,
    wanted: NDArray[np.int64] | None = None,
) -> Priced | None:
    """Return the best over a group's directions; None where it gives nothing.

    What is worth no more than ``least`` is not looked for. Pricers that can do so take no blank
    more often than it is ``wanted``.
    """
    best: Priced | None = None
    work = 0
    for pricer in pricers:
        priced = pricer(prices, least, wanted)
        work += priced.work
        if best is None or priced.value > best.value:
            best = priced
        least = max(least, best.value)
    return None if best is None else replace(best, work=work)
