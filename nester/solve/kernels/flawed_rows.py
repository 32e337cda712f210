"""The most valuable row of sections on a board with flaws, each priced where it lies.

All sections begin with what one without flaws is worth by its length alone. Only those that could
be in a row better than the best one known are looked at: first many at once, as if they were as
long as the longest and met what flaws they all meet, then fewer and fewer, at last each for itself.
What is worth the most before a section and behind it tells whether it could be.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.flawed import (
    Flaws,
    Floats,
    Longs,
    Room,
    Strips,
    met_by,
    price_section,
    working_room,
)
from nester.solve.kernels.jit import kernel, leaf

Floats2: TypeAlias = NDArray[np.float64]
"""Shape (start, end) of sections."""

COARSEST = 16
"""So many starts and ends of sections are looked at together at first."""

TRIES = 3
"""Rows whose sections are looked at each for itself, before others are."""


@leaf
def _from_left(worth: Floats2, best: Floats) -> float:
    """Fill in the best row up to each place."""
    n = worth.shape[0]
    best[:] = 0.0
    for start in range(n):
        if start > 0:
            best[start] = max(best[start], best[start - 1])
        base, line, ends = best[start], worth[start, start + 1 :], best[start + 1 :]
        for end in range(ends.shape[0]):
            total = base + line[end]
            ends[end] = total if total > ends[end] else ends[end]
    return best[n - 1]


@leaf
def _from_right(worth: Floats2, rest: Floats) -> None:
    """Fill in the best row from each place to the end."""
    n = worth.shape[0]
    rest[n - 1] = 0.0
    for start in range(n - 2, -1, -1):
        line = worth[start]
        # Four at a time, each of which waits for none of the others.
        a = b = c = d = rest[start + 1]
        end = start + 1
        while end + 4 <= n:
            a = max(a, line[end] + rest[end])
            b = max(b, line[end + 1] + rest[end + 1])
            c = max(c, line[end + 2] + rest[end + 2])
            d = max(d, line[end + 3] + rest[end + 3])
            end += 4
        while end < n:
            a = max(a, line[end] + rest[end])
            end += 1
        rest[start] = max(max(a, b), max(c, d))


@leaf
def _trace(worth: Floats2, best: Floats, came: Longs) -> None:
    """Fill in where the sections of the best row start, by where they end (-1: none does)."""
    came[:] = -1
    end = came.shape[0] - 1
    while end > 0:
        if best[end] == best[end - 1]:
            end -= 1
            continue
        for start in range(end):
            if best[start] + worth[start, end] == best[end]:
                came[end] = start
                break
        end = max(0, came[end])


@leaf
def _look_along(
    t: Flaws,
    s: Strips,
    room: Room,
    worth: Floats2,
    known: NDArray[np.bool_],
    came: Longs,
) -> tuple[float, bool, int]:
    """Look at each section of a row; return what it is worth, whether all were known, the work."""
    total, all_known, work = 0.0, True, 0
    end = came.shape[0] - 1
    while end > 0:
        start = came[end]
        if start < 0:
            end -= 1
            continue
        if not known[start, end]:
            met = met_by(t, start, end)
            if met > 0:
                own, steps = price_section(t, s, room, start, end, met)
                work += steps
                if own < worth[start, end]:
                    worth[start, end], all_known = own, False
            known[start, end] = True
        total += worth[start, end]
        end = start
    return total, all_known, work


@leaf
def _hopeful(
    t: Flaws,
    worth: Floats2,
    known: NDArray[np.bool_],
    best: Floats,
    rest: Floats,
    least: float,
    starts: tuple[int, int],
    ends: tuple[int, int],
) -> bool:
    """Whether one of the sections between two pairs of places may be in a row worth more."""
    for start in range(starts[0], starts[1]):
        over = least - best[start]
        for end in range(max(ends[0], start + 1 + t.kerf_x), ends[1]):
            if worth[start, end] + rest[end] > over and not known[start, end]:
                return True
    return False


@leaf
def _look_at_all(
    t: Flaws,
    s: Strips,
    room: Room,
    worth: Floats2,
    known: NDArray[np.bool_],
    best: Floats,
    rest: Floats,
    least: float,
    step: int,
) -> int:
    """Look at all sections that may be in a row worth more, ``step`` by ``step`` together."""
    n, work = worth.shape[0], 0
    for start in range(0, n, step):
        last = min(start + step, n)
        for end in range(start + 1, n, step):
            until = min(end + step, n)
            if not _hopeful(t, worth, known, best, rest, least, (start, last), (end, until)):
                continue
            met = met_by(t, last - 1, end)
            if met == 0:
                continue
            own, steps = price_section(t, s, room, start, until - 1, met)
            work += steps
            for a in range(start, last):
                for b in range(max(a + 1, end), until):
                    worth[a, b] = min(worth[a, b], own)
            if step == 1:
                known[start, end] = True
    return work


@kernel
def best_row(
    t: Flaws, s: Strips, sections: Floats, least: float, near: float
) -> tuple[float, float, Longs, int]:
    """Return the most that a row is worth, what one is worth, its sections and the work.

    ``sections`` is what those that meet no flaw are worth by length, ``least`` what a row is known
    to be worth. The most is proven to within a share ``near`` of that or the row returned, whose
    sections start at ``came[end]`` (-1: none ends there).
    """
    n = sections.shape[0]
    worth = np.zeros((n, n))
    for start in range(n):
        worth[start, start:] = sections[: n - start]
    known = np.zeros((n, n), np.bool_)
    best, rest = np.zeros(n), np.zeros(n)
    came, row = np.full(n, -1, np.int64), np.full(n, -1, np.int64)
    room = working_room(t)
    lines = n * (n + 1) // 2
    most, low = _from_left(worth, best), -1.0
    work, step = 2 * lines, COARSEST
    while True:
        for _ in range(TRIES):
            _trace(worth, best, came)
            total, all_known, steps = _look_along(t, s, room, worth, known, came)
            work += steps
            if total > low:
                low = total
                row[:] = came
            if all_known:
                break
            most = _from_left(worth, best)
            work += lines
        enough = max(low, least) * (1 + near)
        if most <= enough or step == 0:
            return most, low, row, work
        _from_right(worth, rest)
        work += _look_at_all(t, s, room, worth, known, best, rest, enough, step)
        most = _from_left(worth, best)
        work += 3 * lines
        step //= 2
