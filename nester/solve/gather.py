"""Bringing parts that should come from one piece of stock into one layout."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.problem.choice import Together
from nester.solve.arrays import Arrays
from nester.solve.columns import Column
from nester.solve.pack import Manner, pack, total
from nester.solve.working import Working

WIDTHS = (8, 32)


def gathered(
    here: Working,
    columns: Sequence[Column],
    own: Together,
    rng: np.random.Generator,
) -> tuple[list[Column], int]:
    """Return layouts in which one set of ``own`` lies on one piece of stock, and the work it took.

    ``columns`` are the layouts so far, in the numbers of ``here``. Where the set does not fit on
    the stock that was picked, the layouts returned leave blanks out; where some of its blanks are
    not wanted at all, nothing changes.
    """
    place = {d: i for i, d in enumerate(here.demands)}
    if any(kind not in place for kind in own.kinds):
        return list(columns), 0  # some are not cut at all as things are chosen now
    mine = np.zeros(len(here.demands), np.int16)
    for kind in own.kinds:
        mine[place[kind]] += 1
    plain, found = here.problem, here.found
    givers = [
        s
        for s, item in enumerate(plain.stock)
        if {option.demand for option in item.options} >= set(np.flatnonzero(mine).tolist())
    ]
    if not givers:
        return list(columns), 0
    stock = int(rng.choice(givers))
    kept = [c for c in columns if c.stock != stock and not np.any(np.array(c.counts)[mine > 0])]
    missing = _lacking(plain, kept)
    more = np.maximum(missing - mine, 0)
    taken = (more * rng.choice((0.0, 0.3, 1.0))).astype(np.int16)
    copies = found.copies.copy()
    for column in kept:
        copies[column.stock] -= 1
    work = 0
    alone = np.zeros_like(copies)
    alone[stock] = 1
    first: tuple[Column, ...] = ()
    for extra in (taken, np.zeros_like(taken)):
        demand = (mine + extra).astype(np.int16)
        packed = pack(
            plain, found, demand, here.weight, alone, _order(found, [stock]), _manner(rng)
        )
        work += packed.work
        if np.all(packed.given >= mine):
            first = packed.columns
            break
    copies[stock] -= len(first)
    left = np.maximum(missing - total(first, len(mine)), 0).astype(np.int16)
    others = [s for s in range(len(plain.stock)) if copies[s] > 0]
    rng.shuffle(others)
    rest = pack(plain, found, left, here.weight, copies, _order(found, others), _manner(rng))
    return [*kept, *first, *rest.columns], work + rest.work


def _lacking(problem: Problem, columns: Sequence[Column]) -> NDArray[np.int16]:
    wanted = np.array([d.copies for d in problem.demands], np.int16)
    lacking: NDArray[np.int16] = np.maximum(wanted - total(columns, len(wanted)), 0)
    return lacking.astype(np.int16)


def _order(found: Arrays, stocks: Sequence[int]) -> NDArray[np.int32]:
    classes = [
        c
        for s in stocks
        for c, direction in enumerate(found.directions)
        if direction.stock == s and not direction.bound_only
    ]
    return np.array(classes, np.int32)


def _manner(rng: np.random.Generator) -> Manner:
    return Manner(
        width=int(rng.choice(WIDTHS)),
        noise=float(rng.choice((0.0, 0.1))),
        seed=int(rng.integers(2**31)),
    )
