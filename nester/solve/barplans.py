"""Better plans for plain bars: dives in a master that is settled, and a choice among few layouts.

A plan within a cost can hold only layouts whose reduced cost is no more than what lies between that
cost and the bound. Where they are few they are all listed, and an integer programme chooses.
"""

from collections.abc import Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.choose import choose
from nester.solve.columns import Column
from nester.solve.delve import Manner, Settled, delve, settle
from nester.solve.dive import Proposal
from nester.solve.kernels.bar_list import worthy_bars
from nester.solve.lengths import BarFillers
from nester.solve.plans import Draft
from nester.solve.rows import Row

AMONG_LISTED = Manner(priced=False, seconds=2, nodes=300, shake=0.6)
"""How a dive goes where all layouts worth a look are listed."""

FREE_EVERY = 2
"""Rounds between dives that may spend what they like, where nothing is listed."""

WORK = 1_000_000_000
"""Programme cells filled in a dive at the most."""

KNOWN = 2_000
"""The newest layouts that a dive starts from, beside those of the settled master."""

LISTED = 3_000
"""Layouts that are chosen from at the most."""

STEPS = 2_000_000
"""Steps of the walk that lists them."""

TABLE = 10_000_000
"""Cells of its table at the most."""

NODES = 50
"""Nodes that a choice among the layouts known looks into, where not all are listed."""

CHOICES = 0.3
"""How much effort goes into such choices, as a share of that of dives."""

FIRST_NODES = 200
"""Nodes that the first choice among all looks into."""

MORE_NODES = 4
"""So many times more in the next one."""

LAST_RESORT = 30.0
"""Seconds after which a choice is given up all the same."""


@dataclass(frozen=True, slots=True)
class Found:
    """Plans found, what is proven [ticks], and the work [programme cells].

    ``none``: a choice has shown that there is nothing more to find.
    """

    drafts: tuple[Draft, ...]
    bound: int
    work: int
    none: bool = False


class BarPlans:
    """Looks for cheaper plans of bars, round by round."""

    def __init__(self, problem: Problem, bars: BarFillers) -> None:
        self.problem, self.bars = problem, bars
        self.settled: Settled | None = None
        self.known: dict[tuple[int, bytes], Proposal] = {}
        self.listed: list[Column] | None = None
        self.within = -1
        self.nodes = FIRST_NODES
        self.dives = 0
        self.dived = 0
        self.chosen = 0
        self.none_within = -1
        self.counts = [sum(problem.stock[s].count for s in group) for group in bars.groups]

    def round(
        self, pool: Executor, bound: int, most: int, seeds: Sequence[int], seconds: float
    ) -> Found:
        """Look for plans that cost no more than ``most`` [ticks], by two dives and a choice.

        ``seconds`` are left on the clock.
        """
        if self.settled is None:
            self.settled = settle(self.problem, self.bars, ())
            return Found((), self._bound(self.settled.prices), self.settled.work)
        if most <= self.none_within:
            return Found((), 0, 0)
        if most != self.within:
            self.within, self.nodes = most, FIRST_NODES
            self.listed = self._list(self.settled.prices, most)
        known = [*self.settled.proposals, *list(self.known.values())[-KNOWN:]]
        # A fixed number of jobs, so that workers do not change the outcome.
        aims: list[int | None] = [_aim(bound, most, seed) for seed in seeds]
        starts, manners = [known, known], [Manner(), Manner()]
        if self.listed is not None:
            starts[1], manners[1] = [self._proposal(c) for c in self.listed], AMONG_LISTED
        elif self.dives % FREE_EVERY == 0:
            aims[1] = None
        self.dives += 1
        jobs = [
            pool.submit(delve, self.problem, self.bars, start, aim, WORK, seed, manner)
            for start, aim, seed, manner in zip(starts, aims, seeds, manners, strict=True)
        ]
        choosing: Future[Found] | None = None
        if self.chosen < (self.dived if self.listed is not None else CHOICES * self.dived):
            offered, nodes = self.listed, self.nodes
            if offered is None:
                offered, nodes = [self._column(p) for p in known], NODES
            choosing = pool.submit(self._choose, offered, most, nodes, seconds)
        work, drafts = 0, []
        for job in jobs:
            delved = job.result()
            work += delved.work
            for proposal in delved.proposals:
                self.known[proposal.group, proposal.counts.tobytes()] = proposal
            if delved.draft is not None:
                drafts.append(delved.draft)
        self.dived += work
        if choosing is not None:
            chosen = choosing.result()
            self.nodes *= MORE_NODES
            self.chosen += chosen.work
            work += chosen.work
            drafts += chosen.drafts
            if chosen.none and self.listed is not None:
                self.none_within = most
        return Found(tuple(drafts), 0, work)

    def _column(self, proposal: Proposal) -> Column:
        """Return a proposal as a layout of the first piece of its group, no saw cuts in it."""
        counts = tuple(int(c) for c in proposal.counts)
        return Column(self.bars.groups[proposal.group][0], Row("x", ()), counts, proposal.cost)

    def _proposal(self, listed: Column) -> Proposal:
        group = next(g for g, group in enumerate(self.bars.groups) if group[0] == listed.stock)
        return Proposal(group, np.array(listed.counts, np.int64), listed.cost)

    def _bound(self, prices: NDArray[np.int64]) -> int:
        """Return what any plan costs at the least, as proven by prices."""
        wanted = np.array([d.copies for d in self.problem.demands], np.int64)
        value = int(prices @ wanted)
        for fill, count in zip(self.bars.fill, self.counts, strict=True):
            value += count * min(0, fill.item.value - fill.pricer(prices).value)
        return value

    def _list(self, prices: NDArray[np.int64], most: int) -> list[Column] | None:
        """Return all layouts that a plan may hold, their saw cuts left out; None where too many.

        Where leftovers earn credit a fuller bar need not be the better one: nothing is listed.
        """
        room = most - self._bound(prices)
        made: list[Column] = []
        for g, fill in enumerate(self.bars.fill):
            pricer, value = fill.pricer, fill.item.value
            if fill.item.cell_credit or pricer.nx * len(pricer.lengths) > TABLE:
                return None
            least = max(value, pricer(prices).value) - room
            longest = np.argsort(-pricer.lengths, kind="stable")
            owner = pricer.owner[longest]
            counts, number, _ = worthy_bars(
                pricer.nx,
                pricer.lengths[longest],
                prices[owner],
                pricer.copies[longest],
                least,
                LISTED,
                STEPS,
            )
            if number < 0 or number + len(made) > LISTED:
                return None
            for row in counts:
                held = np.zeros(len(self.problem.demands), np.int64)
                np.add.at(held, owner, row)
                made.append(self._column(Proposal(g, held, value)))
        return made

    def _choose(self, offered: Sequence[Column], most: int, nodes: int, seconds: float) -> Found:
        """Choose among the layouts offered, with the first piece of a group for all of it."""
        stock = list(self.problem.stock)
        for group, count in zip(self.bars.groups, self.counts, strict=True):
            stock[group[0]] = replace(stock[group[0]], count=count)
        grouped = replace(self.problem, stock=tuple(stock))
        longest = min(LAST_RESORT, max(1.0, seconds))
        chosen = choose(grouped, offered, longest, nodes, most + 1)
        found: Draft | None = None
        if chosen.columns is not None:
            cut = (self._proposal(c) for c in chosen.columns)
            found = self.bars.plan(self.problem, ((p.group, p.counts) for p in cut))
        return Found(() if found is None else (found,), 0, chosen.work, chosen.none)


def _aim(bound: int, most: int, seed: int) -> int:
    """Return what a dive may spend: near the bound as often as not."""
    share = float(np.random.default_rng(seed).random()) ** 2
    return min(most, bound + int(share * max(0, most - bound)))
