"""Ruin and recreate: take a few layouts apart and place their blanks anew.

After Schrimpf et al. (2000), "Record breaking optimization results using the ruin and recreate
principle"; the recreating is done by beam search, so a small part of the plan is planned well.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column
from nester.solve.offered import chosen_stock, classes_of
from nester.solve.pack import Manner, pack
from nester.solve.plans import Draft, copies_used, draft

BIASES = (0.0, 0.0, 0.0, 0.0, 0.3)
POWERS = (1.0, 1.0, 1.0, 1.1)
NOISES = (0.0, 0.003, 0.003, 0.01, 0.01, 0.03)
AHEADS = (0, 1, 3, 7)

SIZES = (1, 2, 2, 2, 3, 3, 3, 4, 4, 5)
"""How many layouts are taken apart, as often as they stand here. Where there are fewer, all are."""

FILLED = 0.4
"""How often stock is offered that the blanks would use up more closely."""

LEAST_WORK = 2_000
"""Counted for every attempt, so that a run limited by work ends however small its problem is."""


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard one attempt tries: placings a level times levels, about."""

    placings: int


@dataclass(frozen=True, slots=True)
class Attempt:
    """What one attempt came to: the new draft, the columns it found, and its work."""

    draft: Draft
    columns: tuple[Column, ...]
    work: int


def attempt(
    problem: Problem,
    found: Arrays,
    now: Draft,
    weight: NDArray[np.float64],
    detour: int,
    effort: Effort,
    seed: int,
) -> Attempt:
    """Take some of the draft's layouts apart and return the draft with their blanks placed anew.

    What comes back costs at most about ``detour`` ticks more.
    """
    rng = np.random.default_rng(seed)
    freed = _ruin(problem, now, rng)
    kept = [c for i, c in enumerate(now.columns) if i not in freed]
    copies = found.copies - copies_used(problem, kept)
    wanted = np.array(draft(problem, kept).missing, np.int16)
    if now.complete and rng.random() < FILLED:
        order = _filled_up(problem, found, wanted, now, freed, copies, rng)
    else:
        order = _order(problem, found, now, freed, copies, rng)
    manner = _manner(problem, wanted, order, effort, rng)
    shaken = weight ** POWERS[rng.integers(len(POWERS))]
    spent = sum(now.columns[i].cost for i in freed)
    limit = float(spent + detour) if now.complete else np.inf
    packed = pack(problem, found, wanted, shaken / shaken.sum(), copies, order, manner, limit)
    work = packed.work + LEAST_WORK
    return Attempt(draft(problem, [*kept, *packed.columns]), packed.columns, work)


def _ruin(problem: Problem, now: Draft, rng: np.random.Generator) -> set[int]:
    """Return up to five layouts to take apart, wasteful ones more often than others."""
    n = len(now.columns)
    if n == 0:
        return set()
    chances = _emptiness(problem, now) if rng.random() < 0.5 else None
    size = min(n, SIZES[rng.integers(len(SIZES))])
    return {int(i) for i in rng.choice(n, size=size, replace=False, p=chances)}


def _emptiness(problem: Problem, now: Draft) -> NDArray[np.float64]:
    """Return chances in proportion to the money that each layout spends on no part."""
    areas = np.array([d.area for d in problem.demands], np.float64)
    spent = np.array([max(c.cost, 1) for c in now.columns], np.float64)
    gives = np.array([float(np.dot(areas, c.counts)) for c in now.columns])
    rate = spent.sum() / max(gives.sum(), 1.0)
    waste = np.maximum(spent - 0.7 * rate * gives, 0.02 * spent)
    chances: NDArray[np.float64] = waste / waste.sum()
    return chances


def _order(
    problem: Problem,
    found: Arrays,
    now: Draft,
    freed: set[int],
    copies: NDArray[np.int16],
    rng: np.random.Generator,
) -> NDArray[np.int32]:
    """Return the classes to open, the freed stock among a few others, in a shaken order."""
    mine = {now.columns[i].stock for i in freed}
    others = [s for s in range(len(problem.stock)) if copies[s] > 0 and s not in mine]
    take = min(len(others), int(rng.integers(0, 4)) if now.complete else len(others))
    if others and take:
        mine |= {int(s) for s in rng.choice(others, size=take, replace=False)}
    stocks = sorted(mine)
    rng.shuffle(stocks)
    return classes_of(found, stocks)


def _filled_up(
    problem: Problem,
    found: Arrays,
    wanted: NDArray[np.int16],
    now: Draft,
    freed: set[int],
    copies: NDArray[np.int16],
    rng: np.random.Generator,
) -> NDArray[np.int32]:
    """Return the classes of stock that the blanks would use up, and then one item more."""
    taken = int(found.takes @ wanted)
    stock = [now.columns[i].stock for i in sorted(freed)]
    spent = sum(now.columns[i].cost for i in freed)
    chosen = chosen_stock(problem, found, taken, stock, spent, copies, rng)
    others = [s for s in range(len(copies)) if copies[s] > chosen.count(s)]
    spare = [int(rng.choice(others))] if others else []
    return classes_of(found, [*dict.fromkeys([*chosen, *spare])])


def _manner(
    problem: Problem,
    demand: NDArray[np.int16],
    order: NDArray[np.int32],
    effort: Effort,
    rng: np.random.Generator,
) -> Manner:
    kinds = int((demand > 0).sum())
    blanks = int(demand.sum())
    width = effort.placings // max(1, kinds * blanks)
    crooked = any(int(item.near[-1]) > int(item.near[0]) for item in problem.stock)
    return Manner(
        width=int(np.clip(width, 2, 2000)),
        bias=BIASES[rng.integers(len(BIASES))],
        slack=0.0,
        open_most=max(2, len(order)) if rng.random() < 0.5 else 2,
        near_slack=int(rng.integers(0, 3)) if crooked else 0,
        leave=bool(rng.random() < 0.05),
        noise=NOISES[rng.integers(len(NOISES))],
        seed=int(rng.integers(2**31)),
        ahead=AHEADS[rng.integers(len(AHEADS))],
    )
