"""Where a blank may lie over a flaw because its cutaway takes the flaw away.

A flaw is excused where it lies wholly inside one cutaway. The cutaway is rounded inward: only cells
of the stock's grid that are wholly inside it count, and the flaw may reach into no others. So a
flaw is excused at a set of places of the blank, written down here as a table.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from inventory.length import Length
from inventory.stock import Flaw, Stock
from nester.blanks import Obstacle
from nester.blanks.cutaways import (
    COUNTS_EVERYWHERE,
    Lie,
    extent,
    inside_between,
    lies_on_far,
)
from nester.model import Cutaway, Part
from nester.problem.inner import Rect
from nester.problem.raster import Block, blocks_of

Mask = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Excuse:
    """The places of a blank at which one flaw lies inside a cutaway.

    A place is told by two numbers [cells]: the blank's edge that the part's edge lies on, across
    the part, and the sum of the blank's two ends, along the part. ``along_x``: the part lies along
    the stock. ``high``: the edge is the one farther from the stock's near edge (or from end A).
    ``rows[2 * (edge - first) + sum % 2]`` lists the sums that excuse, as least and most of each
    range, padded with empty ranges.

    ``by_low``: the sum is twice the blank's first end, for a part that keeps its distance from it.
    ``several``: the blank holds further parts.
    """

    along_x: bool
    high: bool
    first: int
    rows: tuple[tuple[int, ...], ...]
    by_low: bool = False
    several: bool = False

    def holds(self, x1: int, y1: int, x2: int, y2: int) -> bool:
        """Whether the flaw is excused in a blank from (x1, y1) to (x2, y2) [cells]."""
        ends, edges = ((x1, x2), (y1, y2)) if self.along_x else ((y1, y2), (x1, x2))
        total = 2 * ends[0] if self.by_low else sum(ends)
        index = 2 * (edges[self.high] - self.first) + total % 2
        if not 0 <= index < len(self.rows):
            return False
        row = self.rows[index]
        return any(a <= total <= b for a, b in zip(row[::2], row[1::2], strict=True))


def in_slot(found: Excuse, rect: Rect, size: Rect, seat: tuple[int, int]) -> Excuse:
    """Return the excuse of one part's flaw as one of a blank of several parts.

    The part's own piece is ``rect`` where the blank is ``size`` [cells]. It lies against its
    joints, ``seat`` long and wide along the stock's axes, and so keeps its distance from the
    blank's lowest corner, however large the blank.
    """
    along, across = (0, 1) if found.along_x else (1, 0)
    ends, sides = _beside_joint(rect, size, seat, along), _beside_joint(rect, size, seat, across)
    first, high, rows, by_low = found.first, found.high, found.rows, False
    if sides is not None:
        first, high = first - sides[1 if high else 0], False
    if ends is not None:
        total = sum(ends)
        empty = (1, 0) * (len(rows[0]) // 2)
        moved = [tuple(value - total for value in row) for row in rows[total % 2 :: 2]]
        rows, by_low = tuple(row for pair in moved for row in (pair, empty)), True
    return Excuse(found.along_x, high, first, rows, by_low, several=True)


def _beside_joint(
    rect: Rect, size: Rect, seat: tuple[int, int], axis: int
) -> tuple[int, int] | None:
    """Return from where to where a part lies from the blank's corner, None if over all of it."""
    low, high = rect[axis] - size[axis], rect[axis + 2] - size[axis]
    at_start, at_end = low == 0, rect[axis + 2] == size[axis + 2]
    if at_start and at_end:
        return None
    if at_start:
        return high - seat[axis], high
    return (low, low + seat[axis]) if at_end else (low, high)


def excuse(part: Part, lie: Lie, flaw: Flaw, stock: Stock, grid: Length) -> Excuse | None:
    """Return where ``flaw`` is excused in a blank for ``part`` lying this way, None if nowhere."""
    if flaw.kind in COUNTS_EVERYWHERE or not part.cutaways:
        return None
    nx, ny = stock.length // grid + 1, stock.width // grid + 1
    blocks = blocks_of(Obstacle(flaw, 0, 0), grid, nx, ny)
    if lie.turned:
        blocks = [(b, a, d, c) for a, b, c, d in blocks]
    if not blocks:
        return None
    high = lies_on_far(part.cutaways) == lie.near_low
    # Tables do not depend on where the flaw lies, so flaws of one shape share theirs.
    i0, b0 = min(block[0] for block in blocks), min(block[1] for block in blocks)
    shape = tuple(sorted((a - i0, b - b0, c - i0, d - b0) for a, b, c, d in blocks))
    found = _table(part.cutaways, part.length, part.width, grid, lie.backwards, high, shape)
    if found is None:
        return None
    first, rows = found
    shifted = tuple(tuple(value + 2 * i0 for value in row) for row in rows)
    return Excuse(not lie.turned, high, first + b0, shifted)


@lru_cache(maxsize=4096)
def _table(
    cutaways: tuple[Cutaway, ...],
    length: Length,
    width: Length,
    grid: Length,
    backwards: bool,
    high: bool,
    shape: tuple[Block, ...],
) -> tuple[int, tuple[tuple[int, ...], ...]] | None:
    """Return the least edge and the rows of a table, for a flaw that begins at (0, 0)."""
    ranges: dict[int, list[tuple[int, int]]] = {}
    from_far = lies_on_far(cutaways)
    for cutaway in cutaways:
        for odd in (0, 1):
            first, sums = _sums(cutaway, length, width, grid, backwards, from_far, odd, high)
            for edge, low, most in _fits(sums, shape):
                place = sums.shape[1] - 1 - edge if high else -edge
                ranges.setdefault(2 * place + odd, []).append((-first - 2 * most, -first - 2 * low))
    if not ranges:
        return None
    least = min(ranges) // 2
    joined = [_joined(ranges.get(k, [])) for k in range(2 * least, (max(ranges) | 1) + 1)]
    most = max(map(len, joined))
    rows = tuple(
        tuple(value for pair in [*row, *[(1, 0)] * (most - len(row))] for value in pair)
        for row in joined
    )
    return least, rows


@lru_cache(maxsize=256)
def _sums(
    cutaway: Cutaway,
    length: Length,
    width: Length,
    grid: Length,
    backwards: bool,
    from_far: bool,
    odd: int,
    high: bool,
) -> tuple[int, Mask]:
    """Return how many cells inside a cutaway lie before each corner, with its first column.

    ``high``: its rows are counted towards the edge that lies on.
    """
    first, cells = _cells(cutaway, length, width, grid, backwards, from_far, odd)
    sums = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), np.int64)
    np.cumsum(np.cumsum(cells[:, ::-1] if high else cells, axis=0), axis=1, out=sums[1:, 1:])
    return first, sums


def _cells(
    cutaway: Cutaway,
    length: Length,
    width: Length,
    grid: Length,
    backwards: bool,
    from_far: bool,
    odd: int,
) -> tuple[int, NDArray[np.bool_]]:
    """Return the cells inside a cutaway: columns along the part, rows from the edge that lies on.

    A column begins ``j`` half cells from the middle of the blank; that of the first is returned
    with the cells. Columns whose ``j`` is odd and those whose ``j`` is even lie differently.
    """
    ends = extent(cutaway)
    low, most = (length - x for x in reversed(ends)) if backwards else ends
    first = -((length - 2 * low) // grid)
    first += (first - odd) % 2
    last = (2 * most - length) // grid - 2
    columns = max(0, (last - first) // 2 + 1)
    cells = np.zeros((columns, width // grid), bool)
    for k in range(columns):
        start = (first + 2 * k) * grid + length
        bounds = (start, start + 2 * grid)
        if backwards:
            bounds = (2 * length - bounds[1], 2 * length - bounds[0])
        for a, b in inside_between(cutaway, width, *bounds):
            if from_far:
                a, b = width - b, width - a
            cells[k, -(-a // grid) : b // grid] = True
    return first, cells


def _fits(sums: Mask, shape: tuple[Block, ...]) -> Iterator[tuple[int, int, int]]:
    """Yield (row offset, least, most column offset) of each range in which a shape fits."""
    wide, tall = (max(block[side] for block in shape) for side in (2, 3))
    columns, rows = sums.shape[0] - wide, sums.shape[1] - tall
    if columns <= 0 or rows <= 0:
        return
    fits = np.zeros((rows, columns + 2), bool)
    fits[:, 1:-1] = True
    for a, b, c, d in shape:
        held = sums[c : c + columns, d : d + rows] - sums[a : a + columns, d : d + rows]
        held = held - sums[c : c + columns, b : b + rows] + sums[a : a + columns, b : b + rows]
        fits[:, 1:-1] &= (held == (c - a) * (d - b)).T
    at, starts = np.nonzero(fits[:, 1:] & ~fits[:, :-1])
    _, ends = np.nonzero(fits[:, :-1] & ~fits[:, 1:])
    yield from zip(at.tolist(), starts.tolist(), (ends - 1).tolist(), strict=True)


def _joined(ranges: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the union of ranges of numbers two apart."""
    out: list[tuple[int, int]] = []
    for low, most in sorted(ranges):
        if out and low <= out[-1][1] + 2:
            out[-1] = (out[-1][0], max(out[-1][1], most))
        else:
            out.append((low, most))
    return out
