"""Section pricing in which copies are counted of blanks that would be taken more often than wanted.

They are counted only where the best layout takes too many, and only those that it does: the
decremental state space of Righini and Salani (2008), "New dynamic programming algorithms for the
resource constrained elementary shortest path problem". What is known without counting tells where
to look.
"""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from math import isqrt, prod

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.drawn import Sketch
from nester.solve.bound.level import UNKNOWN, Best, Level, Steps, no_others
from nester.solve.bound.sections import SectionPricer
from nester.solve.bound.states import States, states
from nester.solve.kernels.counted_sections import counted_sections
from nester.solve.kernels.counted_walk import counted_walk

COUNTING = 500_000_000
"""Programme cells that counting may take at a time, about: states squared for each cell without."""


class CountedSectionPricer(SectionPricer):
    """A section pricer that takes no more ``copies`` of a blank than are of use, where it can.

    There are at most ``most`` states of what is counted, fewer where each would take long; beyond
    that copies are not counted.
    """

    def __init__(
        self,
        found: Arrays,
        cls: int,
        item: StockItem,
        copies: Sequence[int],
        steps: Sequence[Steps],
        most: int,
        plain: int = 1,
        most_work: int = UNKNOWN,
    ) -> None:
        super().__init__(found, cls, item, len(copies), steps, plain, most_work)
        self.copies = np.array(copies, np.int64)
        self.most = most

    def _settled(
        self, level: Level, prices: NDArray[np.int64], least: int, best: Best
    ) -> tuple[Best, int]:
        plain, work = best, 0
        most = min(self.most, isqrt(COUNTING // max(1, plain.work)))
        kept: tuple[int, ...] = ()
        while best.worth > 0:
            over = np.maximum(0, self._held(level, best.sketch()) - self.copies)
            chosen = self._chosen(over * prices, kept, most)
            if len(chosen) == len(kept):
                break
            if best.worth <= least:
                # Another layout may be worth as much, but it is not known to be.
                return replace(best, reached=np.zeros(1, np.int64)), work
            kept = chosen
            counted = states(kept, tuple(int(self.copies[d]) for d in kept))
            best = counted_best(level, prices, least, plain, counted)
            work += best.work
        return replace(best, others=no_others), work  # their copies are not counted

    def _chosen(self, over: NDArray[np.int64], kept: tuple[int, ...], most: int) -> tuple[int, ...]:
        """Return the blanks to count: those counted, and the dearest of those taken too often.

        Together they make at most so many states.
        """
        size = prod(int(self.copies[d]) + 1 for d in kept)
        for at in np.argsort(-over, kind="stable"):
            d = int(at)
            if over[d] <= 0:
                break
            if d not in kept and size * (int(self.copies[d]) + 1) <= most:
                return (*kept, d)
        return kept


def counted_best(
    level: Level, prices: NDArray[np.int64], least: int, plain: Best, counted: States
) -> Best:
    """Return the best of a level with copies counted, given what it found without."""
    reached, came, before, sections, work = counted_sections(
        level.read,
        prices[level.tables.owner],
        least,
        plain.reached,
        level.after(plain.sections),
        np.full(level.tables.nu + 1, UNKNOWN, np.int64),
        1,
        plain.sections,
        counted.adds(level.tables.owner),
        counted.join,
        counted.fewer,
    )
    sketch = partial(_sketch, level, prices, reached, came, before, counted)
    return Best(reached.max(axis=1), sections, work, sketch)


def _sketch(
    level: Level,
    prices: NDArray[np.int64],
    reached: NDArray[np.int64],
    came: NDArray[np.int32],
    before: NDArray[np.int32],
    counted: States,
) -> Sketch:
    """Return the best layout, walked back from where it ends."""
    t = level.tables
    sections: list[NDArray[np.int32]] = []
    ue = t.nu
    state = int(reached[ue].argmax())
    while ue > 0:
        us = int(came[ue, state])
        if us == -1:
            ue -= 1
        elif us < -1:
            ue = -2 - us
        else:
            rest = int(before[ue, state])
            placed = counted_walk(
                level.read,
                us,
                ue,
                state - rest,
                prices[t.owner],
                counted.adds(t.owner),
                counted.join,
                counted.fewer,
            )
            sections.append(placed)
            ue, state = us, rest
    return Sketch(level.cls, *level.steps, tuple(sections[::-1]))
