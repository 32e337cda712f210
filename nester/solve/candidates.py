"""Which stock to fill next, of all that costs less than a plan: not too much, not too little.

Few large pieces make few sets, and what a set leaves over jumps from one to the next. So all sets
are listed where they are few, and drawn where they are many; one that was filled in vain comes
after those that were not. Once it is proven what sets cost at the least, the one comes next that
promises to save most: what it costs less than the plan by how likely it is filled (``forecast``).
"""

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.board_sets import subsets
from nester.solve.columns import Column
from nester.solve.forecast import Forecast, chance
from nester.solve.plans import Draft

LISTED = 12
"""Pieces of stock of which all sets are listed, at the most: some 4,000."""

DRAWN = 400
"""Sets drawn at a time where there are more pieces."""

CLOSEST = 0.5
"""Of what is left over in the best plan, so much may be left over at the least."""


class Candidates:
    """Sets of stock, their room [cells, kerfs included] and how often each was filled in vain."""

    def __init__(self, problem: Problem, found: Arrays) -> None:
        self.problem, self.found = problem, found
        self.taken = int(found.takes @ np.array([d.copies for d in problem.demands], np.int64))
        self.pieces = np.repeat(np.arange(len(problem.stock)), found.copies)
        self.room = found.room[self.pieces].astype(np.int64)
        self.value = np.array([problem.stock[s].value for s in self.pieces])
        self.listed = subsets(len(self.pieces)) if len(self.pieces) <= LISTED else None
        self.few = self.listed is not None
        self.vain: Counter[tuple[int, ...]] = Counter()
        self.proven: NDArray[np.float64] | None = None
        """What each of the listed sets costs at the least if it holds all [ticks]."""
        every = np.zeros((0, len(self.pieces)), bool) if self.listed is None else self.listed
        self.number = {self._stock(chosen): i for i, chosen in enumerate(every)}
        self.distinct = np.zeros(len(every), bool)
        self.distinct[list(self.number.values())] = True
        self.forecast = Forecast(every @ np.eye(len(problem.stock), dtype=np.int64)[self.pieces])

    def next(
        self, best: Draft, others: Sequence[tuple[int, ...]], rng: np.random.Generator
    ) -> tuple[int, ...] | None:
        """Return a set that costs less than the ``best`` plan, None where there is none.

        It has room for a share drawn anew of what that plan leaves over, offcuts not counted, or
        the most room there is; of such sets it is one filled least often. Where all are listed it
        is the least roomy of these, else the first drawn: many boards fill better with some room to
        spare. What sets promise, once that is known, takes the place of all this; ``others`` are
        under way, and count as filled in vain once more.
        """
        if self.proven is not None:
            return self.most_promising(best, others)[0]
        least = self.taken / (1 - self.left_over(best) * rng.uniform(CLOSEST, 1.0))
        sets = self.listed if self.listed is not None else self._drawn(least, rng)
        room = sets @ self.room
        able = np.flatnonzero((room >= self.taken) & (sets @ self.value < best.cost))
        if not len(able):
            return None
        roomy = able[room[able] >= min(least, room[able].max())]
        if self.few:
            roomy = roomy[np.argsort(room[roomy], kind="stable")]
        # The first of those that are filled least often.
        return min((self._stock(sets[i]) for i in roomy), key=lambda stock: self.vain[stock])

    def most_promising(
        self, best: Draft, others: Sequence[tuple[int, ...]]
    ) -> tuple[tuple[int, ...] | None, float]:
        """Return which set promises to save most, and how much [ticks]; None where none saves."""
        assert self.listed is not None
        assert self.proven is not None
        price = self.listed @ self.value
        able = self.distinct & (self.listed @ self.room >= self.taken)
        able &= (price < best.cost) & (self.proven < best.cost)
        if not able.any():
            return None, 0.0
        expected = self.forecast.expected(1 - self.proven / np.maximum(1, price))
        promised = np.where(able, (best.cost - price) * chance(expected), -1.0)
        for stock, times in (self.vain + Counter(others)).items():
            if stock in self.number:
                promised[self.number[stock]] /= 1 + times
        first = int(np.argmax(promised))
        return self._stock(self.listed[first]), float(promised[first])

    def promises(self, stock: tuple[int, ...], left: float, best: Draft) -> float:
        """Return what a set promises to save that will leave out a share of all area [ticks]."""
        saved = best.cost - sum(self.problem.stock[s].value for s in stock)
        return saved * float(chance(np.array(left))) / (1 + self.vain[stock])

    def told(self, proven: NDArray[np.float64] | None) -> None:
        """Take over what each set is proven to cost at the least, where all are listed."""
        self.proven = proven if self.few else None

    def tried(self, stock: tuple[int, ...], left: float) -> None:
        """Note which share of all area the first search on a set left out."""
        if stock in self.number:
            self.forecast.learn(self.number[stock], left)

    def hopeless(self, stock: tuple[int, ...], best: Draft) -> bool:
        """Whether a set is proven to cost too much."""
        return self.proven is not None and bool(self.proven[self.number[stock]] >= best.cost)

    def give_up(self, stock: tuple[int, ...]) -> None:
        """Note that a set was filled in vain."""
        self.vain[stock] += 1

    def left_over(self, best: Draft) -> float:
        """Return the share of a plan's stock that comes to nothing."""
        kept = sum(offcut_cells(self.problem, column) for column in best.columns)
        room = int(self.found.room[[column.stock for column in best.columns]].sum()) - kept
        return max(0.0, 1 - self.taken / max(1, room))

    def _drawn(self, least: float, rng: np.random.Generator) -> NDArray[np.bool_]:
        """Return sets with at least so much room, each of pieces in an order of its own."""
        orders = rng.permuted(np.tile(np.arange(len(self.pieces)), (DRAWN, 1)), axis=1)
        before = np.cumsum(self.room[orders], axis=1) - self.room[orders]
        sets = np.zeros(orders.shape, bool)
        np.put_along_axis(sets, orders, before < least, axis=1)
        return sets

    def _stock(self, chosen: NDArray[np.bool_]) -> tuple[int, ...]:
        return tuple(self.pieces[chosen].tolist())


def offcut_cells(problem: Problem, column: Column) -> int:
    """Return how many cells of a layout come back as offcuts."""
    item = problem.stock[column.stock]
    return (item.value - column.cost) // item.cell_credit if item.cell_credit else 0
