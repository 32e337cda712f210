"""Layouts of one piece of stock for a given set of blanks, and with wider strips in them.

What pricing proposes is only a count of blanks: flaws or stages may be left out of it. Packed anew
it is a layout, with as many of the blanks as fit.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.problem.choice import chains
from nester.solve.arrays import arrays
from nester.solve.columns import Column
from nester.solve.pack import Manner, pack

WIDTH = 8
"""Nodes a level of a search: a layout has few blanks."""


class Sawyer:
    """Cuts sets of blanks from single pieces of stock. ``columns`` count kinds of the problem."""

    def __init__(self, problem: Problem) -> None:
        self.plain = replace(problem, choices=(), glues=(), together=())
        self.found = arrays(self.plain)
        area = np.zeros(len(problem.demands))
        for item in problem.stock:
            for option in item.options:
                area[option.demand] = max(area[option.demand], option.length * option.width)
        self.weight = area / max(area.sum(), 1.0)
        self.chain_of = {
            kind: (chain, i) for chain in chains(problem.glues) for i, kind in enumerate(chain)
        }
        self.most = _most(problem)

    def cut(self, stock: int, counts: NDArray[np.int64]) -> tuple[list[Column], int]:
        """Return a layout with as many of the blanks as fit, none if none does; and the work."""
        alone = np.zeros(len(self.plain.stock), np.int16)
        alone[stock] = 1
        order = [
            c
            for c, direction in enumerate(self.found.directions)
            if direction.stock == stock and not direction.bound_only
        ]
        if not order:
            return [], 0
        demand = np.minimum(counts, self.most).astype(np.int16)
        classes = np.array(order, np.int32)
        packed = pack(
            self.plain, self.found, demand, self.weight, alone, classes, Manner(WIDTH, open_most=3)
        )
        return list(packed.columns), packed.work

    def widened(self, column: Column) -> tuple[Column, int]:
        """Return the layout with each strip in turn as wide as it can be, and the work."""
        best, work = column, 0
        for kind in [kind for kind in self.chain_of if column.counts[kind]]:
            chain, at = self.chain_of[kind]
            for _ in range(column.counts[kind]):
                low, high = at, len(chain) - 1
                while low < high:
                    middle = (low + high + 1) // 2
                    counts = np.array(best.counts, np.int64)
                    counts[chain[low]] -= 1
                    counts[chain[middle]] += 1
                    found, done = self.cut(column.stock, counts)
                    work += done
                    if found and np.all(np.array(found[0].counts) >= counts):
                        best, low = found[0], middle
                    else:
                        high = middle - 1
        return best, work


def _most(problem: Problem) -> NDArray[np.int64]:
    """Return how many blanks of each kind a plan can use at the most."""
    most = np.array([demand.copies for demand in problem.demands], np.int64)
    for choice in problem.choices:
        for arc in choice.arcs:
            most[arc.demand] += choice.copies
    made = most.copy()
    for glue in problem.glues:
        for kind, _ in glue.strips:
            most[kind] += glue.most * made[glue.demand]
    return most
