"""A quick bound: blanks share stock like water, by area.

A layout of a stock item costs at least its price in proportion to the blanks' area over the usable
area, since what is left over gives back at most the credit, which is less than its price.
"""

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


def area_bound(problem: Problem) -> AreaBound:
    """Return the bound by area; it proves nothing, so is 0, where stock is too small by area."""
    inf = np.inf
    demands = [float(d.copies) for d in problem.demands]
    items = len(problem.stock)
    lp = GrowingLp([*demands, *[-inf] * items], [*[inf] * len(demands), *[1.0] * items])
    # Ticks are too large for the tolerances of the LP, so a stock item's price is made about one.
    scale = float(max((item.value for item in problem.stock), default=1)) or 1.0
    for s, item in enumerate(problem.stock):
        room = usable_cells(item)
        smallest: dict[int, int] = {}
        for option in item.options:
            area = option.length * option.width
            smallest[option.demand] = min(area, smallest.get(option.demand, area))
        least = least_value(item) / scale
        for d, area in smallest.items():
            share = area / (room * item.count)
            lp.add(least * share * item.count, inf, {d: 1.0, len(demands) + s: share})
    if not lp.solve():
        return AreaBound(0, np.zeros(len(demands)))
    bound = max(0, int(lp.objective * scale * (1 - 1e-6)) - 1)
    return AreaBound(bound, np.maximum(0.0, lp.duals[: len(demands)]) * scale)


def usable_cells(item: StockItem) -> int:
    """Return an upper bound on the cells that blanks of one copy may take."""
    return max(1, (item.x1 - item.x0) * (item.ny - int(item.near.min())))


def least_value(item: StockItem) -> float:
    """Return what a whole copy's usable cells cost at the least, shared out evenly."""
    whole = float(item.value)
    # A blank may lie on cells that earn no credit, so all cells count here.
    credited = float(item.cell_credit) * float(item.nx * item.ny + item.beyond)
    room = usable_cells(item)
    per_cell = max(0.0, (whole - credited) / room + float(item.cell_credit))
    return min(whole, per_cell * room)


def alone(problem: Problem) -> NDArray[np.float64]:
    """Return what each blank costs at the most: the cheapest stock item it fits, all for itself."""
    least = np.full(len(problem.demands), np.inf)
    for item in problem.stock:
        for option in item.options:
            least[option.demand] = min(least[option.demand], float(item.value))
    return np.where(np.isfinite(least), least, 0.0)
