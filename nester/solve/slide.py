"""Moving the sections of a layout along, so that what is left over comes together in offcuts.

A search puts every section as near to end A as flaws allow. The same sections in another order, or
further on, may leave one long offcut instead of several pieces too short to keep.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.rows import (
    Blank,
    Rect,
    Row,
    blanks,
    clear_of_metal,
    cost,
    sawable,
    shown,
    usable,
)

MOST_ORDERED = 3
"""So many sections are tried in every order; more only as they are, and turned about."""

NEVER = -(2**60)

Line = NDArray[np.int64]
"""A value for each place along the stock [cells]."""


@dataclass(frozen=True, slots=True, eq=False)
class _Section:
    """A section that may be moved: its length, where it may start, and what lies in it.

    ``strips`` are its rows with their places across, the place of each one's first blank from the
    section's start, its length, and where it may start. A section without stays as it is.
    """

    piece: Row | Blank
    start: int
    length: int
    free: NDArray[np.bool_]
    strips: tuple[tuple[int, int, Row, int, int, NDArray[np.bool_]], ...] = ()

    def at(self, start: int, low: int) -> Row | Blank:
        """Return what lies in it if it starts at a place, counted from ``low``."""
        if not self.strips or not isinstance(self.piece, Row):
            return _moved(self.piece, low + start - self.start)
        rows = []
        for near, far, row, first, length, free in self.strips:
            spare = self.length - length
            off = int(free[start : start + spare + 1].argmax())
            rows.append((near, far, _moved(row, low + start + off - first)))
        return Row("y", tuple(rows))


def slid(row: Row, item: StockItem) -> Row:
    """Return the layout with its sections where most is left to keep; as it is if that is best."""
    if row.axis != "x" or item.cell_credit <= 0 or not row.pieces:
        return row
    low, _, high, _ = usable(item)
    need = _least(item)
    if need is None:
        return row
    loose = [_loose(piece, start, end, item) for start, end, piece in row.pieces]
    shorter = any(
        section.length < end - start
        for section, (start, end, _) in zip(loose, row.pieces, strict=True)
    )
    if not shorter and not _wastes(row, item, need):
        return row
    gain = _gain(item)
    best, least = row, cost(row, item)
    rigid = [_rigid(piece, start, end, item) for start, end, piece in row.pieces]
    for sections in (rigid, loose):
        for order in _orders(len(sections)):
            own = [sections[i] for i in order]
            starts = _placed(own, gain, need, item.kx, high - low)
            if starts is None:
                continue
            pieces = tuple(
                (low + s, low + s + section.length, section.at(s, low))
                for section, s in zip(own, starts, strict=True)
            )
            moved = Row("x", pieces)
            found = cost(moved, item)
            if found < least and _holds(moved, item):
                best, least = moved, found
    return best


def _rigid(piece: Row | Blank, start: int, end: int, item: StockItem) -> _Section:
    """Return a section that moves as a whole."""
    inner = Row("x", ((start, end, piece),))
    found = list(blanks(inner, usable(item)))
    free = _starts(found, start, end - start, item)
    return _Section(piece, start, end - start, free)


def _loose(piece: Row | Blank, start: int, end: int, item: StockItem) -> _Section:
    """Return a section no longer than it need be, in which each strip moves by itself."""
    if isinstance(piece, Blank) or piece.axis != "y":
        return _rigid(piece, start, end, item)
    strips = []
    for near, far, row in piece.pieces:
        if isinstance(row, Blank) or row.axis != "x" or not row.pieces:
            return _rigid(piece, start, end, item)
        first, last = row.pieces[0][0], row.pieces[-1][1]
        found = list(blanks(row, (start, near, end, far)))
        free = _starts(found, first, last - first, item)
        strips.append((near, far, row, first, last - first, free))
    length = max(strip[4] for strip in strips)
    if item.rip_min >= 0:
        # Pieces shorter than this, or than they are wide, are not ripped.
        length = min(end - start, max(length, item.rip_min, item.rip_width))
    low, _, high, _ = usable(item)
    free = np.zeros(high - low + 1, bool)
    free[: max(0, high - low - length + 1)] = True
    for *_, own, where in strips:
        some = np.concatenate([[0], np.cumsum(where)])
        places = np.arange(len(free))
        until = np.minimum(places + length - own + 1, len(free))
        free &= some[until] > some[places]
    return _Section(piece, start, length, free, tuple(strips))


def _least(item: StockItem) -> int | None:
    """Return the least length of an offcut of the whole width, None where it is too narrow."""
    _, near, _, far = usable(item)
    wide = far - near
    fits = []
    if wide >= item.off_width:
        fits.append(item.off_length)
    if item.off_either and wide >= item.off_length:
        fits.append(item.off_width)
    return min(fits, default=None)


def _wastes(row: Row, item: StockItem, need: int) -> bool:
    """Whether anything of the whole width is left that is no offcut."""
    at, _, high, _ = usable(item)
    for start, end, _ in row.pieces:
        if at < start < at + item.kx + need:
            return True
        at = end + item.kx
    return at < high < at + need


def _gain(item: StockItem) -> Line:
    """Return the creditable cells from the first place to each."""
    x1, y1, x2, y2 = usable(item)
    whole = item.credit[y2, x1 : x2 + 1].astype(np.int64) - item.credit[y1, x1 : x2 + 1]
    gain: Line = whole - whole[0]
    return gain


def _starts(
    found: Sequence[tuple[int, Rect]], start: int, length: int, item: StockItem
) -> NDArray[np.bool_]:
    """Return where blanks that lie together may start, counted from the first place."""
    x1, _, x2, _ = usable(item)
    free = np.zeros(x2 - x1 + 1, bool)
    free[: max(0, x2 - x1 - length + 1)] = True
    for option, (left, near, right, far) in found:
        clear = np.zeros(len(free), bool)
        for index, _ in item.options[option].shows:
            blocked = np.zeros(len(free) + 1, np.int64)
            for a, b, c, d in item.blocks[index].tolist():
                if b < far and d > near:
                    first = max(0, a - (right - start) + 1 - x1)
                    last = min(len(free), c - (left - start) - x1)
                    if first < last:
                        blocked[first] += 1
                        blocked[last] -= 1
            clear |= np.cumsum(blocked[:-1]) == 0
        free &= clear
    # Where they lie now is allowed in any case: a flaw may be excused there.
    free[start - x1] = True
    return free


def _orders(number: int) -> Iterator[tuple[int, ...]]:
    if number <= MOST_ORDERED:
        yield from permutations(range(number))
        return
    yield tuple(range(number))
    yield tuple(range(number - 1, -1, -1))


def _placed(
    sections: Sequence[_Section], gain: Line, need: int, kerf: int, high: int
) -> list[int] | None:
    """Return where sections in this order start, so that offcuts between them hold most.

    ``gain`` counts what is creditable up to each place; ``need`` is the least offcut.
    """
    size = high + 1 + kerf
    credit = np.concatenate([gain, np.full(kerf, gain[-1])])
    at = np.full(size, NEVER, np.int64)  # the most so far, where the next may start at once
    at[0] = 0
    reached = [at]
    for section in sections:
        worth = at[: high + 1].copy()
        _raise(worth, np.maximum.accumulate(at), kerf)
        kept = np.maximum.accumulate(at - credit)
        _raise(worth, kept, kerf + need, credit, need)
        worth[~section.free] = NEVER
        at = np.full(size, NEVER, np.int64)
        step = section.length + kerf
        at[step:] = worth[: size - step]
        reached.append(at)
    last = at.copy()
    rest = last[: max(0, high - need + 1)]
    rest += credit[high] - credit[: len(rest)]
    place = int(last.argmax())
    if last[place] < 0:
        return None
    starts: list[int] = []
    for i in range(len(sections) - 1, -1, -1):
        start = place - sections[i].length - kerf
        starts.append(start)
        place = _before(reached[i], start, int(reached[i + 1][place]), credit, need, kerf)
    return starts[::-1]


def _raise(worth: Line, best: Line, shift: int, credit: Line | None = None, need: int = 0) -> None:
    """Raise values by the best from ``shift`` places before, with an offcut between or none."""
    count = len(worth) - shift
    if count <= 0:
        return
    over = best[:count].copy()
    if credit is not None:
        over += credit[need : need + count]
    np.maximum(worth[shift:], over, out=worth[shift:])


def _before(at: Line, start: int, worth: int, credit: Line, need: int, kerf: int) -> int:
    """Return the place after the section before from which ``start`` is reached at its worth."""
    if at[start] == worth:
        return start
    plain = np.flatnonzero(at[: max(0, start - kerf + 1)] == worth)
    if len(plain):
        return int(plain[-1])
    end = start - kerf
    some = at[: max(0, end - need + 1)]
    kept = some + credit[end] - credit[: len(some)]
    return int(np.flatnonzero(kept == worth)[-1])


def _moved(piece: Row | Blank, by: int) -> Row | Blank:
    """Return a piece with everything in it so much further along x."""
    if isinstance(piece, Blank):
        return piece
    step = by if piece.axis == "x" else 0
    return Row(
        piece.axis,
        tuple((start + step, end + step, _moved(own, by)) for start, end, own in piece.pieces),
    )


def _holds(row: Row, item: StockItem) -> bool:
    """Check the whole layout: kerfs, flaws and metal."""
    rect = usable(item)
    return (
        sawable(row, rect, item)
        and all(shown(item.options[option], box, item) for option, box in blanks(row, rect))
        and clear_of_metal(row, item)
    )
