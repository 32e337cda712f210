"""A quick bound by whole pieces: the cheapest stock that has room for all blanks.

Blanks take area with their kerfs, as in ``area``, but stock is bought by the piece. That is a
covering knapsack, solved in steps of area (Bellman 1957, "Dynamic programming"); with a few boards
to choose from, costs jump by more than all that pricing gains.
"""

import numpy as np

from nester.problem import Problem
from nester.solve.bound.area import least_anywhere, most_credited, usable_cells

STEPS = 20_000
"""Steps of area: blanks are rounded down to them, stock up."""


def whole_bound(problem: Problem) -> int:
    """Return what whole pieces with room for all demands cost at the least [ticks].

    It proves nothing, so is 0, where stock is too small by area.
    """
    return max(_whole(problem, kerfs) for kerfs in (False, True))


def _whole(problem: Problem, kerfs: bool) -> int:
    copies = np.array([d.copies for d in problem.demands], np.int64)
    given = {option.demand for item in problem.stock for option in item.options}
    if len(given) < len(copies):
        return 0
    need = int(least_anywhere(problem.stock, len(copies), kerfs) @ copies)
    step = max(1, need // STEPS)
    wanted = need // step
    costs = np.full(wanted + 1, np.inf)  # of room for so many steps of blanks, without blanks
    costs[0] = 0.0
    for item in problem.stock:
        room = usable_cells(item, kerfs)
        rest = float(item.value) - float(item.cell_credit) * most_credited(item, room)
        most = min(item.count, -(-need // room))
        for number in _parts(most):
            taken = min(wanted, -(-room * number // step))
            added = np.concatenate([np.full(taken, costs[0]), costs[: wanted + 1 - taken]])
            costs = np.minimum(costs, added + rest * number)
    if not np.isfinite(costs[wanted]):
        return 0
    # What blanks take earns no credit, at the least of all rates.
    rate = min((float(item.cell_credit) for item in problem.stock), default=0.0)
    return max(0, int((costs[wanted] + rate * need) * (1 - 1e-9)) - 1)


def _parts(number: int) -> list[int]:
    """Return numbers of which any up to ``number`` is a sum."""
    parts, part = [], 1
    while number > 0:
        parts.append(min(part, number))
        number -= parts[-1]
        part *= 2
    return parts
