"""How long a blank may be that begins in a step, for each list of blocks."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Table: TypeAlias = NDArray[Any]


@kernel
def rooms(
    blocks: Table, ends: Table, met: Table, u1: int, span: int, nu: int, fine: int
) -> NDArray[np.int64]:
    """Return (lists, nu): the longest clear run that begins in each step of ``fine`` cells.

    List i is rows ``ends[i]`` to ``ends[i + 1]`` of ``blocks`` (u1, v1, u2, v2, excuse), those that
    are ``met``. A stock item has ``span`` cells from ``u1`` on. Below 0 where no cell is clear.
    """
    found = np.full((len(ends) - 1, nu), -1, np.int64)
    # From each cell on, where the first block begins of those that end beyond it.
    limit = np.empty(span, np.int64)
    for i in range(len(ends) - 1):
        limit[:] = span
        for b in range(ends[i], ends[i + 1]):
            last = min(int(blocks[b, 2]) - u1, span) - 1
            if met[b] and last >= 0:
                limit[last] = min(limit[last], int(blocks[b, 0]) - u1)
        for cell in range(span - 1, -1, -1):
            if cell + 1 < span:
                limit[cell] = min(limit[cell], limit[cell + 1])
            step = cell // fine
            if step < nu:
                found[i, step] = max(found[i, step], limit[cell] - cell)
    return found
