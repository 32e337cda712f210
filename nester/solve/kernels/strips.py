"""The most valuable sections of a board without flaws: no blank twice in a strip beyond its copies.

Sizes hold the kerf behind a piece: a section of ``q`` is ``q`` less a kerf long. A strip of a width
is a knapsack by length (Bellman 1957, "Dynamic programming"), the same wherever it lies, so one
table has the strips of all lengths, and one more the sections of all lengths and widths. Strips of
a section may hold the same blank. Leftovers of strips, of sections and of the whole width earn a
``rate`` a cell where they are ``off_u`` long and ``off_v`` wide (without kerf) or more.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf
from nester.solve.kernels.larger import larger

Longs: TypeAlias = NDArray[np.int64]
Floats: TypeAlias = NDArray[np.float64]
Floats2: TypeAlias = NDArray[np.float64]
"""Shape (width of strips, length) or (length, width of sections)."""

UP = 1.0 + 1e-12
"""Less than this is no gain, lest the last bits of a sum decide."""


@kernel
def strip_worths(
    first: Longs, owner: Longs, size: Longs, copies: Longs, value: Floats, longest: int
) -> tuple[Floats2, int]:
    """Return what the blanks in a strip are worth at the most, by width and length, and the work.

    Strips of width ``w`` may hold the blanks ``owner[first[w] : first[w + 1]]`` of those sizes.
    """
    worth = np.zeros((first.shape[0] - 1, longest + 1))
    best, other = np.zeros(longest + 1), np.zeros(longest + 1)
    work = 0
    for w in range(first.shape[0] - 1):
        best[:] = 0.0
        for i in range(first[w], first[w + 1]):
            left = min(copies[owner[i]], longest // size[i]) if value[owner[i]] > 0 else 0
            part = 1
            while left > 0:
                part = min(part, left)
                taken, gain = part * size[i], part * value[owner[i]]
                # From one array into another: so it runs on several numbers at a time.
                other[:taken] = best[:taken]
                before, now, after = best, best[taken:], other[taken:]
                for x in range(now.shape[0]):
                    after[x] = max(now[x], before[x] + gain)
                best, other = other, best
                work += longest
                left -= part
                part *= 2
        worth[w] = best
    return worth, work


@kernel
def with_leftovers(
    worth: Floats2, wide: Longs, off_u: int, off_v: int, kerf: int, rate: float, widest: int
) -> Floats2:
    """Return the same for strips that end in a leftover, by their width [cells], 0 where none is.

    Such a strip may be wider than the blanks in it; its leftover then is too.
    """
    longest = worth.shape[1] - 1
    least = off_u + kerf
    out = np.zeros((widest + 1, longest + 1))
    w = -1
    for width in range(1, widest + 1):
        while w + 1 < wide.shape[0] and wide[w + 1] <= width:
            w += 1
        if w < 0 or width < off_v:
            continue
        cell = rate * width
        for q in range(least + 1, longest + 1):
            fresh = worth[w, q - least] + off_u * cell
            out[width, q] = max(fresh, out[width, q - 1] + cell if out[width, q - 1] > 0 else fresh)
    return out


@leaf
def kinds_of_strips(
    q: int, worth: Floats2, ended: Floats2, wide: Longs, off_v: int, size: Longs, gain: Floats
) -> int:
    """List the strips of a length that are worth more than all narrower ones; return how many."""
    number, best, width = 0, 0.0, off_v
    for w in range(wide.shape[0] + 1):
        until = wide[w] if w < wide.shape[0] else ended.shape[0]
        while width < min(until, ended.shape[0]):
            if ended[width, q] > best * UP:
                best = ended[width, q]
                size[number], gain[number] = width, best
                number += 1
            width += 1
        if w < wide.shape[0] and worth[w, q] > best * UP:
            best = worth[w, q]
            size[number], gain[number] = until, best
            number += 1
    return number


@leaf
def fill_section(
    number: int,
    size: Longs,
    gain: Floats,
    kerf: int,
    off_v: int,
    line: float,
    row: Floats,
    choice: Longs,
) -> None:
    """Fill in the best of a section by its width, and the strip chosen last.

    A line of leftover earns ``line``. Choices: -1, none; i >= 0, a strip; below -1, a leftover so
    many lines wide and one more, its kerf in it.
    """
    row[0], choice[0] = 0.0, -1
    least = off_v + kerf
    open_worth, open_size = 0.0, 0
    for y in range(1, row.shape[0]):
        best, came = row[y - 1], -1
        for i in range(number):
            taken = size[i] + kerf
            if taken > y:
                break
            if row[y - taken] + gain[i] > best * UP:
                best, came = row[y - taken] + gain[i], i
        if line > 0 and y >= least:
            fresh = row[y - least] + line * off_v
            if y == least or fresh >= open_worth + line:
                open_worth, open_size = fresh, least
            else:
                open_worth, open_size = open_worth + line, open_size + 1
            if open_worth > best * UP:
                best, came = open_worth, -1 - open_size
        row[y], choice[y] = best, came


@leaf
def _more(best: Floats, before: Floats, gain: Floats) -> None:
    """Take over, for all lengths at once, what one more strip makes of what is before it."""
    for q in range(best.shape[0]):
        best[q] = larger(best[q], before[q] + gain[q])


@kernel
def section_worths(
    worth: Floats2,
    ended: Floats2,
    wide: Longs,
    off: tuple[int, int],
    kerf: tuple[int, int],
    rate: float,
    broad: int,
) -> tuple[Floats2, int]:
    """Return what sections are worth at the most, by length and width, and the work.

    ``off`` is the least size of a leftover, ``kerf`` that of crosscuts and of rips.
    """
    longest = worth.shape[1] - 1
    out = np.zeros((broad + 1, longest + 1))
    line, ahead = np.zeros(longest + 1), np.zeros(longest + 1)
    for q in range(off[0] + kerf[0], longest + 1):
        line[q] = rate * (q - kerf[0])
    first, least, work = min(off[0] + kerf[0] + 1, longest + 1), off[1] + kerf[1], 0
    for y in range(1, broad + 1):
        best = out[y]
        best[:] = out[y - 1]
        for w in range(wide.shape[0]):
            if wide[w] + kerf[1] > y:
                break
            _more(best, out[y - wide[w] - kerf[1]], worth[w])
            work += longest
        for width in range(off[1], min(ended.shape[0], y - kerf[1] + 1)):
            before = out[y - width - kerf[1]]
            _more(best[first:], before[first:], ended[width, first:])
            work += longest - first
        if rate > 0 and y >= least:
            before = out[y - least]
            for q in range(longest + 1):
                fresh = before[q] + line[q] * off[1]
                ahead[q] = fresh if y == least else max(fresh, ahead[q] + line[q])
                best[q] = larger(best[q], ahead[q])
    return out.T, work


@kernel
def row_worth(sections: Floats) -> float:
    """Return what a row of sections is worth at the most; ``sections[q]``: one of a length."""
    best = np.zeros(sections.shape[0])
    for x in range(1, sections.shape[0]):
        most = best[x - 1]
        for q in range(1, x + 1):
            most = max(most, best[x - q] + sections[q])
        best[x] = most
    return float(best[-1])


@kernel
def best_section(
    q: int,
    worth: Floats2,
    ended: Floats2,
    wide: Longs,
    off: tuple[int, int],
    kerf: tuple[int, int],
    rate: float,
    broad: int,
    blanks: tuple[Longs, Longs, Longs, Longs, Floats],
) -> tuple[Floats, float]:
    """Return the blanks of the best section of a length and width, by kind, and its credit [cells].

    ``blanks`` are the first five arrays that ``strip_worths`` is given.
    """
    first, owner, length, copies, value = blanks
    size = np.zeros(ended.shape[0] + wide.shape[0], np.int64)
    gain = np.zeros(size.shape[0])
    choice = np.zeros(broad + 1, np.int64)
    row = np.zeros(broad + 1)
    counts = np.zeros(value.shape[0])
    credit = 0.0
    long = q - kerf[0]
    number = kinds_of_strips(q, worth, ended, wide, off[1], size, gain)
    line = rate * long if long >= off[0] else 0.0
    fill_section(number, size, gain, kerf[1], off[1], line, row, choice)
    y = broad
    while y > 0:
        came = choice[y]
        if came == -1:
            y -= 1
        elif came < 0:
            credit += (-1 - came - kerf[1]) * long
            y -= -1 - came
        else:
            width = size[came]
            w = np.searchsorted(wide, width, side="right") - 1
            x = q
            if gain[came] != worth[w, q] or wide[w] != width:
                x = before_leftover(q, worth[w], off[0] + kerf[0], kerf[0], rate * width)
                credit += (q - x - kerf[0]) * width
            strip_blanks(x, first[w], first[w + 1], owner, length, copies, value, counts)
            y -= width + kerf[1]
    return counts, credit


@leaf
def before_leftover(q: int, worth: Floats, least: int, kerf: int, cell: float) -> int:
    """Return how much of a strip's length its blanks should have, where a leftover follows."""
    best, most = 0, -1.0
    for x in range(q - least + 1):
        total = worth[x] + cell * (q - x - kerf)
        if total > most:
            best, most = x, total
    return best


@kernel
def strip_blanks(
    longest: int,
    start: int,
    end: int,
    owner: Longs,
    size: Longs,
    copies: Longs,
    value: Floats,
    counts: Floats,
) -> None:
    """Add the blanks of the best strip of a length to the counts by kind."""
    rows = 20 * (end - start)
    part_of = np.zeros((rows, 2), np.int64)
    number = 0
    for i in range(start, end):
        left = min(copies[owner[i]], longest // size[i]) if value[owner[i]] > 0 else 0
        part = 1
        while left > 0:
            part = min(part, left)
            part_of[number, 0], part_of[number, 1] = i, part
            number += 1
            left -= part
            part *= 2
    best = np.zeros(longest + 1)
    taken = np.zeros((number, longest + 1), np.bool_)
    for n in range(number):
        i, part = part_of[n, 0], part_of[n, 1]
        length, gain = part * size[i], part * value[owner[i]]
        for x in range(longest, length - 1, -1):
            if best[x - length] + gain > best[x]:
                best[x] = best[x - length] + gain
                taken[n, x] = True
    x = longest
    for n in range(number - 1, -1, -1):
        if taken[n, x]:
            i, part = part_of[n, 0], part_of[n, 1]
            counts[owner[i]] += part
            x -= part * size[i]
