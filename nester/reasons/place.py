"""Whether a stock item has a place for a blank at all, its cutaways over flaws included."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from inventory.stock import FlawKind, Stock
from nester.model import Part, Shop
from nester.problem import Option, StockItem, build
from nester.problem.excuses import Excuse


def has_place(part: Part, stock: Stock, shop: Shop) -> bool:
    """Whether a blank of the needed size has a place on the uncut stock item, its trims apart."""
    alone = replace(part, count=1, spare=0)
    return any(
        _starts(option, index, item).any()
        for item in build([alone], [stock], shop).stock
        for option in item.options
        for index, _ in option.shows
    )


def trim_meets_metal(part: Part, stock: Stock, shop: Shop) -> bool:
    """Whether the cuts that trim a stock item, which could give a part, come too near to metal."""
    if not any(flaw.kind is FlawKind.METAL for flaw in stock.flaws):
        return False
    alone = replace(part, count=1, spare=0, glue_up=None)
    return not build([alone], [stock], shop).stock


def _starts(option: Option, index: int, item: StockItem) -> NDArray[np.bool_]:
    """Return where a blank may start [y, x]."""
    a, b = option.length, option.width
    free = np.zeros((item.ny, item.nx), bool)
    near = int(item.near[min(a, item.nx)])
    free[near : max(0, item.ny - b + 1), item.x0 : max(0, item.x1 - a + 1)] = True
    excuses = dict(item.excuses[index]) if index < len(item.excuses) else {}
    for row, (x1, y1, x2, y2) in enumerate(item.blocks[index].tolist()):
        region = slice(max(0, y1 - b + 1), y2), slice(max(0, x1 - a + 1), x2)
        if row not in excuses:
            free[region] = False
            continue
        excused = np.zeros_like(free)
        for y, x in _excused(excuses[row], a, b):
            if 0 <= y < item.ny and 0 <= x < item.nx:
                excused[y, x] = True
        free[region] &= excused[region]
    return free


def _excused(excuse: Excuse, a: int, b: int) -> list[tuple[int, int]]:
    """Return the starts (y, x) of a blank ``a`` by ``b`` at which its flaw is excused."""
    along, across = (a, b) if excuse.along_x else (b, a)
    found = []
    for k, row in enumerate(excuse.rows):
        edge = excuse.first + k // 2 - (across if excuse.high else 0)
        for low, most in zip(row[::2], row[1::2], strict=True):
            starts = [(s - along) // 2 for s in range(low, most + 1, 2) if (s - along) % 2 == 0]
            found += [(edge, s) if excuse.along_x else (s, edge) for s in starts]
    return found
