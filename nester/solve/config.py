"""A plan's choices: how each match is made and which blanks are glued up from which strips."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.problem.choice import Choice
from nester.solve.columns import Column
from nester.solve.together import Seats, seats

Merit: TypeAlias = tuple[int, int, int, int, int]
"""Missing copies, finished area missing, broken corners, cost, strips: the smaller the better.

They count in this order. Where corners have a price, they are in the cost and not before it.
"""


@dataclass(frozen=True, slots=True)
class Config:
    """``ways[choice][set]`` are the arcs that a set of a match is made of, empty where of none.

    ``panels[glue]`` are the panels that are glued up, each by the kinds of its strips.
    """

    ways: tuple[tuple[tuple[int, ...], ...], ...] = ()
    panels: tuple[tuple[tuple[int, ...], ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What layouts come to under a configuration.

    ``lost[choice][set]``: the arcs that have no blank. ``unmade[glue]``: panels that lack strips,
    by their place. ``missing[d]``: single blanks that are lacking of those always wanted.
    """

    merit: Merit
    broken: int
    lost: tuple[tuple[tuple[int, ...], ...], ...]
    unmade: tuple[tuple[int, ...], ...]
    missing: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Mix:
    """Layouts and the choices that they serve; ``columns`` count kinds of the whole problem."""

    columns: tuple[Column, ...]
    config: Config
    outcome: Outcome

    @property
    def merit(self) -> Merit:
        """How good it is; the smaller the better."""
        return self.outcome.merit

    @property
    def cost(self) -> int:
        """What it costs, broken corners included where they have a price [ticks]."""
        return self.outcome.merit[3]

    @property
    def complete(self) -> bool:
        """Whether nothing is missing."""
        return self.outcome.merit[0] == 0

    @property
    def missing(self) -> tuple[int, ...]:
        """Blanks lacking of those always wanted, by kind."""
        return self.outcome.missing


def wanted(problem: Problem, config: Config) -> NDArray[np.int64]:
    """Return how many blanks of each kind a configuration asks for."""
    copies = made(problem, config)
    for glue, panels in zip(problem.glues, config.panels, strict=True):
        copies[glue.demand] -= len(panels)
        for strips in panels:
            for kind in strips:
                copies[kind] += 1
    return copies


def made(problem: Problem, config: Config) -> NDArray[np.int64]:
    """Return how many blanks of each kind are asked for, whether cut in one piece or glued up."""
    copies = np.array([d.copies for d in problem.demands], np.int64)
    for choice, sets in zip(problem.choices, config.ways, strict=True):
        for arcs in sets:
            for a in arcs:
                copies[choice.arcs[a].demand] += 1
    return copies


def mix(problem: Problem, columns: Sequence[Column], config: Config) -> Mix:
    """Return what layouts come to; blanks beyond what is asked for are no help and no harm."""
    got = Counter[int]()
    cost = 0
    for column in columns:
        cost += column.cost
        for d, count in enumerate(column.counts):
            if count:
                got[d] += count
    found = seats(problem, columns)
    return Mix(tuple(columns), config, outcome(problem, got, cost, config, found))


def outcome(
    problem: Problem, got: Counter[int], cost: int, config: Config, found: Seats
) -> Outcome:
    """Return what blanks (``got`` by kind) and their cost come to under a configuration."""
    have = Counter(got)
    unmade = []
    for glue, panels in zip(problem.glues, config.panels, strict=True):
        short = []
        for i, strips in enumerate(panels):
            need = Counter(strips)
            if all(have[kind] >= count for kind, count in need.items()):
                have.subtract(need)
                have[glue.demand] += 1
            else:
                short.append(i)
        unmade.append(tuple(short))
    count = area = broken = 0
    missing = []
    apart = Counter[int]()  # blanks that are no use, as the set they belong to is not whole
    for own, sets in zip(problem.together, found.homes, strict=True):
        for homes in sets:
            if own.required and None in homes:
                apart.update(own.kinds)
    for d, demand in enumerate(problem.demands):
        lacking = max(0, demand.copies - apart[d] - have[d]) + apart[d]
        have[d] -= demand.copies - lacking
        missing.append(lacking)
        count += lacking
        area += lacking * demand.area
    lost = []
    price = 0
    for choice, sets in zip(problem.choices, config.ways, strict=True):
        gone = []
        for arcs in sets:
            off, bad = _lost(problem, choice, arcs, have)
            gone.append(off)
            count += choice.slots if not arcs else sum(choice.arcs[a].count for a in off)
            area += (
                choice.area
                if not arcs
                else sum(problem.demands[choice.arcs[a].demand].area for a in off)
            )
            broken += bad
            price += bad * choice.penalty
        lost.append(tuple(gone))
    for own, bad in zip(problem.together, found.broken(problem), strict=True):
        broken += bad
        price += bad * own.penalty
    used = sum(len(strips) for panels in config.panels for strips in panels)
    merit = (count, area, 0 if problem.corners_have_a_price else broken, cost + price, used)
    return Outcome(merit, broken, tuple(lost), tuple(unmade), tuple(missing))


def _lost(
    problem: Problem, choice: Choice, arcs: tuple[int, ...], have: Counter[int]
) -> tuple[tuple[int, ...], int]:
    """Return the arcs of a set that have no blank, and the corners that are broken."""
    if not arcs:
        return (), corners(choice)
    off = []
    for a in arcs:
        kind = choice.arcs[a].demand
        if have[kind] > 0:
            have[kind] -= 1
        else:
            off.append(a)
    broken = sum(choice.arcs[a].broken for a in arcs) - choice.free
    broken += sum(choice.arcs[a].count - choice.arcs[a].broken for a in off)
    return tuple(off), broken


def corners(choice: Choice) -> int:
    """Return how many corners a set of a match has."""
    return choice.slots - choice.free


def least_broken(choice: Choice) -> int:
    """Return the fewest corners that any way to make a set breaks, all of them where none can."""
    from nester.solve.ways import cheapest_way

    found = cheapest_way(choice, lambda arc: 0, 1)
    return corners(choice) if found is None else found[0]
