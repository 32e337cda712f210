"""The most valuable cutting of a plain bar: blanks end to end, none more often than it is wanted.

The bounded knapsack (Martello and Toth 1990, "Knapsack Problems", chapter 3) by dynamic programming
over lengths. A kerf is dealt with by growing blanks and bar by it.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Counts = NDArray[np.int32]


@kernel
def best_bar(
    nx: int,
    lengths: Counts,
    values: NDArray[np.int64],
    copies: Counts,
    rate: int,
    off: int,
    lost: int,
) -> tuple[np.int64, np.int64, Counts]:
    """Return the most that a bar of ``nx`` cells is worth, the offcut's worth in it, and counts.

    ``lengths`` [cells], ``values`` and most ``copies`` of each blank; a leftover of at least
    ``off`` cells is worth ``rate`` a cell, ``lost`` cells of it not counted.
    """
    kinds = lengths.shape[0]
    best = np.zeros(nx + 1, np.int64)
    taken = np.zeros((kinds, nx + 1), np.int16)
    for i in range(kinds):
        length, value = lengths[i], values[i]
        if value <= 0 or length > nx:
            continue
        most = min(copies[i], nx // length)
        if most == 1:
            # The most common case, and quicker without the inner loop.
            before = best[: nx + 1 - length].copy()
            for x in range(length, nx + 1):
                worth = before[x - length] + value
                more = worth > best[x]
                best[x] = worth if more else best[x]
                taken[i, x] = more
            continue
        for x in range(nx, length - 1, -1):
            top, count = best[x], 0
            for c in range(1, min(most, x // length) + 1):
                worth = best[x - c * length] + c * value
                if worth > top:
                    top, count = worth, c
            best[x] = top
            taken[i, x] = count
    end, credit, top = nx, np.int64(0), best[nx]
    if rate > 0:
        for x in range(nx - off + 1):
            worth = best[x] + rate * (nx - x - lost)
            if worth > top:
                end, credit, top = x, np.int64(rate * (nx - x - lost)), worth
    counts = np.zeros(kinds, np.int32)
    x = end
    for i in range(kinds - 1, -1, -1):
        counts[i] = taken[i, x]
        x -= counts[i] * lengths[i]
    return top, credit, counts
