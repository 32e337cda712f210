"""Choosing layouts, ways to make matches and panels together, as one integer programme.

Panels are not chosen from a list: each is made of any of the strips that the layouts give.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import pulp

from nester.problem import Problem
from nester.problem.choice import Glue
from nester.solve.columns import Column
from nester.solve.config import Config, mix

Ways = Sequence[Sequence[tuple[int, ...]]]
"""For each match ways to make a set of it: those to choose from."""

CLOSE = 0.003
"""An answer this close to the best is good enough: the search goes on from it."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What an answer must keep to, and how long it is looked for.

    No more corners than ``broken`` are broken, where they have no price. ``whole`` says of each
    match whose parts should share a piece of stock whether they must. ``nodes`` keeps the answer
    the same on every machine; ``seconds`` is a last resort.
    """

    broken: int
    whole: Sequence[bool]
    seconds: float
    nodes: int


@dataclass(frozen=True, slots=True)
class _Panel:
    """Whether one panel is made, and how many strips of each kind it takes."""

    made: Any
    strips: Mapping[int, Any]


def choose_mixed(
    problem: Problem, columns: Sequence[Column], ways: Ways, limits: Limits
) -> tuple[list[Column], Config] | None:
    """Return the cheapest choice of layouts with the ways and panels they serve, or None.

    minimise   the cost of the layouts chosen and of broken corners, where those have a price
    such that  each kind of blank is given at least as often as it is asked for, always or by the
               ways and panels chosen; each set of a match is made in one way; the strips of each
               panel are wide enough together; no stock item is used too often.
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
    scale = max((c.cost for c in columns), default=1) or 1
    gives: dict[int, list[Any]] = {}
    for column, x in zip(columns, taken, strict=True):
        for d, count in enumerate(column.counts):
            if count:
                gives.setdefault(d, []).append(count * x)
    cut = set(gives)
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
    glued = [_panels(model, problem, g, cut) for g in range(len(problem.glues))]
    for glue, panels in zip(problem.glues, glued, strict=True):
        for panel in panels:
            gives.setdefault(glue.demand, []).append(panel.made)
            for kind, number in panel.strips.items():
                gives.setdefault(kind, []).append(-1 * number)
    model += (pulp.lpSum(cost), "cost")
    for d, demand in enumerate(problem.demands):
        if d in gives:
            model += (pulp.lpSum(gives[d]) >= demand.copies, f"demand{d}")
        elif demand.copies:
            return None
    if corners and not problem.corners_have_a_price:
        model += (pulp.lpSum(corners) <= limits.broken, "corners")
    for t, own in enumerate(problem.together):
        need = Counter(own.kinds)
        hold = [x for c, x in zip(columns, taken, strict=True) if _holds(c, need)]
        if limits.whole[t] and hold:
            model += (pulp.lpSum(hold) >= len(own.parts), f"together{t}")
    for s, item in enumerate(problem.stock):
        uses = [x for c, x in zip(columns, taken, strict=True) if c.stock == s]
        if uses:
            model += (pulp.lpSum(uses) <= item.count, f"stock{s}")
    solver = pulp.HiGHS(
        msg=False,
        gapRel=CLOSE,
        timeLimit=limits.seconds,
        threads=1,
        mip_max_nodes=limits.nodes,
    )
    with suppress(KeyError):
        # PuLP has no word for a stop by node limit; the values are there all the same.
        model.solve(solver)
    if any(v.value() is None for v in model.variables()):
        return None
    chosen = [c for c, x in zip(columns, taken, strict=True) for _ in _times(x)]
    if any(sum(c.stock == s for c in chosen) > item.count for s, item in enumerate(problem.stock)):
        return None
    config = Config(
        tuple(
            tuple(sorted(w for w, y in zip(ways[c], made[c], strict=True) for _ in _times(y)))
            for c in range(len(problem.choices))
        ),
        tuple(_made(glue, own) for glue, own in zip(problem.glues, glued, strict=True)),
    )
    # A solver's word alone is not enough, least of all where it was stopped.
    whole = all(
        len(sets) == choice.copies
        for sets, choice in zip(config.ways, problem.choices, strict=True)
    )
    return (chosen, config) if whole and mix(problem, chosen, config).complete else None


def _panels(model: Any, problem: Problem, g: int, cut: set[int]) -> list[_Panel]:
    """Return the panels of one kind that may be made, from any strips that are ``cut``."""
    glue = problem.glues[g]
    most = problem.demands[glue.demand].copies + sum(
        choice.copies * sum(arc.demand == glue.demand for arc in choice.arcs)
        for choice in problem.choices
    )
    own = [(kind, width) for kind, width in glue.strips if kind in cut]
    panels: list[_Panel] = []
    for i in range(most if own else 0):
        made = model.add_variable(f"p{g}_{i}", 0, 1, "Integer")
        strips = {
            kind: model.add_variable(f"s{g}_{i}_{kind}", 0, glue.most, "Integer") for kind, _ in own
        }
        wide = pulp.lpSum((w - glue.per_strip) / glue.need * strips[kind] for kind, w in own)
        number = pulp.lpSum(strips.values())
        model += (wide >= made, f"wide{g}_{i}")
        model += (number <= glue.most * made, f"most{g}_{i}")
        model += (number >= 2 * made, f"two{g}_{i}")
        if panels:
            model += (made <= panels[-1].made, f"after{g}_{i}")
        panels.append(_Panel(made, strips))
    return panels


def _made(glue: Glue, panels: Sequence[_Panel]) -> tuple[tuple[int, ...], ...]:
    """Return the panels that are made and wide enough, each by the kinds of its strips."""
    width_of = dict(glue.strips)
    found = []
    for panel in panels:
        strips = [kind for kind, number in panel.strips.items() for _ in _times(number)]
        wide = sum(width_of[kind] - glue.per_strip for kind in strips)
        # A solver's word alone is not enough: it counts in fractions.
        if round(panel.made.value()) and wide >= glue.need and 2 <= len(strips) <= glue.most:
            found.append(tuple(strips))
    return tuple(sorted(found))


def _holds(column: Column, need: Mapping[int, int]) -> bool:
    return all(column.counts[kind] >= count for kind, count in need.items())


def _times(variable: Any) -> range:
    return range(round(variable.value()))
