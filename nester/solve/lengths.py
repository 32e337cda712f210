"""Layouts of plain bars, blanks end to end, none more often than it is wanted."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.bars import BarPricer, is_bar
from nester.solve.columns import Column, column
from nester.solve.plans import Draft, draft
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

    def layout(self, counts: NDArray[Any]) -> Column | None:
        """Return the layout that holds so many of each blank; None where it cannot be sawn."""
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
        row = Row("x", tuple(pieces))
        if not sawable(row, usable(item), item) or not clear_of_metal(row, item):
            return None
        if any(shown(item.options[o], box, item) is None for o, box in blanks(row, usable(item))):
            return None
        return column(self.problem, self.stock, row)


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


class BarFillers:
    """Fills each group of like bars."""

    def __init__(self, groups: Sequence[tuple[int, ...]], fill: Sequence[BarFiller]) -> None:
        self.groups = tuple(groups)
        self.fill = tuple(fill)
        nothing = np.zeros(fill[0].pricer.demands if fill else 0, np.int64)
        # A bar that comes back whole, credit and all.
        self.cheapest = [max(1, f.item.value - f.pricer(nothing).value) for f in fill]
        """What a piece of each group costs at the least [ticks]."""

    def plan(self, problem: Problem, cut: Iterable[tuple[int, NDArray[np.int64]]]) -> Draft | None:
        """Return the plan that cuts these counts of blanks, each from a piece of a group.

        What is not wanted any more is not cut; None where one cannot be sawn, or stock runs out.
        """
        left = np.array([d.copies for d in problem.demands], np.int64)
        free = [[s for s in g for _ in range(problem.stock[s].count)] for g in self.groups]
        columns: list[Column] = []
        for group, most in cut:
            counts = np.minimum(most, left)
            if not counts.any():
                continue
            layout = self.fill[group].layout(counts)
            if layout is None or not free[group]:
                return None
            left -= counts
            columns.append(replace(layout, stock=free[group].pop(0)))
        return draft(problem, columns)


def bar_fillers(
    problem: Problem, found: Arrays, groups: Sequence[tuple[int, ...]]
) -> BarFillers | None:
    """Return what fills the stock, None where it is not all bars that are crosscut and no more."""
    fill: list[BarFiller] = []
    for group in groups:
        one = bar_filler(problem, found, group[0])
        if one is None:
            return None
        fill.append(one)
    return BarFillers(groups, fill) if fill else None
