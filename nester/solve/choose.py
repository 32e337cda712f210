"""Choosing among many known layouts: the master problem as an integer programme."""

from collections.abc import Sequence
from contextlib import suppress

import pulp

from nester.problem import Problem
from nester.solve.columns import Column


def choose(
    problem: Problem,
    columns: Sequence[Column],
    seconds: float,
    nodes: int,
    under: int | None = None,
) -> list[Column] | None:
    """Return the cheapest choice of ``columns`` that places all demands, or None.

    What costs as much as ``under`` [ticks] is of no interest.

    minimise   the cost of the layouts chosen
    such that  each demand is given at least as often as asked (more is cut no further: waste), and
               each stock item is used at most as often as there are copies.

    ``nodes`` keeps the answer the same on every machine; ``seconds`` is a last resort.
    """
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
            return None
        model += (pulp.lpSum(gives) >= demand.copies, f"demand{d}")
    for s, item in enumerate(problem.stock):
        uses = [x for c, x in zip(columns, taken, strict=True) if c.stock == s]
        if uses:
            model += (pulp.lpSum(uses) <= item.count, f"stock{s}")
    solver = pulp.HiGHS(msg=False, timeLimit=seconds, threads=1, mip_max_nodes=nodes)
    with suppress(KeyError):
        # PuLP has no word for a stop by node limit; the values are there, and are looked at below.
        model.solve(solver)
    values = [x.value() for x in taken]
    if any(v is None for v in values):
        return None
    chosen: list[Column] = []
    for column, value in zip(columns, values, strict=True):
        chosen.extend([column] * round(value))
    return chosen if _holds(problem, chosen) else None


def _holds(problem: Problem, chosen: Sequence[Column]) -> bool:
    """Check the answer itself: a solver's word alone is not enough."""
    for d, demand in enumerate(problem.demands):
        if sum(c.counts[d] for c in chosen) < demand.copies:
            return False
    return all(
        sum(c.stock == s for c in chosen) <= item.count for s, item in enumerate(problem.stock)
    )
