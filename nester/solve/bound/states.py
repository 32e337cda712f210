"""Which copies of blanks pricing keeps count of, numbered as the kernels want them."""

from dataclasses import dataclass
from functools import cache
from math import prod

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """Copies taken of each counted demand: at most ``most`` of ``demands``, in the same order.

    ``units``: the state with one copy of each alone. ``join``: of two states, that of both
    together, -1 where that is more than wanted. ``fewer``: of a state, those with one copy less of
    each counted demand, -1 where it has none. Shapes (demand,), (state, state), (state, demand).
    """

    demands: tuple[int, ...]
    most: tuple[int, ...]
    units: NDArray[np.int32]
    join: NDArray[np.int32]
    fewer: NDArray[np.int32]

    def adds(self, owner: NDArray[np.int32]) -> NDArray[np.int32]:
        """Return the state that each option alone makes; ``owner`` gives its demand."""
        found = np.zeros(len(owner), np.int32)
        for demand, unit in zip(self.demands, self.units, strict=True):
            found[owner == demand] = unit
        return found


@cache
def states(demands: tuple[int, ...], most: tuple[int, ...]) -> States:
    """Return the states in which up to ``most`` copies are taken of each of ``demands``."""
    radix = np.array([n + 1 for n in most], np.int64)
    units = np.array([prod(most[i] + 1 for i in range(j)) for j in range(len(most))], np.int64)
    size = int(np.prod(radix))
    numbers = np.arange(size)
    digits = (numbers[:, None] // units) % radix
    both = digits[:, None, :] + digits[None, :, :]
    join = np.where((both < radix).all(axis=2), numbers[:, None] + numbers[None, :], -1)
    fewer = np.where(digits > 0, numbers[:, None] - units, -1)
    return States(
        demands,
        most,
        units.astype(np.int32),
        join.astype(np.int32),
        fewer.astype(np.int32).reshape(size, len(most)),
    )


UNCOUNTED = states((), ())
"""The one state where nothing is counted."""
