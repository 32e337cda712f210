"""The longest clear stretch that a stock item offers a blank, on the grid."""

import numpy as np

from inventory.stock import Board, Stock
from nester.blanks import Needed, end_trim, far_loss, near_loss, obstacles, round_up
from nester.model import Part, Shop
from nester.problem.raster import Block, blocks_of, clipped, far_edge


def clear_span(part: Part, way: Needed, item: Stock, shop: Shop) -> tuple[int, int]:
    """Return the longest stretch [1/320 mm] of ``item`` that is clear at the blank's width."""
    grid = shop.grid
    nx, ny = item.length // grid, item.width // grid
    trim, loss = end_trim(item, shop), far_loss(item, shop)
    near = near_loss(item, shop, min(way.length, item.length)) // grid
    edge: list[Block] = (
        far_edge(item, loss, grid, nx, ny)
        if isinstance(item, Board)
        else clipped([(0, (item.width - loss) // grid, nx, ny)], nx, ny)
    )
    wide = round_up(way.width, grid) // grid
    first, last = trim // grid, (item.length - trim) // grid
    best = (0, 0)
    for found in obstacles(part, way, item, shop).values():
        blocks = edge + [b for o in found for b in blocks_of(o, grid, nx, ny)]
        for y in range(near, ny - wide + 1):
            free = np.ones(nx + 1, bool)
            free[:first] = free[last:] = False
            for x1, y1, x2, y2 in blocks:
                if y1 < y + wide and y2 > y:
                    free[x1:x2] = False
            ends = np.flatnonzero(np.diff(np.concatenate([[0], free[:nx].astype(np.int8), [0]])))
            for a, b in zip(ends[::2], ends[1::2], strict=True):
                if b - a > best[1] - best[0]:
                    best = (int(a), int(b))
    return best[0] * grid, best[1] * grid
