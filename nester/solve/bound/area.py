"""A quick bound: blanks share stock like water, by area, with the kerfs that part them or without.

A layout of a stock item costs at least its price in proportion to the blanks' area over the usable
area, since what is left over gives back at most the credit, which is less than its price.

A kerf lies between any two pieces that a saw parts. So blanks that are made longer and wider by one
kerf each still do not overlap, and all lie on stock made as much larger (as for rectangles in
Gilmore and Gomory 1965, "Multistage cutting stock problems of two and more dimensions").
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.lp import GrowingLp


@dataclass(frozen=True, slots=True)
class AreaBound:
    """A lower bound on the cost of placing all demands, and each blank's price in it [ticks]."""

    bound: int
    prices: NDArray[np.float64]


def area_bound(problem: Problem, kerfs: bool = False) -> AreaBound:
    """Return the bound by area; it proves nothing, so is 0, where stock is too small by area.

    With ``kerfs`` it is higher as a rule, but flaws count for less then. Prices without are the
    better ones to begin pricing with: on coarse steps that hardly sees a kerf.
    """
    inf = np.inf
    demands = [float(d.copies) for d in problem.demands]
    items = len(problem.stock)
    lp = GrowingLp([*demands, *[-inf] * items], [*[inf] * len(demands), *[1.0] * items])
    # Ticks are too large for the tolerances of the LP, so a stock item's price is made about one.
    scale = float(max((item.value for item in problem.stock), default=1)) or 1.0
    for s, item in enumerate(problem.stock):
        room = usable_cells(item, kerfs)
        least = least_value(item, room) / scale
        for d, area in least_areas(item, kerfs).items():
            share = area / (room * item.count)
            lp.add(least * share * item.count, inf, {d: 1.0, len(demands) + s: share})
    if not lp.solve():
        return AreaBound(0, np.zeros(len(demands)))
    bound = max(0, int(lp.objective * scale * (1 - 1e-6)) - 1)
    return AreaBound(bound, np.maximum(0.0, lp.duals[: len(demands)]) * scale)


def least_areas(item: StockItem, kerfs: bool) -> dict[int, int]:
    """Return the least area that each demand's blank takes [cells]."""
    kx, ky = (item.kx, item.ky) if kerfs else (0, 0)
    least: dict[int, int] = {}
    for option in item.options:
        area = (option.length + kx) * (option.width + ky)
        least[option.demand] = min(area, least.get(option.demand, area))
    return least


def least_anywhere(stock: Sequence[StockItem], demands: int, kerfs: bool) -> NDArray[np.int64]:
    """Return the least area that each demand's blank takes on any stock [cells]; (demands,).

    It is the largest number there is for a blank that no stock gives.
    """
    least = np.full(demands, np.iinfo(np.int64).max)
    for item in stock:
        for d, area in least_areas(item, kerfs).items():
            least[d] = min(area, least[d])
    return least


def usable_cells(item: StockItem, kerfs: bool) -> int:
    """Return an upper bound on the cells that blanks and offcuts of one copy may take.

    With ``kerfs`` each blank has one more along x, and one across.
    """
    kx, ky = (item.kx, item.ky) if kerfs else (0, 0)
    usable = np.zeros((item.ny, item.nx), bool)
    lowest = int(item.near.min())
    usable[lowest:, item.x0 : item.x1] = ~barred(item)[lowest:, item.x0 : item.x1]
    if item.cell_credit:
        usable |= _creditable(item) > 0
    return max(1, int(_reached(_reached(usable, kx, 1), ky, 0).sum()))


def barred(item: StockItem) -> NDArray[np.bool_]:
    """Return the cells that no blank may cover, whichever it is and whichever face shows."""
    barred = np.ones((item.ny, item.nx), bool)
    for index in {index for option in item.options for index, _ in option.shows}:
        excused = {row for row, _ in item.excuses[index]} if index < len(item.excuses) else set()
        own = np.zeros_like(barred)
        for row, (x1, y1, x2, y2) in enumerate(item.blocks[index].tolist()):
            if row not in excused:
                own[max(0, y1) : max(0, y2), max(0, x1) : max(0, x2)] = True
        barred &= own
    return barred


def _creditable(item: StockItem) -> NDArray[np.int32]:
    """Return how often each cell is credited: those at ragged ends stand for what lies beyond."""
    cells: NDArray[np.int32] = np.diff(np.diff(item.credit, axis=0), axis=1)
    return cells


def _reached(cells: NDArray[np.bool_], kerf: int, axis: int) -> NDArray[np.bool_]:
    """Return the cells with those up to ``kerf`` further along an axis, past the end too."""
    length = cells.shape[axis]
    grown = np.zeros((*cells.shape[:axis], length + kerf, *cells.shape[axis + 1 :]), bool)
    for step in range(kerf + 1):
        grown[(slice(None),) * axis + (slice(step, step + length),)] |= cells
    return grown


def most_credited(item: StockItem, room: int) -> float:
    """Return how many cells of credit a ``room`` gives that no blank takes any of.

    Cells at ragged ends count for the wood beyond them too.
    """
    credited = _creditable(item)
    return room + float((credited - (credited > 0)).sum())


def least_value(item: StockItem, room: int) -> float:
    """Return what a whole copy's ``room`` costs at the least, shared out evenly [ticks].

    Blanks and offcuts share the room. With e cells of blanks a layout costs at least the price less
    the credit of all other cells, and never less than the price less that of all sound wood; the
    least of the greater one for each e is where both meet, or where blanks take all the room.
    """
    per_cell = float(item.cell_credit)
    sound, most = float(item.credit[-1, -1]), most_credited(item, room)
    unused = float(item.value) - per_cell * most
    if unused >= 0.0 or not per_cell:
        return unused + per_cell * room
    kept = max(0.0, float(item.value) - per_cell * sound)
    return kept / (most - sound) * room if most > sound else 0.0


def alone(problem: Problem) -> NDArray[np.float64]:
    """Return what each blank costs at the most: the cheapest stock item it fits, all for itself."""
    least = np.full(len(problem.demands), np.inf)
    for item in problem.stock:
        for option in item.options:
            least[option.demand] = min(least[option.demand], float(item.value))
    return np.where(np.isfinite(least), least, 0.0)
