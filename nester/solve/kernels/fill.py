"""A valuable cutting of a plain plate, no blank more often than it is wanted: quick, not exact.

The programme of Gilmore and Gomory (1966) for plates, with the blanks of one best cutting kept for
each rectangle. Where the two parts of a cut hold a blank too often together, what is too much is
taken off their value and left as waste. A cut is made where a blank of that size could stand alone
("restricted" cuts: Furini, Malaguti and Thomopulos 2016, INFORMS J. on Computing 28(4), 736-751),
or at any sum of sizes where that is less to try.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf

Places = NDArray[np.int32]
Longs = NDArray[np.int64]
Counts = NDArray[np.uint8]

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
    values: Longs,
    owner: Places,
    wanted: Counts,
    worth: Longs,
) -> tuple[Places, np.int64, np.int64]:
    """Return how each rectangle is best cut, (len(xs), len(ys), 2), the value of the largest, work.

    ``xs``, ``ys``: sizes looked at [cells, a kerf in them], 0 first; ``down_x``, ``down_y``: the
    place of the largest that is no more. ``cuts_x``, ``cuts_y``: places cut at, rising; with
    ``half`` 1 only up to half of a size. ``at`` (blanks, 2): places of their sizes; ``values``,
    ``owner``: a blank's value, and what it is a copy of. ``wanted`` and ``worth`` by owner.

    A record is (kind, where): 0 a blank and its row, 1 a cut across x and its place, 2 one across
    y, 3 as the rectangle one place shorter, 4 one place narrower, or ``WASTE``. The work is told in
    cuts looked at.
    """
    n, m, kinds = xs.shape[0], ys.shape[0], wanted.shape[0]
    best = np.zeros((n, m), np.int64)
    turned = np.zeros((m, n), np.int64)
    held = np.zeros((n, m, kinds), np.uint8)
    how = np.full((n, m, 2), WASTE, np.int32)
    first = np.full((n, m), -1, np.int32)
    following = np.full(at.shape[0], -1, np.int32)
    for o in range(at.shape[0]):
        i, j = at[o, 0], at[o, 1]
        following[o] = first[i, j]
        first[i, j] = o
    work = _filled(
        xs,
        ys,
        down_x,
        down_y,
        cuts_x,
        cuts_y,
        half,
        first,
        following,
        values,
        owner,
        wanted,
        worth,
        best,
        turned,
        held,
        how,
    )
    return how, best[n - 1, m - 1], work


@leaf
def _filled(
    xs: Places,
    ys: Places,
    down_x: Places,
    down_y: Places,
    cuts_x: Places,
    cuts_y: Places,
    half: Places,
    first: Places,
    following: Places,
    values: Longs,
    owner: Places,
    wanted: Counts,
    worth: Longs,
    best: Longs,
    turned: Longs,
    held: Counts,
    how: Places,
) -> np.int64:
    """Fill the tables rectangle by rectangle; return the work.

    ``first`` and ``following`` chain the blanks of a size. ``turned`` is ``best`` once more, its
    columns in one piece.
    """
    kinds = wanted.shape[0]
    # A comparison of counts, and what is done once a rectangle, as cuts looked at.
    compared, settled = 3 + kinds // 8, 8 + kinds // 4
    work = np.int64(0)
    for i in range(1, xs.shape[0]):
        row, before, held_row = best[i], best[i - 1], held[i]
        last = 0
        while last < cuts_x.shape[0]:
            size = xs[cuts_x[last]]
            if size >= xs[i] or (half[0] == 1 and 2 * size > xs[i]):
                break
            last += 1
        for j in range(1, ys.shape[0]):
            column = turned[j]
            top, kind, where = np.int64(0), WASTE, -1
            if before[j] > top:
                top, kind = before[j], 3
            if row[j - 1] > top:
                top, kind = row[j - 1], 4
            o = first[i, j]
            while o >= 0:
                if values[o] > top:
                    top, kind, where = values[o], 0, o
                o = following[o]
            for c in range(last):
                a = cuts_x[c]
                b = down_x[xs[i] - xs[a]]
                both = column[a] + column[b]
                if both > top:
                    work += compared
                    both -= _surplus(held[a, j], held[b, j], wanted, worth)
                    if both > top:
                        top, kind, where = both, 1, a
            work += last + settled
            for c in range(cuts_y.shape[0]):
                a = cuts_y[c]
                if ys[a] >= ys[j] or (half[1] == 1 and 2 * ys[a] > ys[j]):
                    break
                work += 1
                b = down_y[ys[j] - ys[a]]
                both = row[a] + row[b]
                if both > top:
                    work += compared
                    both -= _surplus(held_row[a], held_row[b], wanted, worth)
                    if both > top:
                        top, kind, where = both, 2, a
            row[j], column[i] = top, top
            how[i, j, 0], how[i, j, 1] = kind, where
            if kind == 0:
                held_row[j, owner[where]] = 1
            elif kind == 1:
                b = down_x[xs[i] - xs[where]]
                _put_together(held[where, j], held[b, j], wanted, held_row[j])
            elif kind == 2:
                b = down_y[ys[j] - ys[where]]
                _put_together(held_row[where], held_row[b], wanted, held_row[j])
            elif kind != WASTE:
                source = held[i - 1, j] if kind == 3 else held_row[j - 1]
                for k in range(kinds):
                    held_row[j, k] = source[k]
    return work


@leaf
def _surplus(one: Counts, two: Counts, wanted: Counts, worth: Longs) -> np.int64:
    """Return the value of what two parts together hold too often."""
    surplus = np.int64(0)
    for k in range(wanted.shape[0]):
        over = np.int64(one[k]) + two[k] - wanted[k]
        surplus += max(np.int64(0), over) * worth[k]
    return surplus


@leaf
def _put_together(one: Counts, two: Counts, wanted: Counts, both: Counts) -> None:
    """Write what two parts hold together, no more of each than is wanted."""
    for k in range(wanted.shape[0]):
        # In 16 bits many of them are added at a time.
        held = np.uint16(np.uint16(one[k]) + np.uint16(two[k]))
        both[k] = min(np.uint16(wanted[k]), held)
