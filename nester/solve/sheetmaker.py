"""Layouts of plain sheets with any number of stages, the most valuable with limited copies."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.counted import CountedPricer, counted_pricer
from nester.solve.columns import Column, column
from nester.solve.makers import Made, Makers
from nester.solve.plates import Filler, Piece, is_plain_sheet
from nester.solve.rows import Blank, Row, sawable, usable

BUDGET = 4_000_000
"""Programme cells that one layout may take."""

MOST_TABLE = 10_000_000
"""Steps that a table of a sheet's parts may take; where it is more, there is no maker."""


class SheetMaker:
    """Makes layouts of sheets of one kind."""

    def __init__(self, problem: Problem, stock: int, pricer: CountedPricer) -> None:
        self.problem, self.stock, self.pricer = problem, stock, pricer
        self.item = problem.stock[stock]
        self.filler = Filler(problem, stock)

    def price(self, prices: NDArray[np.int64], wanted: NDArray[np.int64]) -> Made:
        """Return what is worth most at prices [ticks], as far as the budget tells."""
        best, part = self.pricer.best(prices, 0, wanted)
        counts = np.zeros(len(prices), np.int64)
        counts[list(self.pricer.ways)] = best.counts
        value = max(best.bound * part, int(counts @ prices))
        return Made(value, counts, 0, best.work, best.row)

    def layout(self, counts: NDArray[Any], row: Row | None = None) -> Column | None:
        """Return the layout with so many of each blank, cut like ``row``; None where none is.

        Without a row one is looked for.
        """
        wanted = np.asarray(counts, np.int64)
        if row is None:
            areas = np.array([d.area for d in self.problem.demands], np.int64)
            row = self.pricer.best(areas, 0, wanted)[0].row
        left = wanted.copy()
        nx, ny = self.filler.nx, self.filler.ny
        piece = self._piece(row, (nx, ny), left)
        if piece is None or left.any():
            return None
        made = self.filler.row(piece)
        if not sawable(made, usable(self.item), self.item):
            return None
        return column(self.problem, self.stock, made)

    def _piece(
        self, part: Row | Blank, room: tuple[int, int], left: NDArray[np.int64]
    ) -> Piece | None:
        """Return a part of a row as a piece, what is not left to be cut left out."""
        if isinstance(part, Blank):
            return self._blank(list(self.pricer.ways)[part.option], room, left)
        made: Piece | None = None
        for start, end, inner in part.pieces:
            space = (end - start, room[1]) if part.axis == "x" else (room[0], end - start)
            made = self.filler.joined(part.axis, made, self._piece(inner, space, left))
        return made

    def _blank(self, demand: int, room: tuple[int, int], left: NDArray[np.int64]) -> Piece | None:
        if left[demand] == 0:
            return None
        left[demand] -= 1
        for option, (owner, length, width) in enumerate(self.filler.options):
            if owner == demand and length <= room[0] and width <= room[1]:
                kx, ky = self.item.kx, self.item.ky
                return Piece("", int(length) - kx, int(width) - ky, option)
        return None


def sheet_makers(
    problem: Problem, found: Arrays, groups: Sequence[tuple[int, ...]]
) -> Makers | None:
    """Return makers of all stock, None where it is not all plain sheets with few sums of sizes."""
    made: list[SheetMaker] = []
    copies = [demand.copies for demand in problem.demands]
    for group in groups:
        item = problem.stock[group[0]]
        if not is_plain_sheet(item):
            return None
        classes = [c for c, d in enumerate(found.directions) if d.stock == group[0]]
        pricer = counted_pricer(found, classes[0], item, copies, BUDGET) if classes else None
        if pricer is None or pricer.table_work > MOST_TABLE:
            return None
        made.append(SheetMaker(problem, group[0], pricer))
    return Makers(groups, made, len(copies)) if made else None
