"""Cheaper plans of bars or plain sheets: dives in a master, and a choice among layouts.

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
from nester.solve.delve import Delve, Manner, Settled, settle
from nester.solve.kernels.bar_list import worthy_bars
from nester.solve.lengths import BarFiller
from nester.solve.makers import Makers
from nester.solve.plans import Draft
from nester.solve.proposal import Proposal
from nester.solve.rows import Row

DIVES = 2
"""Dives at a time."""

AMONG_LISTED = Manner(priced=False, seconds=2, nodes=300, shake=0.6)
"""How a dive goes where all layouts worth a look are listed."""

FREE_EVERY = 3
"""New dives between those that may spend what they like, where nothing is listed."""

WORK = 500_000_000
"""Programme cells that a dive fills in a round, at the most; then it waits for the next."""

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

CHOICES_AFTER = 12
"""Dives for bars that begin before the first of them: most plans are found by then."""

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


class Cheaper:
    """Looks for cheaper plans round by round.

    It begins with a master of bars that it settles itself, or with the layouts that it is told.
    """

    def __init__(self, problem: Problem, makers: Makers) -> None:
        self.problem, self.makers = problem, makers
        self.bars = all(isinstance(maker, BarFiller) for maker in makers.make)
        self.settled: Settled | None = None
        self.known: dict[tuple[int, bytes], Proposal] = {}
        self.listed: list[Proposal] | None = None
        self.within = -1
        self.nodes = FIRST_NODES
        self.under_way: list[Delve | None] = [None] * DIVES
        self.dives = 0
        self.dived = 0
        self.chosen = 0
        self.none_within = -1
        self.counts = [sum(problem.stock[s].count for s in group) for group in makers.groups]

    def begin(self, proposals: Sequence[Proposal]) -> None:
        """Begin with layouts that are known, as far as that has not been done."""
        if self.settled is None:
            nothing = np.zeros(len(self.problem.demands), np.int64)
            self.settled = Settled(tuple(proposals), nothing, 0)

    def round(
        self, pool: Executor, bound: int, most: int, seeds: Sequence[int], seconds: float
    ) -> Found:
        """Look for plans that cost no more than ``most`` [ticks], by two dives and a choice.

        ``seconds`` are left on the clock.
        """
        if self.settled is None:
            self.settled = settle(self.problem, self.makers, ())
            return Found((), self._bound(self.settled.prices), self.settled.work)
        if most <= self.none_within:
            return Found((), 0, 0)
        if most != self.within:
            self.within, self.nodes = most, FIRST_NODES
            self.listed = self._list(self.settled.prices, most)
            self.under_way = [None] * DIVES
        known = [*self.settled.proposals, *list(self.known.values())[-KNOWN:]]
        # A fixed number of jobs, so that workers do not change the outcome.
        for i, seed in enumerate(seeds[:DIVES]):
            first = self.under_way[0]
            if i and not self.bars and first is not None and not first.way:
                break  # the second begins with what the first comes to know of the whole
            if self.under_way[i] is None:
                self.under_way[i] = self._dive(i, known, bound, most, seed)
        places = [i for i, dive in enumerate(self.under_way) if dive is not None]
        dives = [dive for dive in self.under_way if dive is not None]
        jobs = [pool.submit(dive.run, WORK) for dive in dives]
        choosing: Future[Found] | None = None
        share = 1.0 if self.listed is not None else CHOICES
        early = self.bars and self.listed is None and self.dives < CHOICES_AFTER
        if self.chosen < share * self.dived and not early:
            offered, nodes = self.listed, self.nodes
            if offered is None:
                offered, nodes = known, NODES
            choosing = pool.submit(self._choose, offered, most, nodes, seconds)
        work = sum(job.result() for job in jobs)
        drafts: list[Draft] = []
        for i, dive in zip(places, dives, strict=True):
            for proposal in dive.news():
                self.known[proposal.group, proposal.counts.tobytes()] = proposal
            if dive.draft is not None:
                drafts.append(dive.draft)
            if dive.ended:
                self.under_way[i] = None
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

    def _dive(
        self, place: int, known: Sequence[Proposal], bound: int, most: int, seed: int
    ) -> Delve:
        """Return a new dive, the second of two among all layouts listed if they are."""
        aim: int | None = _aim(bound, most, seed)
        self.dives += 1
        if place == 1 and self.listed is not None:
            known, manner = self.listed, AMONG_LISTED
        else:
            manner = Manner()
            if place == 1 and self.bars and self.dives % FREE_EVERY == 0:
                aim = None
        return Delve(self.problem, self.makers, known, aim, seed, manner)

    def _bound(self, prices: NDArray[np.int64]) -> int:
        """Return what any plan costs at the least, as proven by prices."""
        wanted = np.array([d.copies for d in self.problem.demands], np.int64)
        value = int(prices @ wanted)
        for make, count in zip(self.makers.make, self.counts, strict=True):
            value += count * min(0, make.item.value - make.price(prices, wanted).value)
        return value

    def _list(self, prices: NDArray[np.int64], most: int) -> list[Proposal] | None:
        """Return all layouts of bars that a plan may hold; None where there are too many.

        Where leftovers earn credit a fuller bar need not be the better one: nothing is listed.
        """
        room = most - self._bound(prices)
        made: list[Proposal] = []
        for g, make in enumerate(self.makers.make):
            if not isinstance(make, BarFiller):
                return None
            pricer, value = make.pricer, make.item.value
            if make.item.cell_credit or pricer.nx * len(pricer.lengths) > TABLE:
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
                made.append(Proposal(g, held, value))
        return made

    def _choose(self, offered: Sequence[Proposal], most: int, nodes: int, seconds: float) -> Found:
        """Choose among the layouts offered, with the first piece of a group for all of it."""
        stock = list(self.problem.stock)
        for group, count in zip(self.makers.groups, self.counts, strict=True):
            stock[group[0]] = replace(stock[group[0]], count=count)
        grouped = replace(self.problem, stock=tuple(stock))
        columns: dict[tuple[int, tuple[int, ...]], Column] = {}
        behind: dict[tuple[int, tuple[int, ...]], Proposal] = {}
        for proposal in offered:
            first, counts = self.makers.groups[proposal.group][0], tuple(proposal.counts.tolist())
            if (first, counts) not in columns:
                # Its saw cuts are of no interest yet.
                columns[first, counts] = Column(first, Row("x", ()), counts, proposal.cost)
                behind[first, counts] = proposal
        longest = min(LAST_RESORT, max(1.0, seconds))
        chosen = choose(grouped, list(columns.values()), longest, nodes, most + 1)
        found: Draft | None = None
        if chosen.columns is not None:
            cut = (behind[column.stock, column.counts] for column in chosen.columns)
            found = self.makers.plan(self.problem, cut)
        return Found(() if found is None else (found,), 0, chosen.work, chosen.none)


def _aim(bound: int, most: int, seed: int) -> int:
    """Return what a dive may spend: near the bound as often as not."""
    share = float(np.random.default_rng(seed).random()) ** 2
    return min(most, bound + int(share * max(0, most - bound)))
