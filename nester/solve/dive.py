"""Diving: layouts that a linear master programme takes most of are cut out first, one by one.

What pricing proposes for a stock item is only a count of blanks: flaws, stages or demands may be
left out of it. So each proposal is packed anew by beam search, and what did not fit goes on to the
next. After Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa (2019), "Primal heuristics for branch and
price"; where pricing is quick, it is done again on the way for what is still to be cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column
from nester.solve.correct import CELLS_A_PLACING, FEW_SUMS, FILLING, Fillers
from nester.solve.lp import GrowingLp
from nester.solve.pack import Manner, pack
from nester.solve.plans import Draft, draft
from nester.solve.proposal import Proposal, Proposing

WIDTH = 60
"""Nodes a level where one proposal is packed."""

MOST_PRICINGS = 12
"""Rounds of pricing after each cut."""

PLACINGS_A_MASTER = 2_500
"""Placings of the beam search that take the time of one solution of the master."""

FIRST_PRICINGS = 200
"""Rounds of filling before the first cut, where the layouts are filled."""

NEVER = 1e3
"""The price of a proposal of which nothing can be cut any more, in parts of the dearest item."""

REST_WIDTH = 200
"""Nodes a level where the rest is packed at the end."""


@dataclass(frozen=True, slots=True)
class Dived:
    """The plan that a dive came to, the layouts it found, and its work [placings tried]."""

    draft: Draft
    columns: tuple[Column, ...]
    work: int


class _Dive:
    def __init__(
        self,
        problem: Problem,
        found: Arrays,
        weight: NDArray[np.float64],
        groups: Sequence[tuple[int, ...]],
        fillers: Fillers | None,
    ) -> None:
        self.problem, self.found, self.weight, self.groups = problem, found, weight, groups
        self.fillers = fillers
        self.layouts: dict[tuple[int, bytes], Column] = {}
        self.prices = np.ones(len(problem.demands), np.int64)
        self.left = np.array([d.copies for d in problem.demands], np.int64)
        self.copies = [problem.stock[s].count for s in range(len(problem.stock))]
        self.made: list[Column] = []
        self.work = 0
        self.packed: dict[tuple[int, bytes], tuple[Column, ...]] = {}

    def cut(self, proposal: Proposal) -> bool:
        """Cut a proposal from a piece that is left, as far as it fits; False where nothing came."""
        want = np.minimum(proposal.counts, self.left).astype(np.int16)
        stock = next((s for s in self.groups[proposal.group] if self.copies[s] > 0), None)
        if stock is None or not want.any():
            return False
        key = (stock, want.tobytes())
        layout = self.layouts.get((proposal.group, want.astype(np.int64).tobytes()))
        if layout is None and self.fillers is not None:
            layout = self._filled(proposal.group, want.astype(np.int64))
        if layout is not None:
            self._take(replace(layout, stock=stock))
            return True
        if key not in self.packed:
            copies = np.zeros(len(self.problem.stock), np.int16)
            copies[stock] = 1
            self.packed[key] = self._pack(want, copies, [stock], WIDTH)
        got = self.packed[key]
        for column in got:
            self._take(column)
        return bool(got)

    def know(self, column: Column) -> None:
        """Take a layout over as one that may be cut as it is."""
        group = next(g for g, group in enumerate(self.groups) if column.stock in group)
        self.layouts[group, np.array(column.counts, np.int64).tobytes()] = column

    def known(self) -> list[Proposal]:
        """Return the layouts that are known as proposals."""
        return [
            Proposal(group, np.array(column.counts, np.int64), column.cost)
            for (group, _), column in self.layouts.items()
        ]

    def proposals(self, prices: NDArray[np.int64]) -> list[Proposal]:
        """Return a layout of each group for what is left, filled at prices [ticks]."""
        self.prices = np.maximum(prices, 1)
        made = []
        for g in range(len(self.groups)):
            layout = self._filled(g, self.left)
            if layout is not None:
                made.append(Proposal(g, np.array(layout.counts, np.int64), layout.cost))
        return made

    def _filled(self, group: int, wanted: NDArray[np.int64]) -> Column | None:
        assert self.fillers is not None
        layout, work = self.fillers.fill[group](self.prices, wanted, FEW_SUMS)
        self.work += (work + FILLING) // CELLS_A_PLACING
        if layout is not None:
            counts = np.array(layout.counts, np.int64)
            self.layouts[group, counts.tobytes()] = layout
        return layout

    def rest(self) -> None:
        """Pack what is left into whatever stock is left."""
        if not self.left.any():
            return
        stocks = [s for s, n in enumerate(self.copies) if n > 0]
        rate = {s: self.problem.stock[s].value / max(1, _cells(self.problem, s)) for s in stocks}
        stocks.sort(key=lambda s: (rate[s], s))
        copies = np.array(self.copies, np.int16)
        for column in self._pack(self.left.astype(np.int16), copies, stocks, REST_WIDTH):
            self._take(column)

    def _take(self, column: Column) -> None:
        self.made.append(column)
        self.copies[column.stock] -= 1
        self.left = np.maximum(0, self.left - np.array(column.counts, np.int64))

    def _pack(
        self, want: NDArray[np.int16], copies: NDArray[np.int16], stocks: Sequence[int], width: int
    ) -> tuple[Column, ...]:
        place = {s: i for i, s in enumerate(stocks)}
        order = [
            c
            for c, direction in enumerate(self.found.directions)
            if direction.stock in place and not direction.bound_only
        ]
        order.sort(key=lambda c: (place[self.found.directions[c].stock], c))
        if not order:
            return ()
        packed = pack(
            self.problem,
            self.found,
            want,
            self.weight,
            copies,
            np.array(order, np.int32),
            Manner(width, open_most=3),
        )
        self.work += packed.work
        return packed.columns


def dive(
    problem: Problem,
    found: Arrays,
    weight: NDArray[np.float64],
    groups: Sequence[tuple[int, ...]],
    proposals: Sequence[Proposal],
    dear: NDArray[np.float64],
    scale: float,
    again: Proposing | None = None,
    rng: np.random.Generator | None = None,
    fillers: Fillers | None = None,
    layouts: Sequence[Column] = (),
) -> Dived:
    """Return the plan that comes of cutting out what the master takes most of, again and again.

    ``dear`` is what a blank costs in the master where no proposal gives it; like all its costs in
    parts of ``scale`` [ticks]. ``again`` prices on the way. With ``rng`` what is taken is shaken.
    Where there are ``fillers`` they make layouts on the way, beside ``layouts`` that are known.
    """
    state = _Dive(problem, found, weight, groups, fillers)
    for column in layouts:
        state.know(column)
    known = [*proposals, *state.known()]
    n = len(problem.demands)
    lp = GrowingLp(
        [*(float(c) for c in state.left), *(0.0 for _ in groups)],
        [*(np.inf for _ in range(n)), *(float(_count(state, g)) for g in range(len(groups)))],
    )
    for d in range(n):
        lp.add(float(dear[d]), np.inf, {d: 1.0})
    for proposal in known:
        _add(lp, proposal, n, scale)
    dead: set[int] = set()  # nothing more can be cut of these
    seen = {_key(proposal) for proposal in known}
    while state.left.any() and lp.solve():
        state.work += PLACINGS_A_MASTER
        if again is not None or fillers is not None:
            rounds = MOST_PRICINGS if state.made or fillers is None else FIRST_PRICINGS
            _price(lp, state, known, seen, again, scale, rounds)
        values = lp.values[n:]
        some = [int(i) for i in np.flatnonzero(values > 1e-6) if int(i) not in dead]
        if not some:
            break
        whole = [(i, int(values[i] + 1e-6)) for i in some if values[i] > 1 - 1e-6]
        shaken = values if rng is None else values * rng.uniform(0.6, 1.0, len(values))
        for i, times in whole or [(max(some, key=lambda i: (shaken[i], -i)), 1)]:
            for _ in range(times):
                if not state.cut(known[i]):
                    dead.add(i)
                    lp.set_cost(n + i, NEVER)
                    break
        for d in range(n):
            lp.set_row(d, float(state.left[d]), np.inf)
        for g in range(len(groups)):
            lp.set_row(n + g, 0.0, float(_count(state, g)))
    state.rest()
    columns = (*state.layouts.values(), *state.made)
    return Dived(draft(problem, state.made), columns, state.work)


def _add(lp: GrowingLp, proposal: Proposal, demands: int, scale: float) -> None:
    entries = {d: float(c) for d, c in enumerate(proposal.counts) if c}
    lp.add(proposal.cost / scale, np.inf, {**entries, demands + proposal.group: 1.0})


def _key(proposal: Proposal) -> tuple[int, bytes]:
    return proposal.group, proposal.counts.tobytes()


def _price(
    lp: GrowingLp,
    state: _Dive,
    known: list[Proposal],
    seen: set[tuple[int, bytes]],
    again: Proposing | None,
    scale: float,
    rounds: int,
) -> None:
    """Let pricing add to the master until nothing is better, or for some rounds."""
    n = len(state.left)
    for _ in range(rounds):
        duals = lp.duals
        prices = np.floor(np.maximum(0.0, duals[:n]) * scale).astype(np.int64)
        offered = [*again(prices, state.left)] if again is not None else []
        if state.fillers is not None:
            offered += state.proposals(prices)
        fresh = [
            p
            for p in offered
            if _key(p) not in seen
            and p.cost / scale - float(duals[:n] @ p.counts) - float(duals[n + p.group]) < -1e-7
        ]
        if not fresh:
            return
        for proposal in fresh:
            _add(lp, proposal, n, scale)
        known += fresh
        seen |= {_key(proposal) for proposal in fresh}
        state.work += PLACINGS_A_MASTER
        if not lp.solve():
            return


def _count(state: _Dive, group: int) -> int:
    return sum(state.copies[s] for s in state.groups[group])


def _cells(problem: Problem, stock: int) -> int:
    return int(problem.stock[stock].credit[-1, -1])
