"""The most valuable row of sections on a board with flaws, each priced where it lies.

All sections begin with what one without flaws is worth by its length alone. Only those that could
be in a row better than the best one known are looked at: first many at once, as if they were as
long as the longest and met what flaws they all meet, then fewer and fewer, at last each for itself.
What is worth the most before a section and behind it tells whether it could be.
"""

import numpy as np

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
from nester.solve.kernels.section_tiles import (
    SIDE,
    Tiles,
    from_left,
    from_right,
    tiles,
    trace,
    worth_of,
    written_out,
)

TRIES = 3
"""Rows whose sections are looked at each for itself, before others are."""


@leaf
def _look_along(
    t: Flaws, s: Strips, room: Room, own: Tiles, came: Longs
) -> tuple[float, bool, int]:
    """Look at each section of a row; return what it is worth, whether all were known, the work."""
    total, all_known, work = 0.0, True, 0
    end = came.shape[0] - 1
    while end > 0:
        start = came[end]
        if start < 0:
            end -= 1
            continue
        met = met_by(t, start, end)
        if met > 0:
            number = written_out(own, start // SIDE, end // SIDE)
            a, b = start % SIDE, end % SIDE
            if not own.known[number, a, b]:
                worth, steps = price_section(t, s, room, start, end, met)
                work += steps
                if worth < own.worth[number, a, b]:
                    own.worth[number, a, b], all_known = worth, False
                own.known[number, a, b] = True
        total += worth_of(own, start, end)
        end = start
    return total, all_known, work


@leaf
def _hopeful(
    own: Tiles,
    best: Floats,
    rest: Floats,
    least: float,
    starts: tuple[int, int],
    ends: tuple[int, int],
) -> bool:
    """Whether one of the sections between two pairs of places may be in a row worth more.

    All are in one tile.
    """
    longest = ends[1] - 1 - starts[0]
    if longest <= 0 or best[starts[1] - 1] + own.most[longest] + rest[ends[0]] <= least:
        return False
    number = own.at[starts[0] // SIDE, ends[0] // SIDE]
    for start in range(starts[0], starts[1]):
        over = least - best[start]
        for end in range(max(ends[0], start + 1), ends[1]):
            if number < 0:
                if own.plain[end - start] + rest[end] > over:
                    return True
            else:
                a, b = start % SIDE, end % SIDE
                if own.worth[number, a, b] + rest[end] > over and not own.known[number, a, b]:
                    return True
    return False


@leaf
def _look_into(
    t: Flaws,
    s: Strips,
    room: Room,
    own: Tiles,
    best: Floats,
    rest: Floats,
    least: float,
    step: int,
    row: int,
    column: int,
) -> int:
    """Look at the sections of a tile that may be in a row worth more, ``step`` by ``step``.

    It is written out.
    """
    n, work, number = best.shape[0], 0, own.at[row, column]
    for start in range(row * SIDE, min((row + 1) * SIDE, n), step):
        last = min(start + step, n)
        for end in range(column * SIDE, min((column + 1) * SIDE, n), step):
            until = min(end + step, n)
            if until - 1 <= start:
                continue
            if not _hopeful(own, best, rest, least, (start, last), (end, until)):
                continue
            met = met_by(t, last - 1, end)
            if met == 0:
                continue
            worth, steps = price_section(t, s, room, start, until - 1, met)
            work += steps
            for a in range(start - row * SIDE, last - row * SIDE):
                line = own.worth[number, a]
                for b in range(end - column * SIDE, until - column * SIDE):
                    line[b] = min(line[b], worth)
            if step == 1:
                own.known[number, start % SIDE, end % SIDE] = True
    return work


@leaf
def _any_met(t: Flaws, own: Tiles, row: int, column: int) -> bool:
    """Whether a section of a tile meets a flaw."""
    start, end = row * SIDE, min((column + 1) * SIDE, own.plain.shape[0]) - 1
    for f in range(t.boxes.shape[0]):
        if t.boxes[f, 0] < end - t.kerf_x and t.boxes[f, 2] > start:
            return True
    return False


@leaf
def _look_at_all(
    t: Flaws,
    s: Strips,
    room: Room,
    own: Tiles,
    best: Floats,
    rest: Floats,
    least: float,
    step: int,
) -> int:
    """Look at all sections that may be in a row worth more, ``step`` by ``step`` together.

    What a row may be worth only gets less, so tiles that were not looked into at first need not be.
    """
    n, work = best.shape[0], 0
    across = own.at.shape[0]
    for row in range(across):
        starts = (row * SIDE, min((row + 1) * SIDE, n))
        for column in range(row, across):
            if own.at[row, column] < 0:
                ends = (column * SIDE, min((column + 1) * SIDE, n))
                if step < SIDE or not _any_met(t, own, row, column):
                    continue
                if not _hopeful(own, best, rest, least, starts, ends):
                    continue
                written_out(own, row, column)
            work += _look_into(t, s, room, own, best, rest, least, step, row, column)
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
    own = tiles(sections)
    best, rest = np.zeros(n), np.zeros(n)
    came, row = np.full(n, -1, np.int64), np.full(n, -1, np.int64)
    room = working_room(t)
    lines = n * (n + 1) // 2
    most, low = from_left(own, best), -1.0
    work, step = lines, SIDE
    while True:
        for _ in range(TRIES):
            trace(own, best, came)
            total, all_known, steps = _look_along(t, s, room, own, came)
            work += steps
            if total > low:
                low = total
                row[:] = came
            if all_known:
                break
            most = from_left(own, best)
            work += lines
        enough = max(low, least) * (1 + near)
        if most <= enough or step == 0:
            return most, low, row, work
        from_right(own, rest)
        work += _look_at_all(t, s, room, own, best, rest, enough, step)
        most = from_left(own, best)
        work += 3 * lines
        step //= 2
