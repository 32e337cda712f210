"""What makes layouts of stock of one kind at prices, and a plan of what was proposed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.columns import Column
from nester.solve.plans import Draft, draft
from nester.solve.proposal import Proposal
from nester.solve.rows import Row


@dataclass(frozen=True, slots=True)
class Made:
    """The most that a layout is worth, the counts of one of the best, and the work [cells].

    ``credit`` [ticks] is the leftovers' part of it. ``row``, if any, is how it is cut, in the
    maker's own terms.
    """

    value: int
    counts: NDArray[np.int64]
    credit: int
    work: int
    row: Row | None = None


class Maker(Protocol):
    """Makes layouts of one kind of stock, no blank more often than it is wanted."""

    item: StockItem

    def price(self, prices: NDArray[np.int64], wanted: NDArray[np.int64]) -> Made:
        """Return what is worth most at prices [ticks]."""
        ...

    def layout(self, counts: NDArray[Any], row: Row | None = None) -> Column | None:
        """Return the layout with so many of each blank, cut like ``row``; None where none is."""
        ...


class Makers:
    """A maker for each group of like stock."""

    def __init__(
        self, groups: Sequence[tuple[int, ...]], make: Sequence[Maker], demands: int
    ) -> None:
        self.groups = tuple(groups)
        self.make = tuple(make)
        nothing = np.zeros(demands, np.int64)
        # A piece that comes back whole, credit and all.
        self.cheapest = [max(1, m.item.value - m.price(nothing, nothing).value) for m in make]
        """What a piece of each group costs at the least [ticks]."""

    def plan(self, problem: Problem, cut: Iterable[Proposal]) -> Draft | None:
        """Return the plan that cuts these proposals, each from a piece of its group.

        What is not wanted any more is not cut; None where one cannot be sawn, or stock runs out.
        """
        left = np.array([d.copies for d in problem.demands], np.int64)
        free = [[s for s in g for _ in range(problem.stock[s].count)] for g in self.groups]
        columns: list[Column] = []
        for proposal in cut:
            counts = np.minimum(proposal.counts, left)
            if not counts.any():
                continue
            layout = self.make[proposal.group].layout(counts, proposal.row)
            if layout is None or not free[proposal.group]:
                return None
            left -= counts
            columns.append(replace(layout, stock=free[proposal.group].pop(0)))
        return draft(problem, columns)
