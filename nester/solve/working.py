"""The plain problem that is left once all is chosen: so many blanks of each kind."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.arrays import Arrays, arrays
from nester.solve.bound.area import usable_cells
from nester.solve.columns import Column
from nester.solve.config import Config, wanted
from nester.solve.rows import Blank, Row


@dataclass(frozen=True, slots=True, eq=False)
class Working:
    """A problem with only the kinds of blanks that a configuration asks for.

    ``demands[d]`` is the whole problem's number of kind d, ``options[s][o]`` that of an option.
    """

    whole: Problem
    problem: Problem
    found: Arrays
    weight: NDArray[np.float64]
    demands: tuple[int, ...]
    options: tuple[tuple[int, ...], ...]

    def lifted(self, column: Column) -> Column:
        """Return a layout in the whole problem's numbers."""
        counts = [0] * len(self.whole.demands)
        for d, count in enumerate(column.counts):
            counts[self.demands[d]] = count
        own = self.options[column.stock]
        row = _renumbered(column.row, own)
        return Column(column.stock, row, tuple(counts), column.cost)

    def lowered(self, column: Column) -> Column:
        """Return a layout in this problem's numbers; it must hold kinds of this problem only."""
        place = {o: i for i, o in enumerate(self.options[column.stock])}
        counts = tuple(column.counts[d] for d in self.demands)
        return Column(column.stock, _renumbered(column.row, place), counts, column.cost)


class Rooms:
    """What blanks may take of each stock item, worked out once.

    Configurations of a problem differ in that only by the flaws their blanks keep clear of.
    """

    def __init__(self) -> None:
        self.known: dict[tuple[int, frozenset[int]], int] = {}

    def of(self, s: int, item: StockItem) -> int:
        """Return ``bound.area.usable_cells`` of stock item ``s`` with the options ``item`` has."""
        key = (s, frozenset(index for option in item.options for index, _ in option.shows))
        if key not in self.known:
            self.known[key] = usable_cells(item, kerfs=True)
        return self.known[key]


def working(problem: Problem, config: Config, rooms: Rooms) -> Working:
    """Return the plain problem of a configuration; ``rooms`` are those of the whole problem."""
    copies = wanted(problem, config)
    demands = tuple(int(d) for d in np.flatnonzero(copies > 0))
    place = {d: i for i, d in enumerate(demands)}
    options = tuple(
        tuple(o for o, option in enumerate(item.options) if option.demand in place)
        for item in problem.stock
    )
    stock = tuple(
        replace(
            item,
            options=tuple(
                replace(item.options[o], demand=place[item.options[o].demand]) for o in own
            ),
        )
        for item, own in zip(problem.stock, options, strict=True)
    )
    left = tuple(replace(problem.demands[d], copies=int(copies[d])) for d in demands)
    plain = replace(problem, demands=left, stock=stock, choices=(), glues=(), together=())
    weight = np.array([d.area for d in left], np.float64)
    weight /= max(weight.sum(), 1.0)
    found = arrays(plain, [rooms.of(s, item) for s, item in enumerate(stock)])
    return Working(problem, plain, found, weight, demands, options)


def _renumbered(row: Row, number: Sequence[int] | dict[int, int]) -> Row:
    pieces = tuple(
        (
            start,
            end,
            _renumbered(piece, number) if isinstance(piece, Row) else Blank(number[piece.option]),
        )
        for start, end, piece in row.pieces
    )
    return Row(row.axis, pieces)
