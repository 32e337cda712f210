"""The most valuable cutting of a plain bar: blanks end to end, none more often than it is wanted.

The bounded knapsack (Martello and Toth 1990, "Knapsack Problems", chapter 3) by dynamic programming
over lengths, each blank's copies in packets of 1, 2, 4 and so on. A kerf is dealt with by growing
blanks and bar by it.
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
    packets = 0
    for i in range(kinds):
        if values[i] > 0:
            rest, size = min(copies[i], nx // lengths[i]), 1
            while rest > 0:
                packets += 1
                rest -= size
                size *= 2
    kind = np.empty(packets, np.int32)
    times = np.empty(packets, np.int32)
    p = 0
    for i in range(kinds):
        if values[i] > 0:
            rest, size = min(copies[i], nx // lengths[i]), 1
            while rest > 0:
                kind[p], times[p] = i, min(size, rest)
                p += 1
                rest -= size
                size *= 2
    best = np.zeros(nx + 1, np.int64)
    other = np.zeros(nx + 1, np.int64)
    taken = np.empty((packets, nx + 1), np.bool_)
    for p in range(packets):
        length, value = times[p] * lengths[kind[p]], times[p] * values[kind[p]]
        other[:length] = best[:length]
        # From one array into another, and no branches: so it runs on several numbers at a time.
        before, now, after, more = best, best[length:], other[length:], taken[p, length:]
        for x in range(now.shape[0]):
            worth = before[x] + value
            after[x] = max(now[x], worth)
            more[x] = worth > now[x]
        best, other = other, best
    end, credit, top = nx, np.int64(0), best[nx]
    if rate > 0:
        for x in range(nx - off + 1):
            worth = best[x] + rate * (nx - x - lost)
            if worth > top:
                end, credit, top = x, np.int64(rate * (nx - x - lost)), worth
    counts = np.zeros(kinds, np.int32)
    x = end
    for p in range(packets - 1, -1, -1):
        length = times[p] * lengths[kind[p]]
        if x >= length and taken[p, x]:
            counts[kind[p]] += times[p]
            x -= length
    return top, credit, counts
