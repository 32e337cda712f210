"""Which stock a set of blanks is to fill: what they use up, for leftovers cost money too."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays

TRIES = 40
"""Sets of stock that are drawn at the most."""

CLOSEST = 0.1
"""The least of what is left over now that still may be left over then."""


def classes_of(found: Arrays, stocks: Sequence[int]) -> NDArray[np.int32]:
    """Return the classes of stock in its order."""
    by_stock: dict[int, list[int]] = {}
    for cls, direction in enumerate(found.directions):
        if not direction.bound_only:
            by_stock.setdefault(direction.stock, []).append(cls)
    return np.array([cls for s in stocks for cls in by_stock.get(s, ())], np.int32)


def chosen_stock(
    problem: Problem,
    found: Arrays,
    taken: int,
    freed: Sequence[int],
    most: int,
    copies: NDArray[np.int16],
    rng: np.random.Generator,
    closest: float = CLOSEST,
) -> list[int]:
    """Return stock that blanks fill more closely than they did what was ``freed``.

    They take an area of ``taken`` [cells], kerfs included. It is a set of less than ``most``
    [ticks], used up and nothing kept, else the cheapest drawn. ``copies`` of each item may be used.
    Of what is left over now, a share of at least ``closest`` may be left over then.
    """
    room = found.room
    value = np.array([item.value for item in problem.stock])
    now = min(1.0, taken / max(1, int(room[list(freed)].sum())))
    least = taken / (1 - (1 - now) * rng.uniform(closest, 1.0))
    pool = np.repeat(np.arange(len(copies)), np.maximum(copies, 0))
    best, lowest = list(freed), np.inf
    for _ in range(TRIES):
        drawn = rng.permutation(pool)
        enough = int(np.searchsorted(np.cumsum(room[drawn]), least)) + 1
        cost = float(value[drawn[:enough]].sum())
        if enough <= len(drawn) and cost < lowest:
            best, lowest = [int(s) for s in drawn[:enough]], cost
        if lowest < most:
            break
    return best
