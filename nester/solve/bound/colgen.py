"""A bound by column generation and by branching on how much stock is used, true at every moment.

For any prices p >= 0 of the blanks, a plan that uses between lo and hi pieces of each kind of stock
costs at least

    sum over demands of p * copies  +  sum over stock of (hi where r < 0, else lo) * r,
    r = the least (cost - p . counts) of a layout,

the Lagrangian bound of the master programme (Gilmore and Gomory 1961; Farley 1990). Prices are
whole ticks, so it is exact in whole numbers. The master finds good prices near the best so far
(``region``); they are smoothed towards those after Wentges (1997), "Weighted Dantzig-Wolfe
decomposition". Where the master uses a fraction of a piece, two nodes follow, with no more and with
no fewer pieces (Vanderbeck 2000, "On Dantzig-Wolfe decomposition in integer programming"); pricing
stays the same.
"""

import heapq
from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.area import alone
from nester.solve.bound.drawn import drawn
from nester.solve.bound.ladder import BUDGETS, Budget, Rung, groups
from nester.solve.bound.node import NOTHING, Node
from nester.solve.bound.offers import Offers
from nester.solve.bound.over_groups import Drawing, held_back, priced_and_drawn, proposing
from nester.solve.bound.pricing import Priced
from nester.solve.bound.region import Region
from nester.solve.bound.sections import MORE
from nester.solve.columns import Column, column
from nester.solve.lp import GrowingLp
from nester.solve.proposal import Proposal, Proposing

SMOOTHING = 0.5
"""The share of the best prices so far in those asked next."""

SETTLED = 5e-4
"""A node is settled once its bound is this close to its master's value."""

NEAR = 0.04
"""Or, where it can be split, once it is so near for what is left between it and the best plan."""

NODES_A_RUNG = 40
"""Nodes looked into before the next rung, where pricing is finer and slower."""

LEAST_NODES = 6
SLOW = 0.025
"""Or as soon as the later half of at least so many has closed less than this share of the gap."""

QUICK_RUNGS = 1
"""On so many rungs it is the root alone: going on to finer pricing gains more."""

PAYS = 0.1
"""So it does from a rung whose first pricing closed more than this share of the gap; prices may go
far there."""

LOOSER = 0.01
"""A rung is left at once if it proves less than the one before, by this share."""

FEW = 8
"""Up to so many kinds of stock, the first rung can look into all ways to use them."""

NODES_OF_FEW = 300
"""How many nodes it looks into then."""

MOST_ROUNDS = 60
"""Rounds of pricing after which a node branches, settled or not."""

AHEAD = 0.003
"""How far a node may be above the lowest one before that is looked into instead."""

HELD_BACK = 0.5
NEARLY = 0.5
"""Pricing that is cut short goes on where it alone loses more than this share of what the master
promises, and that is less than this share of what is left up to the best plan."""

STEEPER = 8.0
STEEPEST = 100.0
"""How much more a blank costs that is still left out; and at the most, in prices of a plan."""


class Bounding:
    """Raises a lower bound round by round: finer rungs, then smaller nodes."""

    few = FEW
    goes_on = True  # whether a rung that gained much leads on to the next before it branches
    draws = True  # whether layouts found are drawn
    budgets: Sequence[Budget] = BUDGETS

    def __init__(
        self,
        problem: Problem,
        found: Arrays,
        prices: NDArray[np.float64],
        grouped: Sequence[tuple[int, ...]] | None = None,
    ) -> None:
        self.problem = problem
        self.found = found
        self.groups = list(grouped or groups(problem))
        self.group_of = {s: g for g, group in enumerate(self.groups) for s in group}
        self.values = [problem.stock[group[0]].value for group in self.groups]
        self.counts = tuple(sum(problem.stock[s].count for s in group) for group in self.groups)
        self.wanted = np.array([d.copies for d in problem.demands], np.int64)
        self.scale = float(max((item.value for item in problem.stock), default=1)) or 1.0
        self.dear = np.maximum(2.0 * prices, alone(problem)) / self.scale
        self.bound = 0
        self.last_work = 0
        self.expected = 0  # what the next round may take, where that is known better
        self.works = [0] * len(self.groups)
        self.rungs_left = list(self.budgets)
        self.rung: Rung | None = None
        self.rung_at = -1
        self.lp: GrowingLp | None = None
        self.came_with = 0  # what the rung before had proven for the node
        self.paid = False  # whether the first pricing of this one gained much
        self.region = Region(prices / self.scale)
        self.proposals: list[Proposal] = []
        self.drawn: list[Column] = []
        self.settled = 0
        self.serial = 0
        self.open: list[Node] = []
        self.leaves: list[Node] = []  # whole and settled: only finer pricing can raise them
        self.node = self._node(0, (0,) * len(self.counts), self.counts, np.floor(prices))
        self.rounds = 0
        self.nodes = 0
        self.reached: list[int] = []  # the bound when each of the rung's nodes was done
        self.smoothing = SMOOTHING
        self.done = False
        self.offers = Offers(self.group_of, self._counted)

    @property
    def again(self) -> bool:
        """Whether the next round looks longer at the same prices, since the last was cut short."""
        return self.node.reached == NOTHING and self.expected > self.last_work

    @property
    def next_work(self) -> int:
        """About how many programme cells the next round fills."""
        return 0 if self.rung is None else self.expected or self.rung.work

    def round(self, pool: Executor, columns: Sequence[Column], best: int) -> None:
        """Price every group once and raise the bound where that proves more.

        ``best`` is the cost of the best plan known: what must cost as much is not looked into.
        """
        if self.lp is None:
            self._climb(columns)
        if self.done or self.lp is None or self.rung is None:
            return
        self._confine()
        if not self.lp.solve() or not self._taken():
            self.done = True
            return
        master = self.lp.objective * self.scale
        duals = self.lp.duals
        first = self.node.reached == NOTHING
        confined = self.region.holds(self.lp.values, self.dear)
        asked = self._asked(duals, 1.0 if first else self.smoothing)
        known = self._known(asked)
        found = self._priced(pool, asked, known)
        self.rounds += 1
        value, fresh = self._value(asked, found, duals)
        saved = -duals[len(self.wanted) :] * self.scale
        lost = held_back(self.rung, self.node, self.values, found, saved)
        if lost > HELD_BACK * (master - value) and master - value < NEARLY * (best - value):
            self.rung.more()
        before = self.node.reached
        if value > before:
            self._keep(asked, value)
        self.node.bound = max(self.node.bound, value)
        self._raise(best)
        if first:
            self.paid = value - self.came_with > PAYS * (best - self.came_with)
            if self.paid:
                self.region.reach()
            if value < (1 - LOOSER) * self.came_with:
                if self.rung.cut and self.rung.more():
                    self.node.reached = NOTHING  # the same prices again, longer
                    self.expected *= 2 * MORE  # more at each level, and more levels
                    return
                if self._climb(columns):
                    return
        if confined and self.node.bound < best and self.rounds < MOST_ROUNDS:
            if not first:  # what the master promised was not for those prices
                near = max(SETTLED * master, NEAR * (best - self.node.bound))
                done = self.node.reached >= master - near or not fresh
                self._learn(done, fresh, master - before, value - before)
            return
        close = self.node.bound >= master * (1 - SETTLED)
        if self.node.bound >= master - NEAR * (best - self.node.bound):
            close = close or self._fractional() is not None
        settled = close or not fresh
        over = self.rounds >= max(MOST_ROUNDS, 3 * len(self.wanted))
        if self.node.bound >= best:
            self._next(columns, best)
        elif settled and self.smoothing > 0.0 and (not close or self._fractional() is None):
            self.smoothing = 0.0  # nothing but the master's own prices may prove the last of it
        elif settled and not close and not over and self.rung.more():
            pass  # the same prices again, now that more can be found out at them
        elif settled and self._steeper(best):
            self.smoothing = SMOOTHING
        elif settled or over:
            self._branch(columns, best)
        elif self.open and self.open[0].bound < self.node.bound * (1 - AHEAD):
            self._enter(heapq.heappushpop(self.open, self.node), best)
        else:
            self.smoothing = min(self.smoothing, SMOOTHING)

    def _learn(self, done: bool, fresh: bool, promised: float, gained: float) -> None:
        """Fit the region to what its prices have proven; ``done``: there is no more to it."""
        assert self.rung is not None
        if not fresh and self.rung.cut:
            # Cut short at the best prices, it may be so at all near them, and prove no more ever.
            if not (self.region.vain(promised, gained) and self.rung.more()):
                self.region.shrink()  # too far off to be looked into
        elif done:
            self.region.widen()
        else:
            self.region.learn(promised, gained)

    def offer(self, columns: Sequence[Column]) -> None:
        """Let the master programme know layouts that were found meanwhile."""
        self.offers.more(columns)

    def _taken(self) -> bool:
        """Take over the offers that look good at the master's prices; whether it is solved."""
        assert self.lp is not None
        offers = self.offers.good(self.lp.duals, self.scale)
        for offer in offers:
            self._add(offer.group, offer.cost, offer.counts)
        return not offers or self.lp.solve()

    def _counted(self, column: Column) -> NDArray[np.int64]:
        """Return how many of each blank a layout gives."""
        return np.array(column.counts, np.int64)

    def _asked(self, duals: NDArray[np.float64], smoothing: float) -> NDArray[np.int64]:
        prices = np.maximum(0.0, duals[: len(self.wanted)]) * self.scale
        prices = smoothing * self.node.prices + (1 - smoothing) * prices
        return self._sound(np.floor(prices).astype(np.int64))

    def _sound(self, prices: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return prices that the columns to choose between leave possible."""
        return prices

    def _keep(self, asked: NDArray[np.int64], value: int) -> None:
        """Go on from these prices: they prove the most so far."""
        self.node.prices, self.node.reached = asked, value

    def _priced(
        self, pool: Executor, asked: NDArray[np.int64], known: Sequence[int]
    ) -> list[Priced | None]:
        """Price every group the node may use, first those that took most work the last time."""
        assert self.rung is not None
        pricers = self.rung.pricers
        jobs = {
            g: pool.submit(priced_and_drawn, pricers[g], asked, known[g], self._drawing(g))
            for g in sorted(range(len(pricers)), key=lambda g: -self.works[g])
            if self.node.high[g] > 0
        }
        found = [jobs[g].result() if g in jobs else None for g in range(len(pricers))]
        self.works = [0 if priced is None else priced.work for priced in found]
        self.last_work = self.expected = sum(self.works)
        return found

    def _value(
        self, asked: NDArray[np.int64], found: Sequence[Priced | None], duals: NDArray[np.float64]
    ) -> tuple[int, bool]:
        """Return the bound these prices prove for the node, and whether the master learns of it."""
        n = len(self.wanted)
        value = int(np.dot(asked, self.wanted))
        fresh = False
        for g, priced in enumerate(found):
            if priced is None:
                continue
            least = self.values[g] - priced.value
            value += (self.node.high[g] if least < 0 else self.node.low[g]) * least
            if not priced.found:
                continue
            for made, row in zip(priced.layouts, priced.rows, strict=True):
                cost = self.values[g] - made.credit
                worth = float(duals[:n] @ made.counts) + float(duals[n + g])
                if cost / self.scale - worth < -1e-9:
                    self._add(g, cost, made.counts)
                    fresh = True
                    if row is not None:
                        alike = self.groups[g]
                        sawn = column(self.problem, alike[0], row)
                        self.drawn += [replace(sawn, stock=s) for s in alike]
        return value, fresh

    def pricing(self) -> Proposing:
        """Return what proposes the best of each group at prices, for what is still wanted.

        It stays with the pricers of this moment, so it may be used beside other work.
        """
        assert self.rung is not None
        return proposing(self.rung, self.values)

    def _known(self, asked: NDArray[np.int64]) -> list[int]:
        """Return what pricing must be above to matter: the best layout known at these prices.

        Stock that need not be used adds nothing to the bound as long as it is worth no more than
        it costs.
        """
        best = [0 if low else v for v, low in zip(self.values, self.node.low, strict=True)]
        counts = np.array([p.counts for p in self.proposals], np.int64)
        worths = counts @ asked
        for proposal, worth in zip(self.proposals, worths, strict=True):
            value = int(worth) + self.values[proposal.group] - proposal.cost
            best[proposal.group] = max(best[proposal.group], value)
        return best

    def _add(self, group: int, cost: int, counts: Sequence[int] | NDArray[Any]) -> None:
        assert self.lp is not None
        held = np.zeros(len(self.wanted), np.int64)
        held[: len(counts)] = counts
        entries = {d: float(c) for d, c in enumerate(held) if c}
        entries[len(self.wanted) + group] = 1.0
        self.lp.add(cost / self.scale, np.inf, entries)
        self.proposals.append(Proposal(group, held, cost))

    def _drawing(self, group: int) -> Drawing | None:
        """Return what draws layouts of a group, if they are: as far as they are wanted."""
        item = self.problem.stock[self.groups[group][0]]
        return partial(drawn, item, self.found, wanted=self.wanted) if self.draws else None

    def _raise(self, best: int) -> None:
        """Take over what all open nodes together prove."""
        others = [node.bound for node in (*self.open[:1], *self.leaves)]
        self.bound = max(self.bound, min([self.node.bound, best, *others]))

    def _steeper(self, best: int) -> bool:
        """Raise the price of leaving out a blank that the master leaves out; whether it does so.

        No plan leaves out a blank, so any price will do; too low a one is cheaper than stock.
        """
        assert self.lp is not None
        most = STEEPEST * best / self.scale
        raised = False
        for d in np.flatnonzero(self.lp.values[: len(self.wanted)] > 1e-6):
            if self.dear[d] < most:
                self.dear[d] = min(most, STEEPER * float(self.dear[d]))
                raised = True
        return raised

    def _branch(self, columns: Sequence[Column], best: int) -> None:
        """Go to the next rung, or split the node where its master takes part of a piece."""
        self.nodes += 1
        self.settled += 1
        on = self.paid and self.goes_on and len(self.groups) > FEW
        most = 1 if self.rung_at < QUICK_RUNGS or on else NODES_A_RUNG
        if self.rung_at == 0 and len(self.groups) <= self.few:
            most = NODES_OF_FEW
        self.reached.append(self.bound)
        if (self.nodes >= most or self._slow(best)) and self._climb(columns):
            return
        split = self._fractional()
        if split is None:
            self.leaves.append(self.node)
            self._next(columns, best)
            return
        for low, high in self.node.halves(*split):
            node = self._node(self.node.bound, low, high, self.node.prices)
            node.reached, node.corner = self.node.reached, self.node.corner
            heapq.heappush(self.open, node)
        self._next(columns, best)

    def _slow(self, best: int) -> bool:
        """Whether the later half of this rung's nodes has closed little of the gap."""
        gained = self.bound - self.reached[self.nodes // 2 - 1]
        few = self.nodes < LEAST_NODES or (self.rung_at == 0 and len(self.groups) <= self.few)
        return not few and gained < SLOW * (best - self.bound)

    def _fractional(self) -> tuple[int, float] | None:
        """Return the kind of stock used in the most fractional number, None where all are whole."""
        assert self.lp is not None
        used = self.lp.activities[len(self.wanted) :]
        worth = [(min(n % 1, 1 - n % 1) * self.values[g], -g) for g, n in enumerate(used)]
        most, g = max(worth)
        if most <= 1e-6 * self.scale:
            return None
        return -g, float(used[-g])

    def _next(self, columns: Sequence[Column], best: int) -> None:
        least = min((leaf.bound for leaf in self.leaves), default=best)
        if self.open and self.open[0].bound < least:
            self._enter(heapq.heappop(self.open), best)
            self._raise(best)
            return
        self.bound = max(self.bound, min(least, best))
        # No other node keeps the bound down but leaves: they are looked at more closely.
        if least >= best or not self._climb(columns):
            self.done = True
            return
        self._enter(heapq.heappop(self.open), best)

    def _enter(self, node: Node, best: int) -> None:
        """Look into a node; one that cannot hold all blanks must show it, so they cost too much."""
        assert self.lp is not None
        if node.serial > 1:
            self.dear = np.maximum(self.dear, best / self.scale)
        self.node, self.rounds, self.smoothing = node, 0, SMOOTHING
        self.region.begin()
        for g, (low, high) in enumerate(zip(node.low, node.high, strict=True)):
            self.lp.set_row(len(self.wanted) + g, float(low), float(high))

    def _confine(self) -> None:
        """Let the master's prices of blanks lie in the region and nowhere else."""
        assert self.lp is not None
        self.region.around(self._sound(self.node.prices) / self.scale, self.dear)
        self.lp.set_costs(np.concatenate([self.region.high, -self.region.low]))

    def _slack(self) -> None:
        """Add a column for leaving out each blank, then one for each blank that is cut in vain."""
        assert self.lp is not None
        for d in range(len(self.wanted)):
            self.lp.add(float(self.dear[d]), np.inf, {d: 1.0})
        for d in range(len(self.wanted)):
            self.lp.add(0.0, np.inf, {d: -1.0})

    def _node(
        self, bound: int, low: tuple[int, ...], high: tuple[int, ...], prices: NDArray[Any]
    ) -> Node:
        self.serial += 1
        return Node(bound, self.serial, low, high, prices.astype(np.int64))

    def _climb(self, columns: Sequence[Column]) -> bool:
        """Go on with finer pricers from the known layouts; False where there are none."""
        while self.rungs_left:
            exact = self.rung is not None and self.rung.exact
            budget = self.rungs_left.pop(0)
            self.rung_at += 1
            finer = self._finer()
            # Copies are counted once there is nothing else to be exact about.
            counts = budget.states > 1
            if not exact if counts else exact and not finer:
                continue
            rung = Rung(self.problem, self.found, self.groups, budget)
            if self.rung is not None and rung.steps == self.rung.steps and not finer:
                continue
            if self.rung is not None:
                rung.take_over(self.rung)
            again = self._kept(rung)
            self.rung = rung
            self.last_work = self.expected = 0
            self.nodes = 0
            self.reached = []
            for leaf in self.leaves:  # they can be raised now
                heapq.heappush(self.open, leaf)
            self.leaves = []
            self.came_with, self.paid = self.node.bound, False
            for node in (self.node, *self.open):
                node.reached = NOTHING
            self._fresh_master(columns)
            for proposal in again:
                self._add(proposal.group, proposal.cost, proposal.counts)
            self._enter(self.node, best=0)
            return True
        return False

    def _kept(self, rung: Rung) -> list[Proposal]:
        """Return the layouts that the next rung could think of too: its steps are no finer."""
        if self.rung is None:
            return []
        same = [
            len(new) == len(old)
            and all(
                type(n) is type(o) and n.step % o.step == 0 for n, o in zip(new, old, strict=True)
            )
            for new, old in zip(rung.pricers, self.rung.pricers, strict=True)
        ]
        return [p for p in self.proposals if same[p.group] and p.counts.any()]

    def _finer(self) -> bool:
        """Look at the problem more closely from this rung on, where that can be done."""
        return False

    def _fresh_master(self, columns: Sequence[Column]) -> None:
        self.proposals = []
        self.offers.clear()
        self.lp = GrowingLp(
            [*(float(n) for n in self.wanted), *(0.0 for _ in self.groups)],
            [*(np.inf for _ in self.wanted), *(float(n) for n in self.counts)],
        )
        self._slack()
        for g, value in enumerate(self.values):
            # A piece that must be used and is not: it comes back whole, so keeps nodes feasible.
            self._add(g, value, ())
        for known in columns:
            self._add(self.group_of[known.stock], known.cost, known.counts)
