"""Planning one independent part of a problem: a first plan, better ones, and a bound."""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from functools import partial
from math import gcd

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import arrays
from nester.solve.beside import Beside, found_beside
from nester.solve.bound.area import area_bound
from nester.solve.bound.bought import Bought
from nester.solve.bound.colgen import FEW, QUICK_RUNGS, Bounding
from nester.solve.bound.whole import whole_bound
from nester.solve.cheaper import Cheaper
from nester.solve.choose import choose
from nester.solve.columns import Column
from nester.solve.correct import CELLS_A_PLACING, fillers, refill
from nester.solve.dive import Dived, dive
from nester.solve.first import by_price, first_plans
from nester.solve.generate import Generating, Grown
from nester.solve.improve import Attempt, Effort, attempt
from nester.solve.known import Known
from nester.solve.leaner import Filled, Leaner
from nester.solve.lengths import bar_makers
from nester.solve.lp import CELLS_A_MASTER
from nester.solve.neat import neatness
from nester.solve.plans import Draft, draft
from nester.solve.raising import MOST_PRICED, Raising
from nester.solve.seeds import hash_seed
from nester.solve.set_plans import SetPlans, set_plans
from nester.solve.shares import Allowance, bound_share
from nester.solve.sheetmaker import sheet_makers
from nester.solve.trend import Trend
from nester.solve.widen import Widening, wide_share

BATCH = 4
"""Attempts made from the same draft: a fixed number, so that workers do not change the outcome."""

LEAST_ROUND = 60_000
"""Placings that a round of attempts counts for at the least: small ones take about as long."""

REFILLS = 2
"""So many of them fill plain sheets by value, where all stock is such."""

DETOUR = 0.006
"""How much dearer than the best the plan may be from which the next attempts start."""

PATIENCE = 50
"""Rounds without a better plan after which attempts start from the best again."""

STUCK_AFTER = 3 * PATIENCE
"""Rounds without a better plan after which there hardly comes one."""

SHARES = (1, 1, 2, 4)
"""How hard the attempts of a round try here, one against another."""

LEAST_EFFORT, MOST_EFFORT = 15_000.0, 400_000.0
"""How hard the first of them tries [placings], at first and at the most."""

HARDER, EASIER = 2 ** (1 / 8), 0.5
"""By how much that changes after a round without a better plan and after one with."""

KNOWN_MOST = 4_000
DRAWN_MOST = 600
"""The newest layouts that pricing found, kept beside those."""

DIVES = 0.2
"""Share of all effort that goes into dives."""

CHOICES, CHOICES_OF_BOARDS, CHOICES_OF_SINGLES = 0.2, 0.3, 0.1
"""Share of all effort that goes into choices among all layouts seen. Boards are many kinds of
stock, so it is there that choices find what attempts do not (sixty boards: 843 to 798 at once), but
hardly where few blanks are alike. Choices in vain leave less of it."""

CHOSEN_FROM, ALL_CHOSEN_FROM = 600, 2_000
"""The newest layouts among which the integer programme chooses, and where layouts are made for it:
where stock is filled by value, or at the prices of those known. Dives start from as many there."""

CORE, WIDEST_CORE = 300, 1_600
"""In the second case it looks at so many of the least reduced cost, and at twice as many after a
choice that has found nothing: among all of a thousand it takes ten times as long for the same."""

CHOOSE_EVERY = 60
"""Rounds without a choice after which there is one all the same."""

CHOICE_NODES = 50
"""Nodes it may look into: work, not seconds, so that a run is the same on any machine."""

NEAR_ENOUGH = 0.15
"""It goes on no further than to within this share of what is open between best plan and bound."""

LAST_RESORT = 30.0
"""Seconds after which it is given up all the same, sooner where fewer are left."""

GENERATED = 0.35
"""The same for further layouts at the prices of those known, where stock is not filled by value."""

ALIKE = 2
"""They are looked for where there are so many copies of a blank on average, and not few kinds of
stock: else the linear programme is far from any plan, or takes more layouts than there is time."""

BARS = 0.85
"""Share of all effort that goes into plans of bars by dives and choices of their own."""

SHEETS = 0.75
"""The same for plans of plain sheets."""

CHEAPER_FROM = 3
"""The first round that has them: many plans are settled before."""

DIVE_EVERY = 8
"""Rounds without a better plan between dives, where nothing new has settled."""

QUICK = 3_000_000
"""Programme cells that a round of pricing may fill, by what is known beforehand and by the last
one, for dives to price on their way."""


class Engine:
    """Holds the best plan and the best bound of one problem."""

    def __init__(self, problem: Problem, seed: int) -> None:
        self.problem = problem
        self.seed = seed
        self.arrays = arrays(problem)
        self.weight = np.array([d.area for d in problem.demands], np.float64)
        self.weight /= self.weight.sum()
        self.best: Draft = draft(problem, ())
        self.base = self.best
        self.since = 0
        self.searched = 0  # in programme cells, as is what is priced
        self.searched_before = 0  # of the last round
        self.placings = LEAST_EFFORT
        self.underway = 0  # what the last attempts took, so about what the next ones will
        self.priced = 0
        self.allowance = Allowance()
        self.bound = 0
        self.work = 0
        self.rounds = 0
        self.step = 1  # costs are whole multiples of it
        if all(item.cell_credit == 0 for item in problem.stock):
            self.step = gcd(*(item.value for item in problem.stock)) or 1
        self.plan_trend = Trend()
        self.bound_trend = Trend()
        self.known = Known(KNOWN_MOST)
        self.drawn = Known(DRAWN_MOST)
        self.chosen_at = 0
        self.dived_at = 0
        self.dived = 0
        self.choosing = 0
        self.in_vain = 0  # choices in a row that have found nothing better
        self.core = CORE
        self.made_cheaper = 0
        self.generated = 0

    @property
    def proven(self) -> bool:
        """Whether nothing better can exist."""
        return self.best.complete and self.best.cost <= self.bound

    def prove(self, bound: int) -> None:
        """Take over a bound; where nothing earns credit, costs are whole multiples of a price."""
        bound = -(-bound // self.step) * self.step
        self.bound = max(self.bound, bound)

    @property
    def stuck(self) -> bool:
        """Whether the bound has come to its end, and no better plan was found for long."""
        return not self.raising.underway and self.bounding.done and self.since >= STUCK_AFTER

    @property
    def effort(self) -> int:
        """What has been put into this problem [programme cells]."""
        return self.searched + self.priced

    @property
    def slack(self) -> int:
        """How far cost and bound are apart [ticks]."""
        return self.best.cost - self.bound

    def first(self) -> None:
        """Make a first plan with narrow searches, and the quick bound."""
        order = by_price(self.problem, self.arrays)
        for plan in first_plans(self.problem, self.arrays, self.weight, order):
            self.work += plan.work
            self._take(plan.draft, plan.columns)
        self.base = self.best
        by_area = area_bound(self.problem)
        sawn = area_bound(self.problem, kerfs=True)
        self.prove(max(by_area.bound, sawn.bound, whole_bound(self.problem)))
        self.bound_trend.add(0, self.bound)
        self.bought = Bought(self.problem)
        self.bounding = Bounding(self.problem, self.arrays, by_area.prices)
        self.fillers = fillers(self.problem, self.arrays, self.bounding.groups)
        # Bars are priced exactly, so what the bound proposes is as good as what is filled.
        boards = all(item.board for item in self.problem.stock)
        self.generating = None
        alike = sum(d.copies for d in self.problem.demands) >= ALIKE * len(self.problem.demands)
        if self.fillers is None and alike and len(self.bounding.groups) > FEW:
            self.generating = Generating(self.problem, self.arrays, self.bounding.groups)
        self.sheet_fillers = None if boards else self.fillers
        jigsaw = boards and not alike and self.fillers is None
        self.leaner = Leaner(self.problem, self.arrays) if jigsaw else None
        sets = None if self.leaner is None else self.leaner.candidates
        self.widening: Widening | SetPlans | None = None
        if jigsaw or not boards:
            self.widening = Widening(self.problem, self.arrays, order, sets)
        elif self.fillers is None:
            self.widening = set_plans(self.problem, self.arrays)
        make = bar_makers if boards else sheet_makers
        makers = make(self.problem, self.arrays, self.bounding.groups)
        self.cheaper = None if makers is None else Cheaper(self.problem, makers)
        asked = self.fillers is not None or self.cheaper is not None  # its prices, in every round
        self.raising = Raising(self.bounding, beside=not asked)

    def round(self, pool: Executor, seconds_left: float) -> None:
        """Make one round: attempts at a better plan, and work on the bound while they run."""
        told = self.bought.boards.proven  # as it is now: the next job raises it
        sets = self._begin_sets(pool, seconds_left)
        beside = None if self.raising.underway else self._beside(pool, seconds_left)
        lean = self._fill(pool, told)  # the longest first, lest one runs alone at last
        wide = self._widen(pool)
        jobs = self._attempts(pool)
        more = self._generate(pool)
        if self.rounds > 1 and sets is None:
            self._begin_raising(pool, seconds_left, self.underway)
        self._improve([job.result() for job in jobs])
        whole = [job.result() for job in wide]
        if self.widening is not None:
            self.widening.end(whole)
        if self.leaner is not None:
            whole += self.leaner.end([job.result() for job in lean])
        for found in whole:
            self._take_attempt(found)
        if more and self.generating is not None:
            self._take_generated(self.generating, [job.result() for job in more])
        if self.rounds == 1 and self.bought.done:  # what attempts take is known from now on
            self._begin_raising(pool, seconds_left, 0)
        if self.raising.due(self.searched):
            self.end()
        if sets is not None:
            work = sets.result()
            self.work += work
            self._take_bound(work, self.bought.bound)
        if self.best.complete and self.cheaper is not None:
            self._cheaper(self.cheaper, pool, seconds_left)
        if beside is not None:  # last: a choice runs long, and alone were it waited for
            self._take_over(beside.result())

    def _begin_sets(self, pool: Executor, seconds_left: float) -> "Future[int] | None":
        """Begin to work on the bound by sets of boards until it has had its share of the effort.

        It takes one worker for about as long as others search in a round.
        """
        if self.bought.done or not self.best.complete or self.proven or not self.rounds:
            return None
        effort = int(self.allowance.after(self.searched, self._share())) - self.priced
        most, self.searched_before = self.searched - self.searched_before, self.searched
        return pool.submit(self.bought.go_on, min(effort, max(MOST_PRICED, most)), seconds_left)

    def _begin_raising(self, pool: Executor, seconds_left: float, underway: int) -> None:
        """Begin to raise the bound until that has had its share, what is underway included."""
        if self.raising.underway or not self.best.complete or self.proven:
            return
        rate = self._share()
        room = self.allowance.after(self.searched, rate) + underway * rate - self.priced
        self.bounding.offer(self.known.news())
        known, cost = list(self.known), self.best.cost
        self.raising.begin(pool, known, cost, room, self.searched, seconds_left)

    def end(self) -> None:
        """Wait for what is underway."""
        for made in self.raising.end():
            self.work += made.work
            self._take_bound(made.work + CELLS_A_MASTER, made.bound)
            self.drawn.add(made.drawn)

    def _take_bound(self, work: int, bound: int) -> None:
        self.priced += work
        self.prove(bound)
        self.bound_trend.add(self.priced, self.bound)

    def _cheaper(self, cheaper: Cheaper, pool: Executor, seconds: float) -> None:
        """Look for a cheaper plan of bars or plain sheets, where the quick ways have not done."""
        if not cheaper.bars and self.bounding.settled:
            cheaper.begin(self.bounding.proposals)
        elif not cheaper.bars:
            return
        most = BARS if cheaper.bars else SHEETS * (1 - wide_share(self.best))
        share = self.made_cheaper <= most * (self.searched + self.priced)
        if self.proven or self.rounds < CHEAPER_FROM or not share:
            return
        seeds = [hash_seed(self.seed, self.rounds, 100 + i) for i in range(2)]
        found = cheaper.round(pool, self.bound, self.best.cost - self.step, seeds, seconds)
        self.work += found.work
        self.searched += found.work
        self.made_cheaper += found.work
        self.prove(found.bound)
        for made in found.drafts:
            self._take(made, made.columns)

    def _share(self) -> float:
        """Return how much effort goes into the bound for each that goes into plans."""
        plan = self.plan_trend.gains(self.searched, self.best.cost)
        bound = self.bound_trend.gains(self.priced, self.bound)
        finer = self.leaner is not None and self.bounding.rung_at > QUICK_RUNGS
        fills = self.leaner is not None and not self.leaner.out
        behind = fills and self.bought.done and self.bounding.bound < self.bought.bound
        stale = self.bounding.again or behind or (finer and not bound)
        return bound_share(plan, bound, by_sets=not self.bought.done, stale=stale)

    def _attempts(self, pool: Executor) -> "list[Future[Attempt]]":
        """Begin attempts at a better plan, the longest first, lest it runs alone at last."""
        self.rounds += 1
        shares = [SHARES[(self.rounds + i) % len(SHARES)] for i in range(BATCH)]
        efforts = [int(share * self.placings) for share in shares]
        jobs = {
            i: self._attempt(pool, i, efforts[i])
            for i in sorted(range(BATCH), key=lambda i: -efforts[i])
        }
        return [jobs[i] for i in range(BATCH)]

    def _attempt(self, pool: Executor, i: int, placings: int) -> "Future[Attempt]":
        seed = hash_seed(self.seed, self.rounds, i)
        detour = int(DETOUR * self.best.cost)
        if self.fillers is not None and i < REFILLS:
            prices = self.bounding.node.prices / self.bounding.scale
            return pool.submit(
                refill, self.problem, self.fillers, self.base, prices, detour, placings, seed
            )
        args = self.problem, self.arrays, self.base, self.weight, detour, Effort(placings), seed
        return pool.submit(attempt, *args)

    def _widen(self, pool: Executor) -> "list[Future[Attempt]]":
        """Begin searches for whole plans, as many as their share of the effort allows."""
        if self.widening is None or self.proven or not self.best.complete:
            return []
        # Where nothing earns credit, whoever has spent more before the last piece is too dear.
        least = min(item.value for item in self.problem.stock) if self.step > 1 else 0
        seed = hash_seed(self.seed, self.rounds, 98)
        return self.widening.begin(pool, self.best, self.weight, least, self.effort, seed)

    def _take_attempt(self, found: Attempt) -> None:
        self.work += found.work
        self.searched += found.work * CELLS_A_PLACING
        self._take(found.draft, found.columns)

    def _generate(self, pool: Executor) -> "list[Future[Grown]]":
        """Begin a search for further layouts, as their share of the effort allows."""
        generating = self.generating
        if generating is None or self.proven or not self.best.complete or self.rounds == 1:
            return []
        share = GENERATED / (1 + generating.idle)
        if self.generated > share * (self.searched + self.priced):
            return []
        known = [*self.best.columns, *self._seen()]
        return generating.begin(pool, known, self.bound)

    def _take_generated(self, generating: Generating, step: Sequence[Grown]) -> None:
        work = sum(grown.work for grown in step)
        self.work += work
        self.searched += work * CELLS_A_PLACING
        self.generated += work * CELLS_A_PLACING
        self.known.add(generating.end(step))

    def _fill(self, pool: Executor, told: NDArray[np.float64] | None) -> "list[Future[Filled]]":
        """Begin to fill boards that cost less than the best plan; ``told``: what sets cost."""
        if self.leaner is None or self.proven or not self.best.complete or not self.rounds:
            return []
        seed = hash_seed(self.seed, self.rounds, 97)
        self.leaner.candidates.told(told)
        return self.leaner.begin(pool, self.best, self.weight, self.effort, seed)

    def _improve(self, results: Sequence[Attempt]) -> None:
        """Keep what is better of what the attempts came to."""
        before = self.best
        work = sum(found.work for found in results)
        self.work += work
        self.underway = max(work, LEAST_ROUND) * CELLS_A_PLACING
        self.searched += self.underway
        for found in results:
            self._take(found.draft, found.columns)
        if self.best.complete:
            self.plan_trend.add(self.searched, self.best.cost)
        better = self.best.merit < before.merit
        self.since = 0 if better else self.since + 1
        placings = self.placings * (EASIER if better else HARDER)
        self.placings = min(MOST_EFFORT, max(LEAST_EFFORT, placings))
        self.base = self._next_base(min(results, key=lambda r: r.draft.merit).draft)

    def _next_base(self, newest: Draft) -> Draft:
        """Return the plan to go on from: the best, or one a little dearer for a while.

        Record-to-record travel after Dueck (1993), "New optimization heuristics".
        """
        if newest.merit <= self.best.merit or self.since % PATIENCE == 0:
            return self.best
        most = self.best.cost * (1 + DETOUR)
        if newest.complete and self.best.complete and newest.cost <= most:
            return newest
        return self.base if self.base.merit[0] <= self.best.merit[0] else self.best

    def _take(self, new: Draft, columns: tuple[Column, ...]) -> None:
        self.known.add(columns)
        if new.merit < self.best.merit or (
            new.merit == self.best.merit
            and neatness(self.problem, new.columns) <= neatness(self.problem, self.best.columns)
        ):
            self.best = new

    def _beside(self, pool: Executor, seconds: float) -> "Future[Beside] | None":
        """Begin a dive or a choice, or both, where their time has come.

        They go by how things stand now, since they run beside the other work of a round.
        """
        if self.proven or not self.best.complete:
            return None
        dives = self._dives()
        every = self.rounds - self.chosen_at >= CHOOSE_EVERY
        share = CHOICES if self.sheet_fillers is not None else CHOICES_OF_BOARDS
        if self.leaner is not None:
            share = CHOICES_OF_SINGLES
        chooses = self.choosing <= share / (1 + self.in_vain) * (self.searched + self.priced)
        if dives is None and not (every and chooses):
            return None
        if every:
            self.chosen_at = self.rounds
        choice = partial(
            choose,
            self.problem,
            seconds=min(LAST_RESORT, max(1.0, seconds)),
            nodes=CHOICE_NODES,
            under=self.best.cost - self.step + 1,
            near=0.0 if self.generating is None else NEAR_ENOUGH * self.slack / self.best.cost,
            most=None if self.generating is None else self.core,
        )
        known = self._seen() if chooses else []
        return pool.submit(found_beside, self.problem, dives, known, choice)

    def _seen(self) -> list[Column]:
        """Return the layouts among which to choose."""
        made = self.sheet_fillers is not None or self.generating is not None
        return [*self.drawn, *self.known.latest(ALL_CHOSEN_FROM if made else CHOSEN_FROM)]

    def _dives(self) -> "Callable[[], Dived] | None":
        """Return a dive for a plan of what the master programme proposes.

        Its prices have settled; where the bound is done, or nothing new has settled, a shaken dive
        follows now and then.
        """
        bounding = self.bounding
        settled = bounding.settled != self.dived_at
        if not bounding.settled or not (settled or self.since % DIVE_EVERY == 1):
            return None
        bars = self.cheaper is not None and self.cheaper.bars
        if bars or self.dived > DIVES * (self.searched + self.priced):
            return None
        self.dived_at = bounding.settled
        rung = bounding.rung
        quick = rung is not None and max(rung.work, bounding.last_work) <= QUICK
        boards = self.sheet_fillers is None
        return partial(
            dive,
            self.problem,
            self.arrays,
            self.weight,
            bounding.groups,
            tuple(bounding.proposals) if boards else (),
            bounding.dear.copy(),
            bounding.scale,
            bounding.pricing() if quick and boards else None,
            None if settled else np.random.default_rng(hash_seed(self.seed, self.rounds, 99)),
            self.sheet_fillers,
            list(self.drawn) if boards else self.known.latest(ALL_CHOSEN_FROM),
        )

    def _take_over(self, found: Beside) -> None:
        if found.dived is not None:
            cells = found.dived.work * CELLS_A_PLACING
            self.work += found.dived.work
            self.searched += cells
            self.dived += cells
            self._take(found.dived.draft, found.dived.columns)
        before = self.best.merit
        if found.chosen is not None:
            self._take(found.chosen, ())
            self.core = CORE
        elif found.choosing:
            self.core = min(WIDEST_CORE, 2 * self.core)
        if found.choosing:
            self.in_vain = 0 if self.best.merit < before else self.in_vain + 1
        self.choosing += found.choosing
