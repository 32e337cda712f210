"""Planning a problem in which matches and panels may be made in more ways than one.

The same search as for plain problems, over blanks that are fixed once all is chosen; what is chosen
changes between attempts.
"""

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.problem.choice import Together
from nester.solve.bound.mixed import MixedBounding, Prices
from nester.solve.choose_mixed import Limits, choose_mixed
from nester.solve.columns import Column
from nester.solve.config import Config, Mix, least_broken, mix, wanted
from nester.solve.correct import CELLS_A_PLACING
from nester.solve.engine import BATCH, DETOUR, KNOWN_MOST, PATIENCE, STUCK_AFTER
from nester.solve.gather import gathered
from nester.solve.improve import LEAST_WORK, Effort, attempt
from nester.solve.known import Known
from nester.solve.lp import CELLS_A_MASTER
from nester.solve.neat import neatness
from nester.solve.pack import Manner, pack
from nester.solve.plans import draft
from nester.solve.raising import raised
from nester.solve.sawyer import Sawyer
from nester.solve.seeds import hash_seed
from nester.solve.shift import Shifter
from nester.solve.starts import starts
from nester.solve.together import seats
from nester.solve.working import Rooms, Working, working

CHANGES = 0.6
"""The share of attempts that change what is chosen, where there is anything to choose."""

KEPT_WORKINGS = 64
"""Configurations whose plain problems are kept at hand."""

CHOOSE_EVERY = 10
RAREST = 40
"""Rounds between two integer programmes: while something comes of them, and at the most."""

ENOUGH_NEW = 6
"""Pricings after which there are enough new layouts for another one all the same."""

MOST_COLUMNS = 160
"""Layouts that an integer programme chooses from: those that look best at the master's prices."""

EFFORTS = (20_000, 20_000, 60_000, 200_000)
"""Placings of the attempts of a round."""

MOST_TRIED = 60
"""Layouts that pricing proposed, the latest, which are tried for it."""

MOST_REMEMBERED = 40
"""Ways of one match that an integer programme may choose from."""

CHOSEN_AFTER = 4
"""Rounds that are made while it runs: so many always, so that a run is the same on any machine."""

LEAST_LEFT = 3.0
"""It is not begun with fewer seconds left."""

CHOICE_NODES = 40
"""Nodes that it may look into: work, not seconds, so that a run is the same on any machine."""

LAST_RESORT = 20.0
"""Seconds after which it is given up all the same."""

CELLS_A_CHOICE = 100_000_000
"""Programme cells that are filled in the time of one choice, about."""

TRIES_FOR_CORNERS = 40
"""Rounds without a better plan after which no more corners are expected."""


@dataclass(frozen=True, slots=True)
class _Made:
    """What an attempt came to, in the whole problem's numbers."""

    mix: Mix
    columns: tuple[Column, ...]
    work: int


@dataclass(frozen=True, slots=True)
class _Asked:
    """What an integer programme chooses from.

    ``known``: layouts; ``best``: those of the best plan. ``ways``: for each match. ``proposed``:
    groups of stock items and the blanks that pricing proposed for them. ``limits`` are tried in
    order.
    """

    known: Sequence[Column]
    best: Sequence[Column]
    ways: Sequence[list[tuple[int, ...]]]
    proposed: Sequence[tuple[Sequence[int], NDArray[np.int64]]]
    prices: Prices | None
    limits: Sequence[Limits]


@dataclass(frozen=True, slots=True)
class _Chosen:
    """What an integer programme chose, if anything; layouts made for it, and the work."""

    mix: Mix | None
    fresh: Sequence[Column]
    work: int


class MixedEngine:
    """Holds the best plan and the best bound of one problem with choices."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem = problem
        self.seed = seed
        self.shifter = Shifter(problem)
        self.workings: dict[Config, Working] = {}
        self.rooms = Rooms()
        self.best: Mix = mix(problem, (), self.shifter.first())
        self.base = self.best
        self.least = sum(c.copies * least_broken(c) for c in problem.choices)
        self.priced_corners = problem.corners_have_a_price
        self.since = 0
        self.searched = 0
        self.underway = 0  # what the last attempts took, so about what the next ones will
        self.priced = 0
        self.bound = 0
        self.work = 0
        self.rounds = 0
        self.known = Known(KNOWN_MOST)
        self.bounding: MixedBounding | None = None
        self.chosen_at = 0
        self.pricings = 0  # since then
        # What was tried, in order, to choose from again.
        self.ways: list[dict[tuple[int, ...], None]] = [{} for _ in problem.choices]
        self.sawyer = Sawyer(problem)
        self.tried: set[tuple[int, bytes]] = set()
        self.choices = 0
        self.choose_every = CHOOSE_EVERY
        self.choosing: Future[_Chosen] | None = None

    @property
    def settled(self) -> bool:
        """Whether no more corners are looked for: there can be no more, or none were found."""
        if self.priced_corners or self.best.outcome.broken <= self.least:
            return True
        return self.since >= TRIES_FOR_CORNERS

    @property
    def proven(self) -> bool:
        """Whether nothing better can exist."""
        return self.best.complete and self.best.cost <= self.bound and self.settled

    @property
    def stuck(self) -> bool:
        """Whether the bound has come to its end, and no better plan was found for long."""
        return self.bounding is not None and self.bounding.done and self.since >= STUCK_AFTER

    @property
    def effort(self) -> int:
        """What has been put into this problem [programme cells]."""
        return self.searched + self.priced

    @property
    def slack(self) -> int:
        """How far cost and bound are apart [ticks]."""
        return self.best.cost - self.bound

    def realised(self, c: int) -> list[tuple[int, ...]]:
        """Return for each set of a match the arcs that it is made of and that have a blank."""
        own = zip(self.best.config.ways[c], self.best.outcome.lost[c], strict=True)
        return [tuple(a for a in arcs if a not in lost) for arcs, lost in own]

    def glued(self, g: int) -> list[tuple[int, ...]]:
        """Return the panels glued up for one kind of blank, each by the kinds of its strips."""
        lost = self.best.outcome.unmade[g]
        return [own for i, own in enumerate(self.best.config.panels[g]) if i not in lost]

    def first(self) -> None:
        """Make a first plan with narrow searches."""
        self._start(self.shifter.first())
        if self.problem.glues:
            self._start(self.shifter.glued(few=False))
            self._start(self.shifter.glued(few=True))
        longest = max((choice.slots for choice in self.problem.choices), default=1)
        while not self.best.complete and longest > 1:
            longest -= 1 + longest // 8
            self._start(self.shifter.first(longest))
        self.base = self.best

    def _start(self, config: Config) -> None:
        here = self._working(config)
        plain, found = here.problem, here.found
        demand = np.array([d.copies for d in plain.demands], np.int16)
        searched = [c for c, d in enumerate(found.directions) if not d.bound_only]
        by_price = sorted(
            searched,
            key=lambda c: (
                plain.stock[found.directions[c].stock].value
                / max(1, int(plain.stock[found.directions[c].stock].credit[-1, -1])),
                c,
            ),
        )
        order = np.array(by_price, np.int32)
        for width in (1, 8):
            manner = Manner(width, open_most=3)
            packed = pack(plain, found, demand, here.weight, found.copies, order, manner)
            self.work += packed.work
            self._take(config, [here.lifted(column) for column in packed.columns])
        for columns in starts(plain):
            self._take(config, [here.lifted(column) for column in columns])

    def round(self, pool: Executor, seconds_left: float) -> None:
        """Make one round: attempts at a better plan, and work on the bound while they run."""
        jobs = self._attempts(pool)
        every = CHOOSE_EVERY if self.pricings >= ENOUGH_NEW else self.choose_every
        due = self.choosing is None and self.rounds - self.chosen_at >= every
        if due and self.best.complete and seconds_left > LEAST_LEFT:
            self.chosen_at = self.rounds
            self.pricings = 0
            self.choices += 1
            self.choosing = pool.submit(self._considered, self._asked(seconds_left))
        if self.rounds > 1:
            self._raise_bound(pool, seconds_left, self.underway)
        self._improve([job.result() for job in jobs])
        if self.rounds == 1:  # what attempts take is known from now on; small jobs end here
            self._raise_bound(pool, seconds_left, 0)

    def _raise_bound(self, pool: Executor, seconds_left: float, underway: int) -> None:
        """Work on the bound until it has had its share of the effort, what is underway included."""
        if not self.best.complete or self.best.cost <= self.bound:
            return
        if self.bounding is None:
            self.bounding = self._bounding()
        self.bounding.allow(self.best.outcome.broken)
        self.bounding.offer(self.known.news())
        room = (self.searched + underway) * (1 + min(self.since, 40) / 10) - self.priced
        known, cost = list(self.known), self.best.cost
        for made in raised(self.bounding, pool, known, cost, room, seconds_left):
            self.pricings += 1
            self.priced += made.work + CELLS_A_MASTER
            self.work += made.work
            self.bound = max(self.bound, made.bound)

    def _bounding(self) -> MixedBounding:
        return MixedBounding(self.problem, self.shifter.guide, self.best.outcome.broken)

    def _attempts(self, pool: Executor) -> "list[Future[_Made]]":
        """Begin attempts at a better plan, the longest first, lest it runs alone at last."""
        self.rounds += 1
        jobs: dict[int, Future[_Made]] = {}
        efforts = [EFFORTS[(self.rounds + i) % len(EFFORTS)] for i in range(BATCH)]
        for i in sorted(range(BATCH), key=lambda i: -efforts[i]):
            seed = hash_seed(self.seed, self.rounds, i)
            rng = np.random.default_rng(seed)
            config = self.base.config
            if self.shifter.flexible and rng.random() < CHANGES:
                config = self.shifter.other(config, self.base.complete, rng)
            apart = self._apart()
            gather = apart[int(rng.integers(len(apart)))] if apart and rng.random() < 0.3 else None
            kept = _kept(self.problem, self.base.columns, config, rng)
            effort = Effort(efforts[i])
            detour = int(DETOUR * self.best.cost)
            here = self._working(config)
            jobs[i] = pool.submit(_attempt, here, config, kept, detour, effort, seed, gather)
        return [jobs[i] for i in range(BATCH)]

    def _improve(self, results: Sequence[_Made]) -> None:
        """Keep what is better of what the attempts came to, and of a choice whose time has come."""
        before = self.best.merit
        self.underway = sum(found.work for found in results) * CELLS_A_PLACING
        for found in results:
            self.work += found.work
            self.searched += found.work * CELLS_A_PLACING
            self._keep(found.mix, found.columns)
        if self.choosing is not None and self.rounds - self.chosen_at >= CHOSEN_AFTER:
            self._choose(self.choosing.result())
            self.choosing = None
        self.since = 0 if self.best.merit < before else self.since + 1
        self.base = self._next_base(min((r.mix for r in results), key=lambda m: m.merit))

    def _choose(self, chosen: _Chosen) -> None:
        self.work += chosen.work
        self.searched += chosen.work * CELLS_A_PLACING + CELLS_A_CHOICE
        self.known.add(chosen.fresh)
        # The less comes of it, the more seldom it is asked.
        self.choose_every = min(2 * self.choose_every, RAREST)
        if chosen.mix is not None and chosen.mix.merit < self.best.merit:
            self.best = chosen.mix
            self.choose_every = CHOOSE_EVERY

    def _asked(self, seconds_left: float) -> _Asked:
        """Return what a choice goes by: as things stand now, since it runs beside other work."""
        ways = [dict(own) for own in self.ways]
        proposed: list[tuple[int, NDArray[np.int64]]] = []
        prices = None
        if self.bounding is not None:
            prices = self.bounding.prices
            for group, counts in self.bounding.proposed(MOST_TRIED):
                key = (group, counts.tobytes())
                if key not in self.tried:
                    self.tried.add(key)
                    proposed.append((group, counts))
        if self.bounding is not None and prices is not None:
            for own, more in zip(ways, self.bounding.ways(), strict=True):
                own.update(dict.fromkeys(more))
        apart = seats(self.problem, self.best.columns).broken(self.problem)
        limits = self._limits(apart, seconds_left)
        groups = [] if self.bounding is None else self.bounding.groups
        return _Asked(
            list(self.known),
            self.best.columns,
            [list(own) for own in ways],
            [(groups[group], counts) for group, counts in proposed],
            prices,
            limits,
        )

    def _considered(self, asked: _Asked) -> _Chosen:
        """Return the best choice among the layouts known that look good at the master's prices.

        Layouts that pricing proposed are cut first, and strips are made as wide as they can be.
        """
        fresh, work = self._cut(asked.proposed)
        for column in list(fresh):
            wide, done = self.sawyer.widened(column)
            fresh.append(wide)
            work += done
        known = Known(KNOWN_MOST + len(fresh))
        known.add([*asked.known, *fresh])
        columns = list(known)
        if asked.prices is None:
            near = columns[-MOST_COLUMNS:]
        else:
            reduced = asked.prices.reduced_costs(columns)
            near = [columns[i] for i in np.argsort(reduced, kind="stable")[:MOST_COLUMNS]]
        best = {(c.stock, c.counts) for c in near}
        near += [c for c in asked.best if (c.stock, c.counts) not in best]
        if any(not own for own in asked.ways):
            return _Chosen(None, fresh, work)
        for limits in asked.limits:
            found = choose_mixed(self.problem, near, asked.ways, limits)
            if found is not None:
                return _Chosen(mix(self.problem, *found), fresh, work)
        return _Chosen(None, fresh, work)

    def _limits(self, apart: Sequence[int], seconds_left: float) -> list[Limits]:
        """Return what a choice must keep to; every other time one corner more is asked for first.

        ``apart`` counts for each match the neighbours that should share a piece of stock.
        """
        broken = self.best.outcome.broken - sum(apart)
        seconds = min(LAST_RESORT, seconds_left)
        limits = [Limits(broken, [not bad for bad in apart], seconds, CHOICE_NODES)]
        if self.best.outcome.broken > self.least and not self.priced_corners and self.choices % 2:
            whole = [True] * len(apart)
            fewer = broken if any(apart) else broken - 1
            limits.insert(0, Limits(fewer, whole, seconds, CHOICE_NODES))
        return limits

    def _cut(
        self, proposed: Sequence[tuple[Sequence[int], NDArray[np.int64]]]
    ) -> tuple[list[Column], int]:
        """Return layouts for what pricing proposed for groups of stock, and the work."""
        columns: list[Column] = []
        work = 0
        for group, counts in proposed:
            found, done = self.sawyer.cut(group[0], counts)
            work += done
            for column in found:
                columns += [replace(column, stock=s) for s in group]
        return columns, work

    def _note(self, config: Config) -> None:
        """Remember what a configuration is made of."""
        for seen, own in zip(self.ways, config.ways, strict=True):
            for one in own:
                if one:
                    seen.pop(one, None)
                    seen[one] = None
            while len(seen) > MOST_REMEMBERED:
                del seen[next(iter(seen))]

    def _apart(self) -> list[Together]:
        """Return the matches of which parts should come from one piece of stock, and do not yet."""
        if not self.problem.together:
            return []
        broken = seats(self.problem, self.base.columns).broken(self.problem)
        return [own for own, bad in zip(self.problem.together, broken, strict=True) if bad]

    def _next_base(self, newest: Mix) -> Mix:
        if newest.merit <= self.best.merit or self.since % PATIENCE == 0:
            return self.best
        most = self.best.cost * (1 + DETOUR)
        if newest.merit[:3] == self.best.merit[:3] and newest.cost <= most:
            return newest
        return self.base if self.base.merit[:3] == self.best.merit[:3] else self.best

    def _working(self, config: Config) -> Working:
        if config not in self.workings:
            self._note(config)
            while len(self.workings) >= KEPT_WORKINGS:
                del self.workings[next(iter(self.workings))]
            self.workings[config] = working(self.problem, config, self.rooms)
        return self.workings[config]

    def _take(self, config: Config, columns: Sequence[Column]) -> None:
        self._keep(mix(self.problem, columns, config), columns)

    def _keep(self, new: Mix, columns: Sequence[Column]) -> None:
        self.known.add(columns)
        if new.merit < self.best.merit or (
            new.merit == self.best.merit
            and neatness(self.problem, new.columns) <= neatness(self.problem, self.best.columns)
        ):
            self.best = new


def _attempt(
    here: Working,
    config: Config,
    kept: Sequence[Column],
    detour: int,
    effort: Effort,
    seed: int,
    gather: Together | None = None,
) -> _Made:
    """Place anew what a configuration asks for beyond ``kept`` layouts, and some of them too.

    ``gather``: a set of these parts is brought onto one piece of stock instead.
    """
    lowered = [here.lowered(column) for column in kept]
    if gather is not None:
        moved, work = gathered(here, lowered, gather, np.random.default_rng(seed))
        columns = tuple(here.lifted(column) for column in moved)
        return _Made(mix(here.whole, columns, config), columns, work + LEAST_WORK)
    now = draft(here.problem, lowered)
    found = attempt(here.problem, here.found, now, here.weight, detour, effort, seed)
    columns = tuple(here.lifted(column) for column in found.draft.columns)
    fresh = tuple(here.lifted(column) for column in found.columns)
    return _Made(mix(here.whole, columns, config), fresh, found.work)


def _kept(
    problem: Problem, columns: Sequence[Column], config: Config, rng: np.random.Generator
) -> list[Column]:
    """Return the layouts that hold nothing which a configuration does not ask for."""
    spare = Counter[int]()
    for column in columns:
        for d, count in enumerate(column.counts):
            spare[d] += count
    for d, count in enumerate(wanted(problem, config)):
        spare[d] -= int(count)
    kept = list(columns)
    for i in rng.permutation(len(columns)):
        column = columns[int(i)]
        if any(count and spare[d] > 0 for d, count in enumerate(column.counts)):
            kept.remove(column)
            for d, count in enumerate(column.counts):
                spare[d] -= count
    return kept
