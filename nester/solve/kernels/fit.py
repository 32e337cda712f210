"""Where a rectangle fits between blocks.

A block is a row (u1, v1, u2, v2, excuse). It may hold a flaw that a blank's cutaway takes away
where the blank lies right over it: ``excuse`` is then the row of the same table at which its places
stand, else -1. That row is (first edge, number of edges, ranges, side, beyond): ``side`` 0 and 1
for the blank's v1 and v2, 2 and 3 for its u1 and u2, 4 more where the sum is twice the first of the
two other sides; ``beyond`` 1 where the bound looks at none of it. Then come, for each edge and for
even and odd sums of the two other sides, so many rows (least sum, most sum, 0, 0, 0) at which the
blank may lie there.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import inlined, leaf, wide


@leaf
def excused(blocks: NDArray[np.int32], row: int, u1: int, v1: int, u2: int, v2: int) -> bool:
    """Whether a rectangle may lie over a block whose places of excuse stand at ``row``."""
    side = blocks[row, 3] % 4
    edge, first, last = v1, u1, u2
    if side == 1:
        edge = v2
    elif side >= 2:
        edge, first, last = u1, v1, v2
        if side == 3:
            edge = u2
    total = first + first if blocks[row, 3] >= 4 else first + last
    k = edge - blocks[row, 0]
    if k < 0 or k >= blocks[row, 1]:
        return False
    ranges = blocks[row, 2]
    start = row + 1 + (2 * k + total % 2) * ranges
    held = False
    for i in range(start, start + ranges):
        held |= blocks[i, 0] <= total <= blocks[i, 1]
    return held


@leaf
def excused_u(
    blocks: NDArray[np.int32], i: int, start: int, least: int, v1: int, v2: int, a: int
) -> int:
    """Return the least start at which a length ``a`` is excused by block ``i``, or clear of it.

    It is ``start`` itself, or ``least`` and beyond that start.
    """
    row, end = wide(blocks[i, 4]), wide(blocks[i, 2])
    if excused(blocks, row, start, v1, start + a, v2):
        return start
    side = blocks[row, 3] % 4
    if side < 2:
        edge = v2 if side == 1 else v1
        if edge < blocks[row, 0] or edge >= blocks[row, 0] + blocks[row, 1]:
            return end
    for later in range(max(start + 1, least), end):
        if excused(blocks, row, later, v1, later + a, v2):
            return later
    return end


@leaf
def excused_v(
    blocks: NDArray[np.int32], i: int, u1: int, u2: int, start: int, least: int, b: int
) -> int:
    """Return the least start at which a width ``b`` is excused by block ``i``, or clear of it.

    It is ``start`` itself, or ``least`` and beyond that start.
    """
    row, end = wide(blocks[i, 4]), wide(blocks[i, 3])
    if excused(blocks, row, u1, start, u2, start + b):
        return start
    side = blocks[row, 3] % 4
    if side >= 2:
        edge = u2 if side == 3 else u1
        if edge < blocks[row, 0] or edge >= blocks[row, 0] + blocks[row, 1]:
            return end
    for later in range(max(start + 1, least), end):
        if excused(blocks, row, u1, later, u2, later + b):
            return later
    return end


@inlined
def first_u(
    blocks: NDArray[np.int32],
    lo: int,
    hi: int,
    u: int,
    v1: int,
    v2: int,
    a: int,
    limit: int,
    kerf: int,
) -> int:
    """Return the least start from ``u`` at which a length ``a`` is clear, or -1 past ``limit``.

    ``blocks[lo:hi]`` are looked at. A start is either ``u`` itself or at least a kerf on:
    the saw takes a kerf to cut away what lies before it.
    """
    start = u
    moved = True
    while moved:
        moved = False
        if start + a > limit:
            return -1
        for i in range(lo, hi):
            if (
                blocks[i, 0] < start + a
                and blocks[i, 2] > start
                and blocks[i, 1] < v2
                and blocks[i, 3] > v1
            ):
                past = wide(blocks[i, 2])
                if blocks[i, 4] >= 0:
                    past = excused_u(blocks, i, start, u + kerf, v1, v2, a)
                    if past == start:
                        continue
                start = max(past, u + kerf)
                moved = True
                if start + a > limit:
                    return -1
    return start


@inlined
def first_v(
    blocks: NDArray[np.int32],
    lo: int,
    hi: int,
    u1: int,
    u2: int,
    v: int,
    b: int,
    limit: int,
    kerf: int,
) -> int:
    """Return the least start from ``v`` at which a width ``b`` is clear, or -1 past ``limit``."""
    start = v
    moved = True
    while moved:
        moved = False
        if start + b > limit:
            return -1
        for i in range(lo, hi):
            if (
                blocks[i, 1] < start + b
                and blocks[i, 3] > start
                and blocks[i, 0] < u2
                and blocks[i, 2] > u1
            ):
                past = wide(blocks[i, 3])
                if blocks[i, 4] >= 0:
                    past = excused_v(blocks, i, u1, u2, start, v + kerf, b)
                    if past == start:
                        continue
                start = max(past, v + kerf)
                moved = True
                if start + b > limit:
                    return -1
    return start


@inlined
def past_saw(
    blocks: NDArray[np.int32],
    lo: int,
    hi: int,
    axis: int,
    start: int,
    size: int,
    low: int,
    high: int,
    moved: bool,
    limit: int,
    kerf: int,
) -> int:
    """Return ``start``, or where the saw is past the metal that it would come near to there.

    ``blocks[lo:hi]`` is where no kerf may lie; ``axis`` 0 looks along u and ``low`` to ``high``
    across, 1 the other way. Cut is before the start where it is ``moved``, and after ``size`` where
    that does not end at ``limit``.
    """
    other = 1 - axis
    for i in range(lo, hi):
        if blocks[i, other] < high and blocks[i, other + 2] > low:
            first, past = wide(blocks[i, axis]), wide(blocks[i, axis + 2])
            end = start + size
            if (moved and first < start and past > start - kerf) or (
                end < limit and first < end + kerf and past > end
            ):
                return past + kerf
    return start


@inlined
def is_clear(
    blocks: NDArray[np.int32], lo: int, hi: int, u1: int, v1: int, u2: int, v2: int
) -> bool:
    """Whether a rectangle reaches into none of ``blocks[lo:hi]``."""
    for i in range(lo, hi):
        if blocks[i, 0] < u2 and blocks[i, 2] > u1 and blocks[i, 1] < v2 and blocks[i, 3] > v1:
            row = wide(blocks[i, 4])
            if row < 0 or not excused(blocks, row, u1, v1, u2, v2):
                return False
    return True
