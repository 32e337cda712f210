"""Choosing among many known layouts: the master problem as an integer programme."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

import highspy
import numpy as np
import pulp

from nester.problem import Problem
from nester.solve.columns import Column
from nester.solve.lp import CELLS_A_MASTER, GrowingLp

TINY = 1e-7

CELLS_A_STEP = 55_000
CELLS_A_COLUMN = 12_000
"""Programme cells filled in the time of one step of the simplex method, and of taking in one
layout, about."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The layouts chosen, None where no choice was found, and its work [programme cells].

    ``none``: there is no choice, as far as a solver with floating point can tell.
    """

    columns: list[Column] | None
    work: int
    none: bool = False


def choose(
    problem: Problem,
    columns: Sequence[Column],
    seconds: float,
    nodes: int,
    under: int | None = None,
    near: float = 0.0,
    most: int | None = None,
) -> Chosen:
    """Return the cheapest choice of ``columns`` that places all demands, or none.

    What costs as much as ``under`` [ticks] is of no interest, nor what costs less than the choice
    found by no more than the share ``near``.

    minimise   the cost of the layouts chosen
    such that  each demand is given at least as often as asked (more is cut no further: waste), and
               each stock item is used at most as often as there are copies.

    Layouts that the linear programme shows to be too dear for that are left out at once; with
    ``under``, ``most`` is how many are chosen from, those of the least reduced cost.
    ``nodes`` keeps the answer the same on every machine; ``seconds`` is a last resort.
    """
    taking_in = CELLS_A_MASTER + len(columns) * CELLS_A_COLUMN
    within = _within_reach(problem, columns, under, most)
    if within is None:
        return Chosen(None, taking_in, none=True)
    few = most is not None and len(columns) > most
    columns = within
    model = pulp.LpProblem("layouts", pulp.LpMinimize)
    taken = [
        model.add_variable(f"x{i}", 0, problem.stock[c.stock].count, "Integer")
        for i, c in enumerate(columns)
    ]
    scale = max((c.cost for c in columns), default=1) or 1
    model += (pulp.lpSum(c.cost / scale * x for c, x in zip(columns, taken, strict=True)), "cost")
    if under is not None:
        spent = pulp.lpSum(c.cost / scale * x for c, x in zip(columns, taken, strict=True))
        model += (spent <= (under - 1) / scale, "under")
    for d, demand in enumerate(problem.demands):
        gives = [c.counts[d] * x for c, x in zip(columns, taken, strict=True) if c.counts[d]]
        if not gives:
            return Chosen(None, taking_in, none=not few)
        model += (pulp.lpSum(gives) >= demand.copies, f"demand{d}")
    for s, item in enumerate(problem.stock):
        uses = [x for c, x in zip(columns, taken, strict=True) if c.stock == s]
        if uses:
            model += (pulp.lpSum(uses) <= item.count, f"stock{s}")
    solver = pulp.HiGHS(
        msg=False,
        timeLimit=seconds,
        threads=1,
        mip_max_nodes=nodes,
        gapRel=near or None,
        mip_allow_restart=False,  # a tenth less time for the same choices
    )
    with suppress(KeyError):
        # PuLP has no word for a stop by node limit; the values are there, and are looked at below.
        model.solve(solver)
    solved = model.solverModel
    steps = max(0, int(solved.getInfo().simplex_iteration_count))
    work = taking_in + len(columns) * CELLS_A_COLUMN + steps * CELLS_A_STEP
    values = [x.value() for x in taken]
    none = bool(solved.getModelStatus() == highspy.HighsModelStatus.kInfeasible)
    if none or any(v is None for v in values):
        return Chosen(None, work, none and not few)
    chosen: list[Column] = []
    for column, value in zip(columns, values, strict=True):
        chosen.extend([column] * round(value))
    return Chosen(chosen if _holds(problem, chosen) else None, work)


def _within_reach(
    problem: Problem, columns: Sequence[Column], under: int | None, most: int | None
) -> Sequence[Column] | None:
    """Return the columns that a choice under a cost may take; None where there is no such choice.

    A column whose reduced cost is more than what is left between the linear programme and the most
    that may be spent is in no such choice. ``most``: how many there may be, of the least.
    """
    if under is None or not columns:
        return columns
    n = len(problem.demands)
    scale = float(max(c.cost for c in columns)) or 1.0
    lp = GrowingLp(
        [*(float(d.copies) for d in problem.demands), *(0.0 for _ in problem.stock)],
        [*(np.inf for _ in problem.demands), *(float(item.count) for item in problem.stock)],
    )
    for column in columns:
        entries = {d: float(count) for d, count in enumerate(column.counts) if count}
        lp.add(column.cost / scale, np.inf, {**entries, n + column.stock: 1.0})
    if not lp.solve():
        return None
    room = (under - 1) / scale - lp.objective
    if room < -TINY:
        return None
    duals = lp.duals
    counts = np.array([c.counts for c in columns], np.float64)
    costs = np.array([c.cost for c in columns], np.float64) / scale
    reduced = costs - counts @ duals[:n] - duals[[n + c.stock for c in columns]]
    near = np.argsort(reduced, kind="stable")[:most]
    return [columns[i] for i in sorted(near) if reduced[i] <= room + TINY]


def _holds(problem: Problem, chosen: Sequence[Column]) -> bool:
    """Check the answer itself: a solver's word alone is not enough."""
    for d, demand in enumerate(problem.demands):
        if sum(c.counts[d] for c in chosen) < demand.copies:
            return False
    return all(
        sum(c.stock == s for c in chosen) <= item.count for s, item in enumerate(problem.stock)
    )
