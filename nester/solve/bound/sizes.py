"""What of a class pricing needs to know first: the room for blanks, and the least sizes."""

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import option_rows
from nester.solve.kernels import columns as k
from nester.solve.kernels.rooms import reach


def least_offcut(found: Arrays, cls: int, item: StockItem) -> tuple[int, int]:
    """Return the least offcut along u and v; one cell less where wood lies beyond the cells."""
    loose = 1 if item.beyond else 0
    long, wide = item.off_length - loose, item.off_width - loose
    return (wide, long) if int(found.classes[cls, k.C_RIP_FIRST]) == 1 else (long, wide)


def edge_rows(found: Arrays, cls: int, item: StockItem) -> int:
    """Return how many rows along a board's edges an offcut may keep and a blank may not [cells].

    None where the board is ripped first, since it is straightened whole, and none on a sheet.
    """
    if not item.board or int(found.classes[cls, k.C_RIP_FIRST]) == 1:
        return 0
    low = int(found.near[found.classes[cls, k.C_NEAR]])
    high = int(far_limit(found, cls).max(initial=0))
    return max(0, item.ny - max(0, high - low))


def plate_size(found: Arrays, cls: int) -> tuple[int, int]:
    """Return the rectangle that holds all blanks of a class, a kerf added both ways [cells]."""
    table = found.classes[cls]
    u1, u2 = int(table[k.C_U1]), int(table[k.C_U2])
    low = int(found.near[table[k.C_NEAR]])
    high = int(far_limit(found, cls).max(initial=0))
    return max(0, u2 - u1) + int(table[k.C_KU]), max(0, high - low) + int(table[k.C_KV])


def largest_steps(found: Arrays, cls: int, item: StockItem) -> tuple[int, int]:
    """Return the coarsest steps along u and v at which nothing shrinks to no step at all.

    What takes no step could be had any number of times, and its value would no longer be a bound.
    """
    table = found.classes[cls]
    rows = option_rows(found, cls)
    sizes_u = [int(rows[:, 1].min()) + int(table[k.C_KU])]
    sizes_v = [int(rows[:, 2].min()) + int(table[k.C_KV])]
    if item.cell_credit > 0:
        least_u, least_v = least_offcut(found, cls, item)
        if item.off_either:
            least_u = least_v = min(least_u, least_v)
        sizes_u.append(least_u + int(table[k.C_KU]))
        sizes_v.append(least_v - edge_rows(found, cls, item) + int(table[k.C_KV]))
    return max(1, min(sizes_u)), max(1, min(sizes_v))


def far_limit(found: Arrays, cls: int) -> NDArray[np.int32]:
    """Return how far blanks may reach across v at each cell of u, by the blocks at the far edge."""
    table = found.classes[cls]
    u1, u2, v2 = int(table[k.C_U1]), int(table[k.C_U2]), int(table[k.C_V2])
    span = max(0, u2 - u1)
    best = np.zeros(span, np.int32)
    for i in lists_used(found, cls):
        lo, hi = found.lists[i]
        limit = np.full(span, v2, np.int32)
        reach(found.blocks[lo:hi], u1, v2, limit)
        best = np.maximum(best, limit)
    return best


def lists_used(found: Arrays, cls: int) -> list[int]:
    """Return the block lists that the options of a class go by."""
    first = int(found.classes[cls, k.C_BLOCKS])
    rows = option_rows(found, cls)
    return sorted({first + int(i) for i in rows[:, 3:5].ravel() if i >= 0})


def is_plain(found: Arrays, cls: int) -> bool:
    """Whether there are no blocks but a straight far edge, so that a plate tells all."""
    limit = far_limit(found, cls)
    if len(limit) == 0 or limit.min() != limit.max():
        return False
    v2 = int(found.classes[cls, k.C_V2])
    return all(
        (found.blocks[found.lists[i, 0] : found.lists[i, 1], 3] >= v2).all()
        for i in lists_used(found, cls)
    )
