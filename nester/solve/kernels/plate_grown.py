"""Good layouts of a plate with limited copies, quickly: a few of the best kept for each rectangle.

Gilmore and Gomory's recursion (1966) as a heuristic, where a rectangle's layouts carry the counts
of their pieces and halves are put together only where the copies suffice; several are kept for
each rectangle, by worth at prices (a beam, as in Morabito and Pureza 2010, "A heuristic approach
based on dynamic programming and and/or-graph search for the constrained two-dimensional guillotine
cutting problem").
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf
from nester.solve.kernels.plate_bounded import (
    ABOVE,
    ALIVE,
    BESIDE,
    KIND,
    LEFT,
    NEXT,
    POS_X,
    POS_Y,
    RIGHT,
    SAME,
    VALUE,
    WORTH,
)

Ints = NDArray[np.int32]
Longs = NDArray[np.int64]

ENTERED = 10
"""Steps in whose time a layout is compared with the best of a rectangle."""


@kernel
def grow(
    xs: Ints,
    ys: Ints,
    floor_x: Ints,
    floor_y: Ints,
    singles: int,
    keep: int,
    pad: Longs,
    guard: Longs,
    table: Ints,
    worths: Longs,
    counts: Longs,
) -> tuple[int, int]:
    """Fill ``table``, ``worths`` and ``counts`` as ``plate_bounded.combine`` does, ``keep`` a cell.

    The first ``singles`` layouts are pieces. Returns the layout of the highest value, and the steps
    taken. There must be room for ``keep`` layouts a cell more.
    """
    nx, ny, words = xs.shape[0], ys.shape[0], counts.shape[1]
    kept = np.full((nx, ny, keep), -1, np.int64)
    own = np.full((nx, ny), -1, np.int64)
    after = np.full(singles, -1, np.int64)
    for n in range(singles):
        after[n] = own[table[n, POS_X], table[n, POS_Y]]
        own[table[n, POS_X], table[n, POS_Y]] = n
    # The best of this cell so far: their worth, halves, how they are made, and counts.
    worth = np.zeros(keep + 1, np.int64)
    halves = np.zeros((keep + 1, 2), np.int32)
    how = np.zeros(keep + 1, np.int32)
    held = np.zeros((keep + 1, words), np.int64)
    return _grown(
        xs,
        ys,
        floor_x,
        floor_y,
        singles,
        keep,
        pad,
        guard,
        table,
        worths,
        counts,
        kept,
        own,
        after,
        worth,
        halves,
        how,
        held,
    )


@leaf
def _grown(
    xs: Ints,
    ys: Ints,
    floor_x: Ints,
    floor_y: Ints,
    singles: int,
    keep: int,
    pad: Longs,
    guard: Longs,
    table: Ints,
    worths: Longs,
    counts: Longs,
    kept: Longs,
    own: Longs,
    after: Longs,
    worth: Longs,
    halves: Ints,
    how: Ints,
    held: Longs,
) -> tuple[int, int]:
    """Fill the tables rectangle by rectangle.

    ``own`` and ``after`` chain the pieces of a size, ``kept`` tells the layouts of each rectangle.
    """
    made = singles
    best = 0
    for n in range(singles):
        if worths[n, VALUE] > worths[best, VALUE]:
            best = n
    steps = 0
    words = counts.shape[1]
    for i in range(1, xs.shape[0]):
        for j in range(1, ys.shape[0]):
            size = 0
            for source in range(2):
                for m in range(keep):
                    n = kept[i - 1, j, m] if source == 0 else kept[i, j - 1, m]
                    if n < 0:
                        break
                    steps += ENTERED
                    size = _enter(size, keep, worth, halves, how, held, counts, worths, n, -1, -1)
            n = own[i, j]
            while n >= 0:
                steps += ENTERED
                size = _enter(size, keep, worth, halves, how, held, counts, worths, n, -1, -1)
                n = after[n]
            for d in range(2):
                along = xs if d == 0 else ys
                end = along[i] if d == 0 else along[j]
                a = 1
                while a < along.shape[0] and 2 * along[a] <= end:
                    if d == 0:
                        one, two = kept[a, j], kept[floor_x[end - along[a]], j]
                    else:
                        one, two = kept[i, a], kept[i, floor_y[end - along[a]]]
                    a += 1
                    steps += 1
                    for p in range(keep):
                        s = one[p]
                        if s < 0:
                            break
                        for q in range(keep):
                            t = two[q]
                            if t < 0:
                                break
                            both = worths[s, WORTH] + worths[t, WORTH]
                            if size == keep and both <= worth[keep - 1]:
                                break
                            steps += 1
                            fits = True
                            for w in range(words):
                                if (counts[s, w] + counts[t, w] + pad[w]) & guard[w]:
                                    fits = False
                                    break
                            if fits:
                                steps += ENTERED
                                kind = BESIDE if d == 0 else ABOVE
                                size = _enter(
                                    size, keep, worth, halves, how, held, counts, worths, s, t, kind
                                )
            for m in range(size):
                n = halves[m, 0]
                if how[m] >= 0:
                    n = made
                    made += 1
                    table[n, POS_X], table[n, POS_Y] = i, j
                    table[n, KIND], table[n, ALIVE] = how[m], 1
                    table[n, NEXT], table[n, SAME] = -1, -1
                    table[n, LEFT], table[n, RIGHT] = halves[m, 0], halves[m, 1]
                    value = worths[halves[m, 0], VALUE] + worths[halves[m, 1], VALUE]
                    worths[n, VALUE], worths[n, WORTH] = value, worth[m]
                    for w in range(words):
                        counts[n, w] = held[m, w]
                    if value > worths[best, VALUE]:
                        best = n
                kept[i, j, m] = n
    return best, steps


@leaf
def _enter(
    size: int,
    keep: int,
    worth: Longs,
    halves: Ints,
    how: Ints,
    held: Longs,
    counts: Longs,
    worths: Longs,
    one: int,
    two: int,
    kind: int,
) -> int:
    """Put a layout among the best of a cell, in order; return how many these are."""
    words = counts.shape[1]
    both = worths[one, WORTH]
    if two >= 0:
        both += worths[two, WORTH]
    if size == keep and both <= worth[keep - 1]:
        return size
    for w in range(words):
        held[keep, w] = counts[one, w]
        if two >= 0:
            held[keep, w] += counts[two, w]
    at = size
    while at > 0 and worth[at - 1] < both:
        at -= 1
    # Among those worth the same, is there one of the same pieces?
    before = at - 1
    while before >= 0 and worth[before] == both:
        same = True
        for w in range(words):
            if held[before, w] != held[keep, w]:
                same = False
                break
        if same:
            return size
        before -= 1
    last = min(size, keep - 1)
    for m in range(last, at, -1):
        worth[m], how[m] = worth[m - 1], how[m - 1]
        halves[m, 0], halves[m, 1] = halves[m - 1, 0], halves[m - 1, 1]
        for w in range(words):
            held[m, w] = held[m - 1, w]
    worth[at], how[at] = both, kind
    halves[at, 0], halves[at, 1] = one, two
    for w in range(words):
        held[at, w] = held[keep, w]
    return min(size + 1, keep)
