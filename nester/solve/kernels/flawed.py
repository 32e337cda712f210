"""The most valuable section at a place of a board with flaws: a strip that meets them is parted.

Such a strip holds blanks between its flaws only, so what it is worth depends on where it lies.
Sizes hold the kerf behind a piece, as in ``strips``, so a blank's kerf may lie in a flaw.
"""

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf
from nester.solve.kernels.larger import larger
from nester.solve.kernels.strips import UP, before_leftover, strip_blanks

Longs: TypeAlias = NDArray[np.int64]
Longs2: TypeAlias = NDArray[np.int64]
"""A row for each flaw (x1, y1, x2, y2), or shape (line, number)."""
Floats: TypeAlias = NDArray[np.float64]
Floats2: TypeAlias = NDArray[np.float64]
"""Shape (length, width of strips) or (group, width)."""


class Flaws(NamedTuple):
    """A board's flaws and the strips that may meet them."""

    boxes: Longs2
    """From left to right."""
    masks: Longs
    """The sets of flaws that strips meet, a bit for each flaw."""
    meets: Longs2
    """``[y, n]``: which of them a strip meets whose near edge is y, and is so wide as follows."""
    until: Longs2
    """``[y, n]``: so wide are these strips, and no wider (-1: there are no more)."""
    classes: Longs
    """The widths of the blanks, ascending, up to the widest that fits."""
    least: int
    """How wide a strip with a leftover is at the least."""
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
    clean: Floats2
    """The same with a leftover or without: what a strip is worth that meets no flaw."""
    rate: float


class Room(NamedTuple):
    """Working space to price a section in."""

    row: Floats
    """What strips up to a line are worth."""
    opened: Longs
    """So many lines, kerf and all, has the leftover that ends at a line (0: none does)."""
    beside: NDArray[np.bool_]
    """Whether a strip may lie at a line that is no end of a strip."""
    now: Longs
    """The flaws met for which ``beside`` and the next five are filled in, and how many groups."""
    group: Longs
    """Which of the groups of ``masks`` that are the same in this section each is in."""
    met: Longs
    """The flaws of this section that strips of each group meet."""
    parts: Longs
    """In how many parts the widths are of the strips at a near edge, each of one group."""
    part: Longs2
    """``[y, n]``: the group of each part."""
    reach: Longs2
    """``[y, n]``: so wide are these strips, and no wider."""
    gain: Floats2
    """``[group, width]``: what a strip of a width is worth."""
    plain: Floats
    """What the blanks of a strip are worth, by class of width."""
    loose: Floats
    """The same with leftovers, by width."""


@kernel
def by_length(worth: Floats2, ended: Floats2, wide: Longs, rate: float, widest: int) -> Strips:
    """Return what strips up to a width are worth as pricing with flaws reads it.

    ``worth`` and ``ended`` are what ``strip_worths`` and ``with_leftovers`` return.
    """
    plain = np.ascontiguousarray(worth.T)
    loose = np.zeros((plain.shape[0], ended.shape[0]))
    clean = np.zeros((plain.shape[0], widest + 1))
    clean[:, : ended.shape[0]] = ended.T
    w = -1
    for width in range(1, widest + 1):
        while w + 1 < wide.shape[0] and wide[w + 1] <= width:
            w += 1
        if w < 0:
            continue
        if wide[w] == width:
            clean[:, width] = np.maximum(clean[:, width], plain[:, w])
        if width < ended.shape[0]:
            for q in range(1, plain.shape[0]):
                loose[q, width] = max(plain[q, w], loose[q - 1, width] + rate * width)
    return Strips(plain, np.ascontiguousarray(ended.T), loose, clean, rate)


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
def strip_gains(t: Flaws, s: Strips, room: Room, g: int, x1: int, x2: int) -> None:
    """Work out what strips of all widths are worth from x1 to x2 that meet the flaws of a group.

    ``plain`` is for blanks alone. Leftovers may lie over flaws and between blanks, so all that no
    blank takes counts, but for one kerf, and no more than there would be without flaws.
    """
    plain, loose, gain = room.plain, room.loose, room.gain[g]
    ends = s.rate > 0 and x2 - x1 > t.off_x + t.kerf_x
    plain[:], loose[:], gain[:] = 0.0, 0.0, 0.0
    at, free = x1, 0
    for f in range(t.boxes.shape[0] + 1):
        until, beyond = stretch(t, room.met[g], f, x2)
        if until > at:
            own = s.plain[until - at]
            for m in range(plain.shape[0]):
                plain[m] += own[m]
            if ends:
                some = s.loose[until - at]
                for w in range(loose.shape[0]):
                    loose[w] += some[w]
            free += until - at
        at = max(at, beyond)
    for m in range(plain.shape[0]):
        gain[t.classes[m]] = plain[m]
    if ends:
        whole, rest = s.ended[x2 - x1], s.rate * (x2 - x1 - free - t.kerf_x)
        for w in range(t.least, t.broad - t.kerf_y + 1):
            gain[w] = larger(gain[w], min(loose[w] + rest * w, whole[w]))


@leaf
def find_groups(t: Flaws, room: Room, met: int) -> int:
    """Find out which strips are alike in a section that meets these flaws; return how many groups.

    Nothing is to do where the last section met the same.
    """
    if room.now[0] == met:
        return room.now[1]
    groups = 0
    for m in range(t.masks.shape[0]):
        own, g = t.masks[m] & met, 0
        while g < groups and room.met[g] != own:
            g += 1
        if g == groups:
            room.met[g] = own
            groups += 1
        room.group[m] = g
    for y in range(t.broad + 1):
        n, parts = 0, 0
        while n < t.until.shape[1] and t.until[y, n] >= 0:
            g = room.group[t.meets[y, n]]
            if parts == 0 or room.part[y, parts - 1] != g:
                room.part[y, parts] = g
                parts += 1
            room.reach[y, parts - 1] = t.until[y, n]
            n += 1
        room.parts[y] = parts
    room.beside[:] = False
    room.beside[0] = True
    for f in range(t.boxes.shape[0]):
        if (met >> f) & 1 == 1:
            room.beside[t.boxes[f, 3]] = True
    room.now[0], room.now[1] = met, groups
    return groups


@leaf
def price_section(t: Flaws, s: Strips, room: Room, x1: int, x2: int, met: int) -> tuple[float, int]:
    """Fill in the best of a section that meets flaws ``met``; return its worth and the work.

    A strip may as well lie next to the one before, or to a flaw's far edge if it meets one then
    that it did not meet.
    """
    groups = find_groups(t, room, met)
    for g in range(groups):
        if room.met[g] != 0:
            strip_gains(t, s, room, g, x1, x2)
    work = groups * t.broad
    long, high = x2 - x1 - t.kerf_x, t.broad - t.kerf_y
    line = s.rate * long if long >= t.off_x else 0.0
    least = t.off_y + t.kerf_y
    row, opened, beside = room.row, room.opened, room.beside
    row[:], opened[:] = 0.0, 0
    open_worth, open_size = 0.0, 0
    for y in range(t.broad + 1):
        if line > 0 and y >= least:
            fresh = row[y - least] + line * t.off_y
            if y == least or fresh >= open_worth + line:
                open_worth, open_size = fresh, least
            else:
                open_worth, open_size = open_worth + line, open_size + 1
            if open_worth > row[y] * UP:
                row[y], opened[y] = open_worth, open_size
        if y > 0 and row[y - 1] >= row[y]:
            row[y], opened[y] = row[y - 1], 0
            if not beside[y]:
                continue
        here, narrow, n = row[y], 1, 0
        while n < room.parts[y] and narrow <= high - y:
            g, wide = room.part[y, n], min(room.reach[y, n], high - y) + 1
            if room.met[g] == 0:
                gains = s.clean[x2 - x1, narrow:wide]
            else:
                gains = room.gain[g, narrow:wide]
            ends = row[y + t.kerf_y + narrow : y + t.kerf_y + wide]
            for w in range(gains.shape[0]):
                ends[w] = larger(ends[w], here + gains[w])
            work += wide - narrow
            narrow = wide
            n += 1
    worth = row[t.broad]
    if high >= t.off_y:
        worth = max(worth, line * high)
    return worth, work


@leaf
def gain_of(s: Strips, room: Room, g: int, long: int, width: int) -> float:
    """Return what a strip of a group is worth in the section that was priced last."""
    return s.clean[long, width] if room.met[g] == 0 else room.gain[g, width]


@leaf
def strip_before(t: Flaws, s: Strips, room: Room, end: int, long: int) -> tuple[int, int]:
    """Return the width of the strip that ends at a line, its kerf in it, and its group."""
    for width in range(1, end - t.kerf_y + 1):
        y, n = end - t.kerf_y - width, 0
        while room.reach[y, n] < width:
            n += 1
        g = room.part[y, n]
        gain = gain_of(s, room, g, long, width)
        if gain > 0 and room.row[y] + gain == room.row[end]:
            return width, g
    return 0, 0


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
    masks = t.masks.shape[0]
    return Room(
        np.zeros(t.broad + 1),
        np.zeros(t.broad + 1, np.int64),
        np.zeros(t.broad + 1, np.bool_),
        np.full(2, -1, np.int64),
        np.zeros(masks, np.int64),
        np.zeros(masks, np.int64),
        np.zeros(t.broad + 1, np.int64),
        np.zeros(t.meets.shape, np.int64),
        np.zeros(t.meets.shape, np.int64),
        np.zeros((masks, t.broad + 1)),
        np.zeros(t.classes.shape[0]),
        np.zeros(t.broad - t.kerf_y + 1),
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
    best, _ = price_section(t, s, room, x1, x2, met_by(t, x1, x2))
    counts = np.zeros(blanks[4].shape[0])
    credit, long = 0.0, x2 - x1 - t.kerf_x
    if best > room.row[t.broad]:
        return counts, float(long * (t.broad - t.kerf_y))
    y = t.broad
    while y > 0:
        if room.row[y] == room.row[y - 1]:
            y -= 1
        elif room.opened[y] > 0:
            credit += (room.opened[y] - t.kerf_y) * long
            y -= room.opened[y]
        else:
            width, g = strip_before(t, s, room, y, x2 - x1)
            credit += _add_strip(t, s, room, width, g, x1, x2, worth, blanks, counts)
            y -= width + t.kerf_y
    return counts, credit


@kernel
def _add_strip(
    t: Flaws,
    s: Strips,
    room: Room,
    width: int,
    g: int,
    x1: int,
    x2: int,
    worth: Floats2,
    blanks: tuple[Longs, Longs, Longs, Longs, Floats],
    counts: Floats,
) -> float:
    """Add the blanks of the best strip of a width and group; return its credit [cells]."""
    first, owner, size, copies, value = blanks
    w, least = np.searchsorted(t.classes, width, side="right") - 1, t.off_x + t.kerf_x
    strip_gains(t, s, room, g, x1, x2)
    gain, cell = gain_of(s, room, g, x2 - x1, width), s.rate * width
    leftover = t.classes[w] != width or gain > room.plain[w]
    if leftover and gain == s.ended[x2 - x1, width]:
        x = before_leftover(x2 - x1, worth[w], least, t.kerf_x, cell)
        strip_blanks(x, first[w], first[w + 1], owner, size, copies, value, counts)
        return float((x2 - x1 - x - t.kerf_x) * width)
    at, taken = x1, 0
    for f in range(t.boxes.shape[0] + 1):
        until, beyond = stretch(t, room.met[g], f, x2)
        if until > at:
            x = until - at
            if leftover:
                x = before_leftover(x, worth[w], 0, 0, cell)
            strip_blanks(x, first[w], first[w + 1], owner, size, copies, value, counts)
            taken += x
        at = max(at, beyond)
    return float((x2 - x1 - taken - t.kerf_x) * width) if leftover else 0.0
