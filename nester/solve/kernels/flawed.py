"""The most valuable section at a place of a board with flaws: a strip that meets them is parted.

Such a strip holds blanks between its flaws only, so what it is worth depends on where it lies.
Sizes hold the kerf behind a piece, as in ``strips``, so a blank's kerf may lie in a flaw.
"""

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf
from nester.solve.kernels.strips import UP, before_leftover, strip_blanks

Longs: TypeAlias = NDArray[np.int64]
Longs2: TypeAlias = NDArray[np.int64]
"""A row for each flaw (x1, y1, x2, y2), shape (line, number), or (group, kind)."""
Floats: TypeAlias = NDArray[np.float64]
Floats2: TypeAlias = NDArray[np.float64]
"""Shape (length, width of strips) or (group, kind)."""


class Flaws(NamedTuple):
    """A board's flaws and the strips that may meet them; a kind of strip is a width and a class."""

    boxes: Longs2
    """From left to right."""
    masks: Longs
    """The sets of flaws that strips meet, a bit for each flaw."""
    meets: Longs2
    """``[y, n]``: which of them a strip meets whose near edge is y, and is so wide as follows."""
    until: Longs2
    """``[y, n]``: so wide are these strips, and no wider (-1: there are no more)."""
    width: Longs
    """Of each kind, ascending."""
    member: Longs
    """The width class of the blanks in it."""
    leftover: NDArray[np.bool_]
    """Whether it has a leftover in it."""
    broad: int
    """How wide a section is."""
    kerf_x: int
    kerf_y: int
    off_x: int
    off_y: int


class Strips(NamedTuple):
    """What strips are worth, as ``strips`` has it, but by length first."""

    plain: Floats2
    ended: Floats2
    loose: Floats2
    """The same as ``ended`` for leftovers of any length, none included, and no kerf behind them."""
    rate: float


class Room(NamedTuple):
    """Working space to price a section in."""

    row: Floats
    """What strips up to a line are worth."""
    choice: Longs
    """The strip chosen last: -1, none; i >= 0, a kind; below -1, a leftover, as in ``strips``."""
    group: Longs
    """Which of the groups of ``masks`` that differ in this section each is in."""
    beside: NDArray[np.bool_]
    """Whether a strip may lie at a line that is no end of a strip."""
    kind: Longs2
    gain: Floats2
    first: Longs2
    """``[group, width]``: the first in the list of a group that is so wide or wider."""
    part: Floats2
    """Of each kind, what it is worth up to a flaw, and with a leftover."""


@kernel
def with_any_leftovers(plain: Floats2, wide: Longs, rate: float, widest: int) -> Floats2:
    """Return what strips are worth, by length and width, if all that is left over earns credit.

    ``plain`` is what blanks are worth by length and class of ``wide``.
    """
    out = np.zeros((plain.shape[0], widest + 1))
    w = -1
    for width in range(1, widest + 1):
        while w + 1 < wide.shape[0] and wide[w + 1] <= width:
            w += 1
        if w < 0:
            continue
        for q in range(1, plain.shape[0]):
            out[q, width] = max(plain[q, w], out[q - 1, width] + rate * width)
    return out


@leaf
def stretch(t: Flaws, mask: int, f: int, x2: int) -> tuple[int, int]:
    """Return how far blanks before a flaw reach with their kerf, and where those behind it begin.

    -1 for a flaw that is not met; behind the last flaw is the strip's end.
    """
    if f == t.boxes.shape[0]:
        return x2, x2
    if (mask >> f) & 1 == 0:
        return -1, -1
    return min(t.boxes[f, 0] + t.kerf_x, x2), t.boxes[f, 2]


@leaf
def strip_gains(t: Flaws, s: Strips, room: Room, mask: int, x1: int, x2: int) -> None:
    """Work out what strips of all kinds are worth from x1 to x2 that meet these flaws.

    ``part[0]`` is for blanks alone, ``part[1]`` for those with leftovers. These may lie over flaws
    and between blanks, so all that no blank takes counts, but for one kerf, and no more than there
    would be without flaws.
    """
    plain, ended = room.part[0], room.part[1]
    plain[:], ended[:] = 0.0, 0.0
    at, free = x1, 0
    for f in range(t.boxes.shape[0] + 1):
        until, beyond = stretch(t, mask, f, x2)
        if until > at:
            own, loose = s.plain[until - at], s.loose[until - at]
            free += until - at
            for i in range(t.width.shape[0]):
                if not t.leftover[i]:
                    plain[i] += own[t.member[i]]
                elif s.rate > 0:
                    ended[i] += loose[t.width[i]]
        at = max(at, beyond)
    if s.rate > 0:
        whole, rest = s.ended[x2 - x1], x2 - x1 - free - t.kerf_x
        for i in range(t.width.shape[0]):
            if t.leftover[i]:
                width = t.width[i]
                ended[i] = min(ended[i] + s.rate * width * rest, whole[width])


@leaf
def list_strips(t: Flaws, s: Strips, room: Room, x1: int, x2: int, met: int) -> int:
    """List for each set of flaws the kinds worth more than all narrower ones; return the work."""
    groups = 0
    for m in range(t.masks.shape[0]):
        own, same = t.masks[m] & met, -1
        for before in range(m):
            if t.masks[before] & met == own:
                same = room.group[before]
                break
        room.group[m] = same
        if same >= 0:
            continue
        strip_gains(t, s, room, own, x1, x2)
        number, best, width = 0, 0.0, 0
        for i in range(t.width.shape[0]):
            gain = room.part[1, i] if t.leftover[i] else room.part[0, i]
            if gain <= best * UP:
                continue
            best = gain
            while width <= t.width[i]:
                room.first[groups, width] = number
                width += 1
            room.kind[groups, number], room.gain[groups, number] = i, gain
            number += 1
        while width < room.first.shape[1]:
            room.first[groups, width] = number
            width += 1
        room.group[m] = groups
        groups += 1
    return groups * t.width.shape[0]


@leaf
def price_section(t: Flaws, s: Strips, room: Room, x1: int, x2: int, met: int) -> tuple[float, int]:
    """Fill in the best of a section that meets flaws ``met``; return its worth and the work.

    A strip may as well lie next to the one before, or to a flaw's far edge if it meets one then
    that it did not meet.
    """
    work = list_strips(t, s, room, x1, x2, met)
    long = x2 - x1 - t.kerf_x
    line = s.rate * long if long >= t.off_x else 0.0
    least = t.off_y + t.kerf_y
    row, choice, beside = room.row, room.choice, room.beside
    row[:], choice[:], beside[:] = 0.0, -1, False
    beside[0] = True
    for f in range(t.boxes.shape[0]):
        if (met >> f) & 1 == 1:
            beside[t.boxes[f, 3]] = True
    open_worth, open_size = 0.0, 0
    for y in range(t.broad + 1):
        if line > 0 and y >= least:
            fresh = row[y - least] + line * t.off_y
            if y == least or fresh >= open_worth + line:
                open_worth, open_size = fresh, least
            else:
                open_worth, open_size = open_worth + line, open_size + 1
            if open_worth > row[y] * UP:
                row[y], choice[y] = open_worth, -1 - open_size
        if y > 0 and row[y - 1] >= row[y]:
            row[y], choice[y] = row[y - 1], -1
            if not beside[y]:
                continue
        narrow, here = 1, row[y]
        for n in range(t.until.shape[1]):
            if t.until[y, n] < 0:
                break
            g = room.group[t.meets[y, n]]
            wide = t.until[y, n] + 1
            for j in range(room.first[g, narrow], room.first[g, wide]):
                i = room.kind[g, j]
                end = y + t.width[i] + t.kerf_y
                if end > t.broad:
                    break
                work += 1
                if here + room.gain[g, j] > row[end] * UP:
                    row[end], choice[end] = here + room.gain[g, j], i
            narrow = wide
    worth = row[t.broad]
    if t.broad - t.kerf_y >= t.off_y:
        worth = max(worth, line * (t.broad - t.kerf_y))
    return worth, work


@leaf
def met_by(t: Flaws, last: int, begin: int) -> int:
    """Return the flaws that all sections meet that start by ``last`` and end from ``begin`` on."""
    met = 0
    for f in range(t.boxes.shape[0]):
        if t.boxes[f, 0] < begin - t.kerf_x and t.boxes[f, 2] > last:
            met |= 1 << f
    return met


@kernel
def working_room(t: Flaws) -> Room:
    """Return space to price a section in."""
    masks, kinds = t.masks.shape[0], t.width.shape[0]
    return Room(
        np.zeros(t.broad + 1),
        np.zeros(t.broad + 1, np.int64),
        np.zeros(masks, np.int64),
        np.zeros(t.broad + 1, np.bool_),
        np.zeros((masks, kinds), np.int64),
        np.zeros((masks, kinds)),
        np.zeros((masks, t.broad + 2), np.int64),
        np.zeros((2, kinds)),
    )


@kernel
def flawed_section(
    t: Flaws,
    s: Strips,
    x1: int,
    x2: int,
    worth: Floats2,
    blanks: tuple[Longs, Longs, Longs, Longs, Floats],
) -> tuple[Floats, float]:
    """Return the blanks of the best section at a place, by kind, and its credit [cells].

    ``worth`` is what ``strip_worths`` returns, ``blanks`` are the first five arrays it is given.
    """
    room = working_room(t)
    met = met_by(t, x1, x2)
    best, _ = price_section(t, s, room, x1, x2, met)
    counts = np.zeros(blanks[4].shape[0])
    credit, long = 0.0, x2 - x1 - t.kerf_x
    if best > room.row[t.broad]:
        return counts, float(long * (t.broad - t.kerf_y))
    y = t.broad
    while y > 0:
        came = room.choice[y]
        if came == -1:
            y -= 1
        elif came < 0:
            credit += (-1 - came - t.kerf_y) * long
            y -= -1 - came
        else:
            y -= t.width[came] + t.kerf_y
            n = 0
            while t.until[y, n] < t.width[came]:
                n += 1
            mask = t.masks[t.meets[y, n]] & met
            strip_gains(t, s, room, mask, x1, x2)
            credit += _add_strip(
                t, s, came, mask, x1, x2, room.part[1, came], worth, blanks, counts
            )
    return counts, credit


@kernel
def _add_strip(
    t: Flaws,
    s: Strips,
    i: int,
    mask: int,
    x1: int,
    x2: int,
    gain: float,
    worth: Floats2,
    blanks: tuple[Longs, Longs, Longs, Longs, Floats],
    counts: Floats,
) -> float:
    """Add the blanks of the best strip of a kind; return its credit [cells].

    ``gain`` is what it is worth if it has leftovers.
    """
    first, owner, size, copies, value = blanks
    w, width, least = t.member[i], t.width[i], t.off_x + t.kerf_x
    cell = s.rate * width
    if t.leftover[i] and gain == s.ended[x2 - x1, width]:
        x = before_leftover(x2 - x1, worth[w], least, t.kerf_x, cell)
        strip_blanks(x, first[w], first[w + 1], owner, size, copies, value, counts)
        return float((x2 - x1 - x - t.kerf_x) * width)
    at, taken = x1, 0
    for f in range(t.boxes.shape[0] + 1):
        until, beyond = stretch(t, mask, f, x2)
        if until > at:
            x = until - at
            if t.leftover[i]:
                x = before_leftover(x, worth[w], 0, 0, cell)
            strip_blanks(x, first[w], first[w + 1], owner, size, copies, value, counts)
            taken += x
        at = max(at, beyond)
    return float((x2 - x1 - taken - t.kerf_x) * width) if t.leftover[i] else 0.0
