"""How far blanks may reach: along from each step, and so which may begin there, and across."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Table: TypeAlias = NDArray[Any]


@kernel
def rooms(
    blocks: Table, ends: Table, met: Table, u1: int, span: int, nu: int, fine: int
) -> NDArray[np.int64]:
    """Return (patterns, lists, nu): the longest clear run that begins in each step of ``fine``.

    List i is rows ``ends[i]`` to ``ends[i + 1]`` of ``blocks`` (u1, v1, u2, v2, excuse), of which
    each pattern has its own ``met`` (patterns, blocks). A stock item has ``span`` cells from ``u1``
    on. Below 0 where no cell is clear.
    """
    found = np.full((len(met), len(ends) - 1, nu), -1, np.int64)
    # From each cell on, where the first block begins of those that end beyond it.
    limit = np.empty(span, np.int64)
    for p in range(len(met)):
        for i in range(len(ends) - 1):
            limit[:] = span
            for b in range(ends[i], ends[i + 1]):
                last = min(int(blocks[b, 2]) - u1, span) - 1
                if met[p, b] and last >= 0:
                    limit[last] = min(limit[last], int(blocks[b, 0]) - u1)
            for cell in range(span - 2, -1, -1):
                limit[cell] = min(limit[cell], limit[cell + 1])
            for step in range(nu):
                most = -1
                for cell in range(step * fine, min((step + 1) * fine, span)):
                    most = max(most, limit[cell] - cell)
                found[p, i, step] = most
    return found


@kernel
def begins(
    room: Table, first: Table, members: Table, own: Table, lengths: Table
) -> NDArray[np.uint8]:
    """Return (sets, blanks, nu): 1 where a blank may begin by one of the patterns of a set.

    Set j is ``members[first[j] : first[j + 1]]``, patterns of ``room`` (patterns, lists, nu). A
    blank goes by the two lists ``own`` (blanks, 2), either of which will do, none if beyond them.
    """
    lists, nu = room.shape[1], room.shape[2]
    found = np.zeros((len(first) - 1, len(own), nu), np.uint8)
    most = np.empty((lists + 1, nu), np.int64)
    for j in range(len(first) - 1):
        most[:] = -1
        for m in range(first[j], first[j + 1]):
            for i in range(lists):
                for step in range(nu):
                    most[i, step] = max(most[i, step], room[members[m], i, step])
        for blank in range(len(own)):
            one, other = min(int(own[blank, 0]), lists), min(int(own[blank, 1]), lists)
            for step in range(nu):
                longest = max(most[one, step], most[other, step])
                found[j, blank, step] = 1 if longest >= lengths[blank] else 0
    return found


@kernel
def reach(blocks: Table, u1: int, v2: int, limit: Table) -> None:
    """Lower ``limit``, how far blanks may reach across v at each cell from ``u1`` on.

    Blocks (u1, v1, u2, v2, excuse) that go on to ``v2`` or beyond are the far edge, but for those
    that may be excused.
    """
    for b in range(len(blocks)):
        if blocks[b, 3] >= v2 and blocks[b, 4] < 0:
            for u in range(max(0, blocks[b, 0] - u1), min(len(limit), blocks[b, 2] - u1)):
                limit[u] = min(limit[u], blocks[b, 1])
