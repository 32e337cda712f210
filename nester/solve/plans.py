"""A whole plan as the solver holds it, and which of two is better."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.columns import Column

Merit: TypeAlias = tuple[int, int, int]
"""Missing copies, finished area missing, cost: the smaller the better, in this order."""


@dataclass(frozen=True, slots=True)
class Draft:
    """Layouts that go together, and how many copies of each demand they leave out."""

    columns: tuple[Column, ...]
    missing: tuple[int, ...]
    merit: Merit

    @property
    def cost(self) -> int:
        """What the layouts cost [ticks]."""
        return self.merit[2]

    @property
    def complete(self) -> bool:
        """Whether nothing is missing."""
        return self.merit[0] == 0


def draft(problem: Problem, columns: Sequence[Column]) -> Draft:
    """Return a draft of layouts; blanks beyond the demand are no help and no harm."""
    wanted = np.array([d.copies for d in problem.demands], np.int64)
    got = np.zeros(len(wanted), np.int64)
    for column in columns:
        got += np.array(column.counts, np.int64)
    missing = np.maximum(wanted - got, 0)
    area = sum(int(n) * d.area for n, d in zip(missing, problem.demands, strict=True))
    cost = sum(column.cost for column in columns)
    merit = (int(missing.sum()), area, cost)
    return Draft(tuple(columns), tuple(int(n) for n in missing), merit)


def copies_used(problem: Problem, columns: Sequence[Column]) -> NDArray[np.int16]:
    """Return how many copies of each stock item the layouts use."""
    used = np.zeros(len(problem.stock), np.int16)
    for column in columns:
        used[column.stock] += 1
    return used
