"""Choosing layouts, ways to make matches and panels together, as one integer programme."""

from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import pulp

from nester.problem import Problem
from nester.solve.columns import Column
from nester.solve.config import Config

Ways = Sequence[Sequence[tuple[int, ...]]]
"""For each match ways to make a set of it, for each glue panels: those to choose from."""


CLOSE = 0.003
"""An answer this close to the best is good enough: the search goes on from it."""


def choose_mixed(
    problem: Problem,
    columns: Sequence[Column],
    ways: Ways,
    panels: Ways,
    broken: int,
    seconds: float,
    nodes: int,
) -> tuple[list[Column], Config] | None:
    """Return the cheapest choice of layouts with the ways and panels they serve, or None.

    minimise   the cost of the layouts chosen and of broken corners, where those have a price
    such that  each kind of blank is given at least as often as it is asked for, always or by the
               ways and panels chosen; each set of a match is made in one way; no more corners than
               ``broken`` are broken, where they have no price; no stock item is used too often.

    ``nodes`` keeps the answer the same on every machine; ``seconds`` is a last resort.
    """
    model = pulp.LpProblem("mixed", pulp.LpMinimize)
    taken = [
        model.add_variable(f"x{i}", 0, problem.stock[c.stock].count, "Integer")
        for i, c in enumerate(columns)
    ]
    made = [
        [model.add_variable(f"w{c}_{i}", 0, choice.copies, "Integer") for i in range(len(ways[c]))]
        for c, choice in enumerate(problem.choices)
    ]
    glued = [
        [model.add_variable(f"p{g}_{i}", 0, None, "Integer") for i in range(len(panels[g]))]
        for g in range(len(problem.glues))
    ]
    scale = max((c.cost for c in columns), default=1) or 1
    gives: dict[int, list[Any]] = {}
    for column, x in zip(columns, taken, strict=True):
        for d, count in enumerate(column.counts):
            if count:
                gives.setdefault(d, []).append(count * x)
    cost = [c.cost / scale * x for c, x in zip(columns, taken, strict=True)]
    corners: list[Any] = []
    for c, choice in enumerate(problem.choices):
        for way, y in zip(ways[c], made[c], strict=True):
            bad = sum(choice.arcs[a].broken for a in way) - choice.free
            cost.append(bad * choice.penalty / scale * y)
            corners.append(bad * y)
            for a in way:
                gives.setdefault(choice.arcs[a].demand, []).append(-1 * y)
        model += (pulp.lpSum(made[c]) == choice.copies, f"sets{c}")
    for g, glue in enumerate(problem.glues):
        for strips, p in zip(panels[g], glued[g], strict=True):
            gives.setdefault(glue.demand, []).append(p)
            for kind, count in Counter(strips).items():
                gives.setdefault(kind, []).append(-count * p)
    model += (pulp.lpSum(cost), "cost")
    for d, demand in enumerate(problem.demands):
        if d in gives:
            model += (pulp.lpSum(gives[d]) >= demand.copies, f"demand{d}")
        elif demand.copies:
            return None
    if corners and not problem.corners_have_a_price:
        model += (pulp.lpSum(corners) <= broken, "corners")
    for s, item in enumerate(problem.stock):
        uses = [x for c, x in zip(columns, taken, strict=True) if c.stock == s]
        if uses:
            model += (pulp.lpSum(uses) <= item.count, f"stock{s}")
    solver = pulp.HiGHS(msg=False, gapRel=CLOSE, timeLimit=seconds, threads=1, mip_max_nodes=nodes)
    with suppress(KeyError):
        # PuLP has no word for a stop by node limit; the values are there all the same.
        model.solve(solver)
    if any(v.value() is None for v in model.variables()):
        return None
    chosen = [c for c, x in zip(columns, taken, strict=True) for _ in range(round(x.value()))]
    if any(sum(c.stock == s for c in chosen) > item.count for s, item in enumerate(problem.stock)):
        return None
    config = Config(
        tuple(
            tuple(sorted(w for w, y in zip(ways[c], made[c], strict=True) for _ in _times(y)))
            for c in range(len(problem.choices))
        ),
        tuple(
            tuple(sorted(p for p, z in zip(panels[g], glued[g], strict=True) for _ in _times(z)))
            for g in range(len(problem.glues))
        ),
    )
    if any(
        len(sets) != choice.copies
        for sets, choice in zip(config.ways, problem.choices, strict=True)
    ):
        return None
    return chosen, config


def _times(variable: Any) -> range:
    return range(round(variable.value()))
