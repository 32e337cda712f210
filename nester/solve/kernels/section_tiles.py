"""What sections of a board are worth by where they start and end, tile by tile.

Few of them are ever looked at, so the others are what one without flaws is worth by its length, and
only tiles that are looked into are written out: to go through all is then quick.
"""

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf
from nester.solve.kernels.larger import larger

Longs: TypeAlias = NDArray[np.int64]
Floats: TypeAlias = NDArray[np.float64]

SIDE = 16
"""So many starts, and ends, are one tile."""


class Tiles(NamedTuple):
    """Sections by start and end."""

    plain: Floats
    """What one without flaws is worth, by length."""
    most: Floats
    """The same, or what a shorter one is worth."""
    at: NDArray[np.int64]
    """``[row, column]``: the number of a tile that is written out (-1: it is not)."""
    following: NDArray[np.int64]
    """``[row, column]``: the first such column from there on."""
    number: Longs
    """``[0]``: how many there are."""
    worth: NDArray[np.float64]
    """``[number, start, end]``"""
    known: NDArray[np.bool_]
    """The same: whether a section was looked at for itself."""


@kernel
def tiles(plain: Floats) -> Tiles:
    """Return them with none written out."""
    across = (plain.shape[0] + SIDE - 1) // SIDE
    most = across * (across + 1) // 2
    highest = plain.copy()
    for q in range(1, plain.shape[0]):
        highest[q] = max(highest[q], highest[q - 1])
    return Tiles(
        plain,
        highest,
        np.full((across, across), -1, np.int64),
        np.full((across, across), across, np.int64),
        np.zeros(1, np.int64),
        np.empty((most, SIDE, SIDE)),
        np.empty((most, SIDE, SIDE), np.bool_),
    )


@leaf
def written_out(t: Tiles, row: int, column: int) -> int:
    """Return the number of a tile, which is written out unless it was."""
    if t.at[row, column] >= 0:
        return t.at[row, column]
    number = t.number[0]
    t.number[0] += 1
    t.at[row, column] = number
    for c in range(column, -1, -1):
        if t.following[row, c] < column:
            break
        t.following[row, c] = column
    t.known[number] = False
    first = (column - row) * SIDE
    for a in range(SIDE):
        for b in range(SIDE):
            long = first + b - a
            t.worth[number, a, b] = t.plain[long] if 0 <= long < t.plain.shape[0] else 0.0
    return number


@leaf
def worth_of(t: Tiles, start: int, end: int) -> float:
    """Return what a section is worth as far as is known."""
    number = t.at[start // SIDE, end // SIDE]
    return t.plain[end - start] if number < 0 else t.worth[number, start % SIDE, end % SIDE]


@leaf
def line_from(t: Tiles, start: int, begin: int) -> tuple[Floats, int]:
    """Return what sections from a place to ends from ``begin`` on are worth, and where that stops.

    They are in one piece of memory up to there.
    """
    n, row, column = t.plain.shape[0], start // SIDE, begin // SIDE
    number = t.at[row, column]
    if number < 0:
        end = min(t.following[row, column] * SIDE, n)
        return t.plain[begin - start : end - start], end
    end, low = min((column + 1) * SIDE, n), column * SIDE
    return t.worth[number, start % SIDE, begin - low : end - low], end


@leaf
def from_left(t: Tiles, best: Floats) -> float:
    """Fill in the best row up to each place; return what it is worth to the end."""
    n = t.plain.shape[0]
    best[:] = 0.0
    for start in range(n):
        if start > 0:
            best[start] = max(best[start], best[start - 1])
        base, begin = best[start], start + 1
        while begin < n:
            line, end = line_from(t, start, begin)
            ends = best[begin:end]
            for i in range(ends.shape[0]):
                ends[i] = larger(ends[i], base + line[i])
            begin = end
    return best[n - 1]


@leaf
def from_right(t: Tiles, rest: Floats) -> None:
    """Fill in the best row from each place to the end."""
    n = t.plain.shape[0]
    rest[n - 1] = 0.0
    for start in range(n - 2, -1, -1):
        # Four at a time, each of which waits for none of the others.
        a = b = c = d = rest[start + 1]
        begin = start + 1
        while begin < n:
            line, end = line_from(t, start, begin)
            behind, i = rest[begin:end], 0
            while i + 4 <= behind.shape[0]:
                a = max(a, line[i] + behind[i])
                b = max(b, line[i + 1] + behind[i + 1])
                c = max(c, line[i + 2] + behind[i + 2])
                d = max(d, line[i + 3] + behind[i + 3])
                i += 4
            while i < behind.shape[0]:
                a = max(a, line[i] + behind[i])
                i += 1
            begin = end
        rest[start] = max(max(a, b), max(c, d))


@leaf
def trace(t: Tiles, best: Floats, came: Longs) -> None:
    """Fill in where the sections of the best row start, by where they end (-1: none does)."""
    came[:] = -1
    end = came.shape[0] - 1
    while end > 0:
        if best[end] == best[end - 1]:
            end -= 1
            continue
        for start in range(end):
            if best[start] + worth_of(t, start, end) == best[end]:
                came[end] = start
                break
        end = max(0, came[end])
