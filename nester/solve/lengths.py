"""Layouts of plain bars, blanks end to end, none more often than it is wanted."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.bars import BarPricer, is_bar
from nester.solve.columns import Column, column
from nester.solve.makers import Made, Makers
from nester.solve.rows import Blank, Row, blanks, clear_of_metal, sawable, shown, usable


class BarFiller:
    """Fills bars of one kind with what is worth most: exact."""

    def __init__(self, problem: Problem, found: Arrays, cls: int) -> None:
        self.problem = problem
        self.stock = found.directions[cls].stock
        self.item = problem.stock[self.stock]
        copies = [demand.copies for demand in problem.demands]
        self.pricer = BarPricer(found, cls, self.item, copies)
        lengths = np.full(len(copies), np.inf)
        self.option: dict[int, int] = {}
        for o, option in enumerate(self.item.options):
            if option.length < lengths[option.demand]:
                lengths[option.demand], self.option[option.demand] = option.length, o
        self.sizes = (lengths + self.item.kx) / (self.item.x1 - self.item.x0 + self.item.kx)

    def __call__(
        self, values: NDArray[np.int64], wanted: NDArray[np.int64], most_sums: int = 0
    ) -> tuple[Column | None, int]:
        """Return the layout worth most by ``values`` [ticks], or none, and the work it took.

        All sums of lengths are looked at, whatever ``most_sums`` says.
        """
        priced = self.pricer(values, 0, wanted)
        if not priced.counts.any():
            return None, priced.work
        return self.layout(priced.counts), priced.work

    def price(self, prices: NDArray[np.int64], wanted: NDArray[np.int64]) -> Made:
        """Return what is worth most at prices [ticks]: exact."""
        priced = self.pricer(prices, 0, wanted)
        return Made(priced.value, priced.counts.astype(np.int64), priced.credit, priced.work)

    def layout(self, counts: NDArray[Any], row: Row | None = None) -> Column | None:
        """Return the layout that holds so many of each blank; None where it cannot be sawn.

        The blanks lie end to end, so no ``row`` need be told.
        """
        item = self.item
        low = int(item.near[0])
        at = item.x0
        pieces: list[tuple[int, int, Row | Blank]] = []
        for demand in np.flatnonzero(counts):
            option = item.options[self.option[int(demand)]]
            blank = Row("y", ((low, low + option.width, Blank(self.option[int(demand)])),))
            for _ in range(int(counts[demand])):
                pieces.append((at, at + option.length, blank))
                at += option.length + item.kx
        made = Row("x", tuple(pieces))
        if not sawable(made, usable(item), item) or not clear_of_metal(made, item):
            return None
        if any(shown(item.options[o], box, item) is None for o, box in blanks(made, usable(item))):
            return None
        return column(self.problem, self.stock, made)


def bar_filler(problem: Problem, found: Arrays, stock: int) -> BarFiller | None:
    """Return what fills an item; None where that is no bar that is crosscut and no more.

    What is left to the search: bars whose near edge is lost by length, and rips that may be too
    short to be safe.
    """
    item = problem.stock[stock]
    classes = [c for c, d in enumerate(found.directions) if d.stock == stock and not d.rip_first]
    if len(classes) != 1 or not is_bar(found, classes[0], item) or item.stages == 1:
        return None
    low = int(item.near[0])
    if int(item.near.max()) != int(item.near.min()):
        return None
    if item.rip_min >= 0 and any(low + o.width != item.far for o in item.options):
        return None
    return BarFiller(problem, found, classes[0])


def bar_makers(problem: Problem, found: Arrays, groups: Sequence[tuple[int, ...]]) -> Makers | None:
    """Return makers of all stock, None where it is not all bars that are crosscut and no more."""
    fill: list[BarFiller] = []
    for group in groups:
        one = bar_filler(problem, found, group[0])
        if one is None:
            return None
        fill.append(one)
    return Makers(groups, fill, len(problem.demands)) if fill else None
