"""A valuable cutting of a plain plate, no blank more often than it is wanted: quick, not exact.

The programme of Gilmore and Gomory (1966) for plates, with the blanks of one best cutting kept for
each rectangle. Where the two parts of a cut hold a blank too often together, what is too much is
taken off their value and left as waste. A cut is made where a blank of that size could stand alone
("restricted" cuts: Furini, Malaguti and Thomopulos 2016, INFORMS J. on Computing 28(4), 736-751),
or at any sum of sizes where that is less to try.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Places = NDArray[np.int32]

WASTE = -1
"""In a rectangle's record: nothing is cut from it."""


@kernel
def fill(
    xs: Places,
    ys: Places,
    down_x: Places,
    down_y: Places,
    cuts_x: Places,
    cuts_y: Places,
    half: Places,
    at: Places,
    values: NDArray[np.int64],
    owner: Places,
    wanted: NDArray[np.uint8],
    worth: NDArray[np.int64],
) -> tuple[Places, np.int64]:
    """Return how each rectangle is best cut, (len(xs), len(ys), 2), and the value of the largest.

    ``xs``, ``ys``: sizes looked at [cells, a kerf in them], 0 first; ``down_x``, ``down_y``: the
    place of the largest that is no more. ``cuts_x``, ``cuts_y``: places cut at, rising; with
    ``half`` 1 only up to half of a size. ``at`` (blanks, 2): places of their sizes; ``values``,
    ``owner``: a blank's value, and what it is a copy of. ``wanted`` and ``worth`` by owner.

    A record is (kind, where): 0 a blank and its row, 1 a cut across x and its place, 2 one across
    y, 3 as the rectangle one place shorter, 4 one place narrower, or ``WASTE``.
    """
    n, m, kinds = xs.shape[0], ys.shape[0], wanted.shape[0]
    best = np.zeros((n, m), np.int64)
    held = np.zeros((n, m, kinds), np.uint8)
    how = np.full((n, m, 2), -1, np.int32)
    first = np.full((n, m), -1, np.int32)
    following = np.full(at.shape[0], -1, np.int32)
    for o in range(at.shape[0]):
        i, j = at[o, 0], at[o, 1]
        following[o] = first[i, j]
        first[i, j] = o
    for i in range(1, n):
        for j in range(1, m):
            top, kind, where = np.int64(0), -1, -1
            if best[i - 1, j] > top:
                top, kind = best[i - 1, j], 3
            if best[i, j - 1] > top:
                top, kind = best[i, j - 1], 4
            o = first[i, j]
            while o >= 0:
                if values[o] > top:
                    top, kind, where = values[o], 0, o
                o = following[o]
            for c in range(cuts_x.shape[0]):
                a = cuts_x[c]
                if xs[a] >= xs[i] or (half[0] == 1 and 2 * xs[a] > xs[i]):
                    break
                b = down_x[xs[i] - xs[a]]
                both = best[a, j] + best[b, j]
                if both > top:
                    both = _trimmed(held[a, j], held[b, j], wanted, worth, both, top)
                    if both > top:
                        top, kind, where = both, 1, a
            for c in range(cuts_y.shape[0]):
                a = cuts_y[c]
                if ys[a] >= ys[j] or (half[1] == 1 and 2 * ys[a] > ys[j]):
                    break
                b = down_y[ys[j] - ys[a]]
                both = best[i, a] + best[i, b]
                if both > top:
                    both = _trimmed(held[i, a], held[i, b], wanted, worth, both, top)
                    if both > top:
                        top, kind, where = both, 2, a
            best[i, j] = top
            how[i, j, 0], how[i, j, 1] = kind, where
            if kind == 0:
                held[i, j, owner[where]] = 1
            elif kind == 3:
                for k in range(kinds):
                    held[i, j, k] = held[i - 1, j, k]
            elif kind == 4:
                for k in range(kinds):
                    held[i, j, k] = held[i, j - 1, k]
            elif kind == 1:
                b = down_x[xs[i] - xs[where]]
                for k in range(kinds):
                    held[i, j, k] = min(wanted[k], held[where, j, k] + held[b, j, k])
            elif kind == 2:
                b = down_y[ys[j] - ys[where]]
                for k in range(kinds):
                    held[i, j, k] = min(wanted[k], held[i, where, k] + held[i, b, k])
    return how, best[n - 1, m - 1]


@kernel
def _trimmed(
    one: NDArray[np.uint8],
    two: NDArray[np.uint8],
    wanted: NDArray[np.uint8],
    worth: NDArray[np.int64],
    both: np.int64,
    least: np.int64,
) -> np.int64:
    """Return the value of two parts together, what they hold too often left out."""
    for k in range(wanted.shape[0]):
        over = np.int64(one[k]) + two[k] - wanted[k]
        if over > 0:
            both -= over * worth[k]
            if both <= least:
                break
    return both
