"""Diving: a plan within a given cost, with a few second choices on the way.

Layouts that the master programme takes most of are cut out one by one, and what is left is priced
anew (Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa 2019, "Primal heuristics for branch and price",
INFORMS J. on Computing 31(2), 251-267). Where what is left cannot be had for what is left to spend,
the way goes back to the last choice, and takes the second best there a few times (limited
discrepancy: Harvey and Ginsberg 1995, IJCAI, 607-615). What is proposed can be cut as
it is, on bars and on plain sheets; and a master need be solved no further than to show that there
is enough to spend.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.lp import CELLS_A_MASTER, GrowingLp
from nester.solve.makers import Makers
from nester.solve.plans import Draft
from nester.solve.proposal import Proposal

MISSING = 100.0
"""What a blank left out costs the master, in pieces of the dearest stock."""

AT_ONCE = 20
"""Layouts of one kind of stock, with no blank in common, that are priced one after another."""

TINY = 1e-6


@dataclass(frozen=True, slots=True)
class Settled:
    """The layouts of a settled master, its prices of blanks [ticks], and the work [cells]."""

    proposals: tuple[Proposal, ...]
    prices: NDArray[np.int64]
    work: int


@dataclass(frozen=True, slots=True)
class Manner:
    """How a dive goes.

    ``priced``: whether it thinks of more layouts on the way. So many ``seconds`` choices are made
    on the way to a plan, and it is given up after so many ``nodes``. What a master takes is shaken
    by a share of ``shake`` at the most before the largest is chosen.
    """

    priced: bool = True
    seconds: int = 1
    nodes: int = 150
    shake: float = 0.3


@dataclass(slots=True)
class _Place:
    """How far a dive has come: what is still wanted, the stock left, what is spent, what is cut.

    ``choices`` are the proposals to go on with, the best first; ``tried`` of them were.
    ``seconds`` may still be chosen against the master.
    """

    left: NDArray[np.int64]
    copies: NDArray[np.int64]
    spent: int
    made: tuple[int, ...]
    seconds: int
    choices: tuple[int, ...] = ()
    tried: int = 0


def settle(problem: Problem, makers: Makers, proposals: Sequence[Proposal]) -> Settled:
    """Solve the master programme of a problem to the end."""
    master = _Master(problem, makers, proposals)
    master.within(master.wanted, master.counts, None)
    return Settled(tuple(master.proposals), master.prices(), master.work)


class Delve:
    """Looks for a plan that costs no more than ``most`` [ticks], from layouts that are known.

    Where that is not said each master is solved to the end, and the first way down is taken.
    """

    def __init__(
        self,
        problem: Problem,
        makers: Makers,
        proposals: Sequence[Proposal],
        most: int | None,
        seed: int,
        manner: Manner,
    ) -> None:
        self.problem, self.makers, self.most, self.manner = problem, makers, most, manner
        self.rng = np.random.default_rng(seed)
        self.master = _Master(problem, makers, proposals, manner.priced)
        self.told = len(self.master.proposals)
        wanted, counts = self.master.wanted, self.master.counts
        self.next: _Place | None = _Place(wanted, counts, 0, (), manner.seconds)
        self.way: list[_Place] = []
        self.nodes = manner.nodes
        self.ended = False
        self.draft: Draft | None = None
        """The plan found, if any."""

    def run(self, work: int) -> int:
        """Go on for about so much work [programme cells], or to the end; return the work done."""
        start = self.master.work
        limit = start + work
        while not self.ended and self.master.work < limit:
            if self.next is not None:
                on = self._goes_on(self.next, limit)
                if on is None:
                    break
                if on:
                    self.way.append(self.next)
                self.next = None
            self._choose()
        return self.master.work - start

    def news(self) -> list[Proposal]:
        """Return the layouts thought of since they were last told."""
        made = self.master.proposals[self.told :]
        self.told = len(self.master.proposals)
        return made

    def _choose(self) -> None:
        """Take the best choice not tried, where there is one, back on the way if need be."""
        while self.way and self.nodes > 0:
            here = self.way[-1]
            if not here.left.any():
                cut = (self.master.proposals[i] for i in here.made)
                self.draft = self.makers.plan(self.problem, cut)
                break
            if here.tried >= len(here.choices) or here.tried > here.seconds:
                self.way.pop()
                continue
            chosen, seconds = here.choices[here.tried], here.seconds - here.tried
            here.tried += 1
            self.nodes -= 1
            self.next = _Place(here.left, here.copies.copy(), here.spent, here.made, seconds)
            self.master.cut(self.next, chosen, 1)
            return
        self.ended = True

    def _goes_on(self, place: _Place, limit: int) -> bool | None:
        """Cut what the master takes whole, and note what to go on with.

        False at a dead end, None where the work is done for now.
        """
        master, most = self.master, self.most
        while place.left.any():
            room = None if most is None else (most - place.spent) / master.scale
            within = master.within(place.left, place.copies, room, limit)
            if not within:
                return within
            values = master.taken()
            whole = np.floor(values + TINY).astype(np.int64)
            if not whole.any():
                shaken = values * self.rng.uniform(1 - self.manner.shake, 1, len(values))
                order = np.argsort(-shaken, kind="stable")[: place.seconds + 1]
                place.choices = tuple(int(i) for i in order if values[i] > 1e-4)
                return bool(place.choices)
            for i in np.flatnonzero(whole):
                master.cut(place, int(i), int(whole[i]))
        return most is None or place.spent <= most


class _Master:
    """The master programme: its costs are in pieces of the dearest stock."""

    def __init__(
        self,
        problem: Problem,
        makers: Makers,
        proposals: Sequence[Proposal],
        grows: bool = True,
    ) -> None:
        self.makers = makers
        self.grows = grows
        self.work = 0
        self.wanted = np.array([d.copies for d in problem.demands], np.int64)
        self.counts = np.array([sum(problem.stock[s].count for s in g) for g in makers.groups])
        self.scale = float(max(item.value for item in problem.stock)) or 1.0
        n = self.n = len(self.wanted)
        self.lp = GrowingLp(
            [*(float(w) for w in self.wanted), *(0.0 for _ in self.counts)],
            [*(np.inf for _ in self.wanted), *(float(c) for c in self.counts)],
        )
        self.lp.add_all(np.full(n, MISSING), np.eye(n, n + len(self.counts)))
        self.proposals: list[Proposal] = []
        self.held = np.zeros((0, n), np.int64)
        self.group = np.zeros(0, np.int64)
        self.seen: set[tuple[int, bytes]] = set()
        self._add(proposals)

    def _add(self, proposals: Sequence[Proposal]) -> int:
        """Add those that are new; return how many they are."""
        fresh = []
        for proposal in proposals:
            key = proposal.group, proposal.counts.tobytes()
            if key not in self.seen:
                self.seen.add(key)
                fresh.append(proposal)
        if fresh:
            counts = np.array([p.counts for p in fresh], np.int64)
            groups = np.array([p.group for p in fresh], np.int64)
            uses = np.eye(len(self.counts))[groups]
            costs = np.array([p.cost for p in fresh], np.float64) / self.scale
            self.lp.add_all(costs, np.hstack([counts, uses]))
            self.held = np.vstack([self.held, counts])
            self.group = np.concatenate([self.group, groups])
            self.proposals += fresh
        return len(fresh)

    def within(
        self,
        left: NDArray[np.int64],
        copies: NDArray[np.int64],
        room: float | None,
        limit: int | None = None,
    ) -> bool | None:
        """Solve for what is left, until no more than ``room`` is spent; whether that can be.

        Without a ``room`` it is solved to the end. None where so much work has been done first.
        """
        whole = np.concatenate([left, np.zeros(len(copies))])
        most = np.concatenate([np.full(self.n, np.inf), copies])
        self.lp.set_rows(whole, most)
        fits = (self.held <= left).all(axis=1) & (copies[self.group] > 0)
        upper = np.where(np.concatenate([np.ones(self.n, bool), fits]), np.inf, 0.0)
        self.lp.set_uppers(upper)
        while self.lp.solve():
            self.work += CELLS_A_MASTER
            if room is not None and self.lp.objective <= room + TINY:
                return True
            if not self.grows:
                return False
            if limit is not None and self.work >= limit:
                return None
            fresh, proven = self._priced(left, copies, room)
            if proven or not self._add(fresh):
                return room is None
        return False

    def prices(self) -> NDArray[np.int64]:
        """Return what blanks are worth [ticks]."""
        return np.floor(np.maximum(0.0, self.lp.duals[: self.n]) * self.scale).astype(np.int64)

    def taken(self) -> NDArray[np.float64]:
        """Return how much of each proposal the master takes."""
        return self.lp.values[self.n :]

    def cut(self, place: _Place, i: int, times: int) -> None:
        """Cut a proposal so many times."""
        place.left = np.maximum(place.left - times * self.held[i], 0)
        place.copies[self.group[i]] -= times
        place.spent += times * self.proposals[i].cost
        place.made += (i,) * times

    def _priced(
        self, left: NDArray[np.int64], copies: NDArray[np.int64], room: float | None
    ) -> tuple[list[Proposal], bool]:
        """Return what the master should know, and whether more than ``room`` is needed.

        For any prices p of blanks a plan costs at least p times the blanks and, for each piece of
        stock used, its least (cost - p times its blanks) where that is negative.
        """
        duals = self.lp.duals
        prices = self.prices()
        made: list[Proposal] = []
        saved, steepest = 0.0, 0.0
        for g, make in enumerate(self.makers.make):
            if copies[g] == 0:
                continue
            rest = left
            for k in range(AT_ONCE):
                priced = make.price(prices, rest)
                self.work += priced.work
                value = make.item.value
                if k == 0:
                    gain = max(0.0, (priced.value - value) / self.scale)
                    saved += gain * float(copies[g])
                    steepest = max(steepest, gain * self.scale / self.makers.cheapest[g])
                counts = priced.counts
                cost = value - priced.credit
                spent = float(duals[: self.n] @ counts) + float(duals[self.n + g])
                if not counts.any() or cost / self.scale - spent > -1e-9:
                    break
                made.append(Proposal(g, counts, cost, priced.row))
                rest = rest - counts
                if not rest.any():
                    break
        if room is None:
            return made, False
        least = float(prices @ left) / self.scale
        return made, least - min(saved, steepest * room) > room + TINY
