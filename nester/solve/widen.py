"""Whole plans by ever wider beams, beside attempts that take a few layouts apart.

Iterative widening after Fontan and Libralesso (2020): the same search again and again, each time
with more nodes a level. Where there are few pieces of stock a plan is one jigsaw.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.improve import LEAST_WORK, Attempt
from nester.solve.pack import Manner, pack
from nester.solve.plans import draft

NARROWEST = 200
"""Nodes a level at first."""

MOST_NODES = 500_000
"""Nodes of all levels of a search at the most: each keeps 40 bytes."""

MANNERS = (
    Manner(0, bias=0.0, slack=0.1, ahead=1),
    Manner(0, bias=0.3, slack=0.0, ahead=0),
    Manner(0, bias=0.15, slack=0.0, ahead=1),
    Manner(0, bias=0.0, slack=0.0, ahead=0),
    Manner(0, bias=0.1, slack=0.05, ahead=0),
    Manner(0, bias=0.3, slack=0.1, ahead=1),
)
"""How nodes are compared, one manner after another; then with twice as many nodes."""

NOISE = 0.01
"""How much the comparison is shaken once the widest search has been made in each manner."""


class Widening:
    """Which search of a whole plan comes next, and how much work it will take."""

    def __init__(self, problem: Problem, order: NDArray[np.int32]) -> None:
        self.order = order
        self.kinds = len(problem.demands)
        self.blanks = sum(d.copies for d in problem.demands)
        self.widest = max(NARROWEST, MOST_NODES // max(1, self.blanks))
        self.made = 0

    @property
    def width(self) -> int:
        """Nodes a level that the next search keeps."""
        return min(self.widest, NARROWEST << min(self.made // len(MANNERS), 20))

    @property
    def placings(self) -> int:
        """About how many placings the next search tries."""
        return self.width * self.blanks * self.kinds // 2

    def manner(self, seed: int) -> Manner:
        """Return how the next search goes, and count it as made."""
        noise = NOISE if self.width == self.widest else 0.0
        manner = replace(
            MANNERS[self.made % len(MANNERS)], width=self.width, noise=noise, seed=seed
        )
        self.made += 1
        return manner


def whole_plan(
    problem: Problem,
    found: Arrays,
    weight: NDArray[np.float64],
    order: NDArray[np.int32],
    manner: Manner,
    limit: float,
) -> Attempt:
    """Plan all blanks in one search, stock being opened in an order of classes.

    It goes on as long as what is spent stays under ``limit`` [ticks].
    """
    demand = np.array([d.copies for d in problem.demands], np.int16)
    packed = pack(problem, found, demand, weight, found.copies, order, manner, limit)
    return Attempt(draft(problem, packed.columns), packed.columns, packed.work + LEAST_WORK)
