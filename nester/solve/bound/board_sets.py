"""All sets of a few boards, and what each costs at the least that could hold all blanks.

For any prices of the blanks a set costs at least the prices of all blanks and, for each of its
boards, what that costs less what it is worth at these prices. So prices found for one set are a cut
for all of them, as in Benders (1962), "Partitioning procedures for solving mixed-variables
programming problems", and the bound is the least over all sets of the highest cut.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.bound.area import least_anywhere
from nester.solve.bound.strips import Alike, applies, groups, size_of

MOST_PIECES = 14
"""Pieces of stock up to which all sets of them are listed."""

BEYOND = 1e-6
"""Shares of a set's price that sums of floating point may be wrong by, amply."""


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """Prices, what each board is worth at them [ticks], and whether that is told closely."""

    prices: NDArray[np.float64]
    worth: NDArray[np.float64]
    close: NDArray[np.bool_]

    def of(self, boards: Sequence[int]) -> dict[int, float]:
        """Return what some of the boards are worth."""
        return {b: float(self.worth[b]) for b in boards}


class BoardSets:
    """The sets of a job's boards; copies of a board are pieces of their own.

    ``scale`` is about what a board costs [ticks], and what all costs here are told in.
    """

    def __init__(self, problem: Problem) -> None:
        pieces = [s for s, item in enumerate(problem.stock) for _ in range(item.count)]
        self.copies = np.array([d.copies for d in problem.demands], np.int64)
        self.stock = tuple(pieces)
        self.alike: list[Alike] = []
        if not 0 < len(pieces) <= MOST_PIECES or not applies(problem):
            return
        grouped = groups(problem)
        self.alike = [Alike([problem.stock[s] for s in group], self.copies) for group in grouped]
        self.scale = float(max(problem.stock[s].value for s in pieces)) or 1.0
        self.sizes = [size_of(problem.stock[s]) for s in pieces]
        group_of = {s: g for g, group in enumerate(grouped) for s in group}
        self.group = [group_of[s] for s in pieces]
        self.rest = np.array([size.rest for size in self.sizes]) / self.scale
        self.sets = subsets(len(pieces))
        self.price = self.sets @ (np.array([problem.stock[s].value for s in pieces]) / self.scale)
        self.least = self._by_area(problem)
        self.cuts: list[Cut] = []
        """Those for all sets that were found so far."""

    def _by_area(self, problem: Problem) -> NDArray[np.float64]:
        """Return what each set costs at the least by area, infinite where it has no room."""
        room = np.array([size.room for size in self.sizes])
        need = least_anywhere(problem.stock, len(self.copies), kerfs=True).astype(float)
        over = self.sets @ room - float(need @ self.copies)
        credit = max(alike.rate for alike in self.alike) / self.scale
        return np.where(over >= 0, self.sets @ self.rest - credit * over, np.inf)

    @property
    def bound(self) -> int:
        """What the cheapest set costs at the least [ticks]; 0 where none has room for all."""
        low = float(self.least.min())
        # An infinite one says that there is too little stock, which proves nothing.
        return max(0, int(low * self.scale * (1 - BEYOND)) - 1) if np.isfinite(low) else 0

    @property
    def proven(self) -> NDArray[np.float64] | None:
        """What each set costs at the least [ticks], None where that is not known."""
        return self.least * (self.scale * (1 - BEYOND)) - 1 if self.alike else None

    def cut(self, cut: Cut) -> None:
        """Raise what sets cost at the least by what each board is worth at prices; keep these."""
        self.cuts.append(cut)
        self._raise_by(cut)

    def closer(self, cut: Cut, worth: Mapping[int, float]) -> None:
        """Raise it further by what some boards are worth at the prices of a cut, told closely."""
        for b, less in worth.items():
            cut.worth[b], cut.close[b] = min(float(cut.worth[b]), less), True
        self._raise_by(cut)

    def _raise_by(self, cut: Cut) -> None:
        whole = float(cut.prices @ self.copies) / self.scale
        self._raise(whole + self.sets @ (self.rest - cut.worth / self.scale))

    def best_cut(self, at: int) -> Cut:
        """Return the cut that proves most of a set."""
        own = np.flatnonzero(self.sets[at]).tolist()
        return max(self.cuts, key=lambda cut: self.costs(at, cut.prices, cut.of(own)))

    def costs(self, at: int, prices: NDArray[np.float64], worth: Mapping[int, float]) -> float:
        """Return what a set costs at the least if its boards are worth so much at prices."""
        whole = (float(prices @ self.copies) - sum(worth.values())) / self.scale
        return whole + float(self.sets[at] @ self.rest)

    def cut_one(self, at: int, prices: NDArray[np.float64], worth: Mapping[int, float]) -> float:
        """Raise what one set costs by what its own boards are worth; return what that proves."""
        proven = self.costs(at, prices, worth)
        everywhere = np.full(len(self.sets), -np.inf)
        everywhere[at] = proven
        self._raise(everywhere)
        return proven

    def _raise(self, proven: NDArray[np.float64]) -> None:
        """Raise what sets cost at the least; one that costs more than its price cannot hold all."""
        self.least = np.maximum(self.least, proven)
        self.least[self.least > self.price * (1 + BEYOND) + BEYOND] = np.inf


def subsets(pieces: int) -> NDArray[np.bool_]:
    """Return all sets of so many pieces, a row each."""
    sets: NDArray[np.bool_] = (np.arange(2**pieces)[:, None] >> np.arange(pieces)) & 1 == 1
    return sets
