"""First plans, at once: narrow searches on the cheapest stock first, and rules of thumb."""

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.improve import Attempt
from nester.solve.pack import Manner, pack
from nester.solve.plans import draft
from nester.solve.starts import starts

WIDTHS = (1, 8)
"""Nodes a level of the searches."""


def by_price(problem: Problem, found: Arrays) -> NDArray[np.int32]:
    """Return the classes of stock that are searched, by what they cost for each cell kept whole."""

    def rate(cls: int) -> tuple[float, int]:
        item = problem.stock[found.directions[cls].stock]
        return item.value / max(1, int(item.credit[-1, -1])), cls

    searched = [c for c, d in enumerate(found.directions) if not d.bound_only]
    return np.array(sorted(searched, key=rate), np.int32)


def first_plans(
    problem: Problem, found: Arrays, weight: NDArray[np.float64], order: NDArray[np.int32]
) -> list[Attempt]:
    """Return first plans, for which stock is opened in an ``order`` of classes."""
    demand = np.array([d.copies for d in problem.demands], np.int16)
    plans: list[Attempt] = []
    for width in WIDTHS:
        manner = Manner(width, open_most=3)
        packed = pack(problem, found, demand, weight, found.copies, order, manner)
        plans.append(Attempt(draft(problem, packed.columns), packed.columns, packed.work))
    for columns in starts(problem):
        plans.append(Attempt(draft(problem, columns), tuple(columns), 0))
    return plans
