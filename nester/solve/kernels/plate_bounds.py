"""What parts of a plate are worth at the most, on the positions that sums of pieces reach.

The recursion is Gilmore and Gomory's (1966) on the discretisation points of Herz (1972), "Recursive
computational procedure for two-dimensional stock cutting". No rectangle is worth more than the
copies that fit it in area (Dantzig 1957), so the limits on copies are felt in it; prices on pieces
make them felt across the plate (Christofides and Whitlock 1977).
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Ints = NDArray[np.int32]
Table = NDArray[np.int64]


@kernel
def inside(
    xs: Ints,
    ys: Ints,
    floor_x: Ints,
    floor_y: Ints,
    lengths: Ints,
    widths: Ints,
    values: Table,
    owner: Ints,
    copies: Ints,
    limited: bool,
) -> Table:
    """Return the most that each rectangle of ``xs`` by ``ys`` is worth.

    ``floor_x`` and ``floor_y`` give the last position up to each length. Pieces come in falling
    order of value for their area; those of one ``owner`` share its ``copies``. Where ``limited``
    no rectangle is worth more than the copies that fit it by size and in area.
    """
    nx, ny = xs.shape[0], ys.shape[0]
    best = np.zeros((nx, ny), np.int64)
    taken = np.zeros(copies.shape[0], np.int64)
    for i in range(lengths.shape[0]):
        if values[i] > best[floor_x[lengths[i]], floor_y[widths[i]]]:
            best[floor_x[lengths[i]], floor_y[widths[i]]] = values[i]
    for i in range(1, nx):
        row = best[i]
        before = best[i - 1]
        for j in range(1, ny):
            if before[j] > row[j]:
                row[j] = before[j]
        a = 1
        while a < i and 2 * xs[a] <= xs[i]:
            one, two = best[a], best[floor_x[xs[i] - xs[a]]]
            for j in range(1, ny):
                both = one[j] + two[j]
                if both > row[j]:
                    row[j] = both
            a += 1
        for j in range(1, ny):
            top = max(row[j], row[j - 1])
            b = 1
            while b < j and 2 * ys[b] <= ys[j]:
                both = row[b] + row[floor_y[ys[j] - ys[b]]]
                if both > top:
                    top = both
                b += 1
            if limited and top > 0:
                cell = i * ny + j
                room = np.int64(xs[i]) * ys[j]
                most = np.int64(0)
                for k in range(lengths.shape[0]):
                    if taken[owner[k]] == cell or lengths[k] > xs[i] or widths[k] > ys[j]:
                        continue
                    taken[owner[k]] = cell
                    area = np.int64(lengths[k]) * widths[k]
                    if area * copies[owner[k]] > room:
                        most += values[k] * room // area
                        break
                    most += values[k] * copies[owner[k]]
                    room -= area * copies[owner[k]]
                    if most >= top:
                        break
                top = min(top, most)
            row[j] = top
    return best


@kernel
def around(best: Table, xs: Ints, ys: Ints, floor_x: Ints, floor_y: Ints) -> Table:
    """Return the most that is worth what lies around a layout, by what it leaves of the plate.

    Entry (i, j): the layout leaves ``xs[i]`` of the plate's length and ``ys[j]`` of its width. What
    is put beside or above it is a whole rectangle, bounded by ``best``, and so on until the plate
    is full (Viswanathan and Bagchi 1993; Hifi 1997).
    """
    nx, ny = xs.shape[0], ys.shape[0]
    full_x, full_y = floor_x.shape[0] - 1, floor_y.shape[0] - 1
    more = np.zeros((nx, ny), np.int64)
    for i in range(nx):
        wide_x = floor_x[full_x - xs[i]]
        for j in range(ny):
            wide_y = floor_y[full_y - ys[j]]
            top = np.int64(0)
            if i > 0:
                top = more[i - 1, j]
            if j > 0 and more[i, j - 1] > top:
                top = more[i, j - 1]
            for a in range(1, i + 1):
                both = best[a, wide_y] + more[floor_x[xs[i] - xs[a]], j]
                if both > top:
                    top = both
            for b in range(1, j + 1):
                both = best[wide_x, b] + more[i, floor_y[ys[j] - ys[b]]]
                if both > top:
                    top = both
            more[i, j] = top
    return more


@kernel
def contents(
    best: Table,
    xs: Ints,
    ys: Ints,
    floor_x: Ints,
    floor_y: Ints,
    lengths: Ints,
    widths: Ints,
    values: Table,
    owner: Ints,
    demands: int,
) -> Ints:
    """Return how many pieces of each owner a best layout of an unlimited table holds."""
    counts = np.zeros(demands, np.int32)
    stack = np.zeros((2 * (xs.shape[0] + ys.shape[0]) + 4, 2), np.int32)
    stack[0, 0], stack[0, 1] = xs.shape[0] - 1, ys.shape[0] - 1
    top = 1
    while top > 0:
        top -= 1
        i, j = stack[top, 0], stack[top, 1]
        value = best[i, j]
        if value == 0:
            continue
        while i > 1 and best[i - 1, j] == value:
            i -= 1
        while j > 1 and best[i, j - 1] == value:
            j -= 1
        found = False
        for k in range(lengths.shape[0]):
            if lengths[k] <= xs[i] and widths[k] <= ys[j] and values[k] == value:
                counts[owner[k]] += 1
                found = True
                break
        a = 1
        while not found and a < i and 2 * xs[a] <= xs[i]:
            rest = floor_x[xs[i] - xs[a]]
            if best[a, j] + best[rest, j] == value:
                stack[top, 0], stack[top, 1] = a, j
                stack[top + 1, 0], stack[top + 1, 1] = rest, j
                top += 2
                found = True
            a += 1
        b = 1
        while not found and b < j and 2 * ys[b] <= ys[j]:
            rest = floor_y[ys[j] - ys[b]]
            if best[i, b] + best[i, rest] == value:
                stack[top, 0], stack[top, 1] = i, b
                stack[top + 1, 0], stack[top + 1, 1] = i, rest
                top += 2
                found = True
            b += 1
    return counts
