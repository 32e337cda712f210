"""What leftovers of a stock item earn, by where they lie: sound wood only, never too little.

On steps of several cells a leftover stands for all that lie so, and counts for their most: its
ends are taken as far apart as they can be.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import Places
from nester.solve.kernels import columns as k
from nester.solve.kernels.kept import kept_most

_FAR = 2**30
"""Cells: more than any piece of stock has."""


@dataclass(frozen=True, slots=True, eq=False)
class Earned:
    """Creditable cells of a class, for ``kernels.sections``, by steps along u and across v.

    ``sums[u, v]``: below both, in cells. ``low_u`` and ``high_u``: between which cells a leftover
    may lie that begins, or ends, at a step; ``low_v`` and ``high_v`` the same across. ``whole`` and
    ``kinds`` are pairs of sums up to such cells along u, at beginnings and at ends: of the whole
    width, and of a strip of each kind where it holds most, wide enough to keep. ``spare``: by how
    many rows a strip of each width class may be wider; ``broad``: as ``kinds``, all those with it.
    """

    sums: NDArray[np.int32]
    low_u: NDArray[np.int32]
    high_u: NDArray[np.int32]
    low_v: NDArray[np.int32]
    high_v: NDArray[np.int32]
    whole: NDArray[np.int32]
    kinds: NDArray[np.int32]
    broad: NDArray[np.int32]
    spare: NDArray[np.int32]


def earned(found: Arrays, cls: int, item: StockItem, tables: Places, least: int) -> Earned:
    """Return the tables of a class; a leftover of a strip is at least ``least`` cells wide."""
    table = found.classes[cls]
    u1, u2, v2 = int(table[k.C_U1]), int(table[k.C_U2]), int(table[k.C_V2])
    ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
    near = found.near[table[k.C_NEAR] :]
    low = int(near[: u2 - u1 + 1].min())
    ripped = int(table[k.C_RIP_FIRST]) == 1
    sums = np.ascontiguousarray(item.credit if ripped else item.credit.T)
    low_u, high_u = _ends(tables.nu, tables.fine_u, u1, u2, ku)
    low_v, high_v = _ends(tables.nv, tables.fine_v, low, v2, kv)
    # An offcut of the whole width keeps both edges, where the board is not ripped first.
    whole = sums[:, v2] - sums[:, int(near[0]) if ripped else 0]
    spare = spare_rows(tables, v2 - low, least)
    kinds = np.zeros((2, len(tables.kind_class), tables.nu + 1), np.int32)
    if item.cell_credit > 0:
        # A strip may be wider by less than a step, which no row tells.
        upto = kept_most(
            np.ascontiguousarray(np.diff(sums, axis=0).T),
            tables.row_kind,
            tables.kind_class,
            tables.strip_width,
            low,
            v2,
            tables.fine_v,
            least,
        )
        kinds[:] = upto[:, low_u], upto[:, high_u]
    ends = np.array([low_u, high_u])
    return Earned(
        sums,
        low_u,
        high_u,
        low_v,
        high_v,
        whole[ends],
        kinds,
        kinds + _spare_cells(tables, spare, ends),
        spare,
    )


def anywhere(found: Arrays, cls: int, tables: Places, least: int) -> Earned:
    """Return the tables of a class as if all wood were sound, wherever leftovers lie."""
    table = found.classes[cls]
    low_u, high_u = _ends(tables.nu, tables.fine_u, 0, _FAR, int(table[k.C_KU]))
    low_v, high_v = _ends(tables.nv, tables.fine_v, 0, _FAR, int(table[k.C_KV]))
    sums = np.arange(high_u[-1] + tables.fine_u + 1)[:, None] * np.arange(
        high_v[-1] + tables.fine_v + 1
    )
    ripped = int(table[k.C_RIP_FIRST]) == 1
    wide = int(table[k.C_V2]) - (int(found.near[table[k.C_NEAR]]) if ripped else 0)
    ends = np.array([low_u, high_u])
    strips = np.maximum(tables.strip_width[tables.kind_class], least) + tables.fine_v - 1
    kinds = (ends[:, None, :] * strips[:, None]).astype(np.int32)
    spare = spare_rows(tables, int(table[k.C_V2]), least)
    return Earned(
        sums.astype(np.int32),
        low_u,
        high_u,
        low_v,
        high_v,
        ends * np.int32(wide),
        kinds,
        kinds + _spare_cells(tables, spare, ends),
        spare,
    )


def spare_rows(tables: Places, extent: int, least: int) -> NDArray[np.int32]:
    """Return by how many whole rows a strip of each width class may be wider than its widest blank.

    A strip as wide as the next class is one of that: all its blanks are clear over its whole width.
    Leftovers are ``least`` cells wide, strips no more than ``extent``. -1: a strip with a leftover
    is always one of a wider class.
    """
    widths = tables.strip_width
    beyond = np.minimum(np.append(widths[1:], extent + 1), extent + 1)
    over = beyond - 1 - np.maximum(widths, least)
    rows = -((tables.fine_v - 1 - over) // tables.fine_v)
    spare: NDArray[np.int32] = np.where(over < 0, -1, np.maximum(0, rows)).astype(np.int32)
    return spare


def _spare_cells(
    tables: Places, spare: NDArray[np.int32], ends: NDArray[np.int32]
) -> NDArray[np.int32]:
    cells = np.maximum(0, spare)[tables.kind_class] * tables.fine_v
    found: NDArray[np.int32] = (ends[:, None, :] * cells[:, None]).astype(np.int32)
    return found


def _ends(
    steps: int, fine: int, first: int, last: int, kerf: int
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return the first cell of what begins at each step, and the end of what ends there."""
    at = first + fine * np.arange(steps + 1)
    low, high = np.minimum(at, last), np.clip(at + fine - 1 - kerf, first, last)
    return low.astype(np.int32), high.astype(np.int32)
