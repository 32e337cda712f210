"""The most valuable guillotine layout of a plain rectangle, any number of stages, copies unlimited.

Gilmore and Gomory (1966), "The theory and computation of knapsack functions", eq. for the
two-dimensional case: the best of a rectangle is the best single piece in it, or the best of the two
rectangles that one cut makes. A kerf is dealt with by growing pieces and plate by it. Flaws are not
looked at, so with flaws the value is an upper bound.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Table = NDArray[np.int64]


@kernel
def plate_values(
    nx: int,
    ny: int,
    lengths: NDArray[np.int32],
    widths: NDArray[np.int32],
    values: NDArray[np.int64],
    credit: int,
    off: NDArray[np.int32],
) -> Table:
    """Return the table of best values, shape (nx + 1, ny + 1).

    ``lengths``, ``widths``, ``values`` describe the pieces, sizes with the kerf in them. A leftover
    of at least ``off[0]`` by ``off[1]`` (or ``off[2]`` by ``off[3]``) cells, kerf in them, is worth
    ``credit`` a cell, its kerf rows ``off[4]`` and ``off[5]`` not counted.
    """
    best = np.zeros((nx + 1, ny + 1), np.int64)
    for i in range(lengths.shape[0]):
        if lengths[i] <= nx and widths[i] <= ny and values[i] > best[lengths[i], widths[i]]:
            best[lengths[i], widths[i]] = values[i]
    for x in range(1, nx + 1):
        row = best[x]
        before = best[x - 1]
        for y in range(1, ny + 1):
            if before[y] > row[y]:
                row[y] = before[y]
        if credit > 0:
            for y in range(1, ny + 1):
                if (x >= off[0] and y >= off[1]) or (x >= off[2] and y >= off[3]):
                    worth = credit * (x - int(off[4])) * (y - int(off[5]))
                    if worth > row[y]:
                        row[y] = worth
        for a in range(1, x // 2 + 1):
            one, two = best[a], best[x - a]
            for y in range(1, ny + 1):
                both = one[y] + two[y]
                if both > row[y]:
                    row[y] = both
        for y in range(1, ny + 1):
            if row[y - 1] > row[y]:
                row[y] = row[y - 1]
            mine = row[y]
            if mine == 0:
                continue
            # Pushing forward keeps the inner loop contiguous: a table twice as fast as pulling.
            for b in range(1, min(y, ny - y) + 1):
                both = mine + row[b]
                if both > row[y + b]:
                    row[y + b] = both
    return best


@kernel
def plate_counts(
    best: Table,
    lengths: NDArray[np.int32],
    widths: NDArray[np.int32],
    values: NDArray[np.int64],
    owner: NDArray[np.int32],
    demands: int,
    nx: int,
    ny: int,
) -> tuple[NDArray[np.int32], np.int64]:
    """Return how many pieces of each owner a best layout holds, and the credit in it."""
    counts = np.zeros(demands, np.int32)
    credit = np.int64(0)
    stack = np.empty((2 * (nx + ny) + 4, 2), np.int32)
    stack[0, 0], stack[0, 1] = nx, ny
    top = 1
    while top > 0:
        top -= 1
        x, y = stack[top, 0], stack[top, 1]
        value = best[x, y]
        if value == 0:
            continue
        while x > 1 and best[x - 1, y] == value:
            x -= 1
        while y > 1 and best[x, y - 1] == value:
            y -= 1
        found = False
        for i in range(lengths.shape[0]):
            if lengths[i] <= x and widths[i] <= y and values[i] == value:
                counts[owner[i]] += 1
                found = True
                break
        if found:
            continue
        for a in range(1, x // 2 + 1):
            if best[a, y] + best[x - a, y] == value:
                stack[top, 0], stack[top, 1] = a, y
                stack[top + 1, 0], stack[top + 1, 1] = x - a, y
                top += 2
                found = True
                break
        if found:
            continue
        for b in range(1, y // 2 + 1):
            if best[x, b] + best[x, y - b] == value:
                stack[top, 0], stack[top, 1] = x, b
                stack[top + 1, 0], stack[top + 1, 1] = x, y - b
                top += 2
                found = True
                break
        if not found:
            credit += value
    return counts, credit
