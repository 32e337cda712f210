"""Whole plans on one set of boards after another, where boards are few and blanks alike.

Attempts that take a few layouts apart seldom come to another set of boards: on the way there plans
are dearer. And the set of the best plan need not be cheap, since offcuts come back. So all sets are
listed, and the one that is expected to cost least is planned from nothing, with wider and wider
beams. What is expected is what it has cost so far, or its price less offcuts and more the more it
has left out.
"""

from collections.abc import Sequence
from concurrent.futures import Executor, Future

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.bound.board_sets import subsets
from nester.solve.correct import CELLS_A_PLACING
from nester.solve.improve import Attempt
from nester.solve.offered import classes_of
from nester.solve.pack import Manner
from nester.solve.plans import Draft
from nester.solve.seeds import hash_seed
from nester.solve.widen import whole_plan

LISTED = 8
"""Boards of which all sets are listed, at the most. Twelve make 4,000: too many to learn of."""

SHARE = 0.25
"""Share of all effort that goes into such plans."""

SEARCHES = 2
"""Searches in one round."""

NARROWEST = 100
"""Nodes a level at first."""

AS_WIDE = 3
"""Searches of one set before they are twice as wide."""

DOUBLED = 4
"""How often they become so at the most."""

LEFT_OUT = 2.0
"""How much dearer a set is expected to be for all that it left out, in parts of its price."""

FAILED, TRIED = 0.01, 0.004
"""And for each search that left something out, or was made of a set that holds all."""

BEGUN = 0.02
"""And while it is searched."""

BIASES = (0.0, 0.0, 0.05)
SLACKS = (0.0, 0.03)
NOISES = (0.003, 0.01)
AHEADS = (1, 3, 7, 7)


class SetPlans:
    """Which sets of boards have been planned, and what came of it.

    ``stocks`` are the sets with room for all blanks, by item, and ``holds`` how many of each item
    (int16). All arrays have one entry for each set: ``price`` of its boards and
    ``credit`` for all that it leaves over [ticks], ``cost`` of the best plan on it [ticks],
    ``missed`` the least share of all area left out, ``tries`` and ``fails`` counts of searches.
    """

    def __init__(self, problem: Problem, found: Arrays) -> None:
        self.problem, self.found = problem, found
        wanted = np.array([d.copies for d in problem.demands], np.int64)
        taken = int(found.takes @ wanted)
        pieces = np.repeat(np.arange(len(problem.stock)), found.copies)
        listed = dict.fromkeys(tuple(pieces[chosen].tolist()) for chosen in subsets(len(pieces)))
        room = found.room
        self.stocks = [s for s in listed if int(room[list(s)].sum()) >= taken]
        kinds = len(problem.stock)
        self.holds = [np.bincount(s, minlength=kinds).astype(np.int16) for s in self.stocks]
        value = np.array([item.value for item in problem.stock], np.float64)
        rate = np.array([item.cell_credit for item in problem.stock], np.float64)
        left = np.array([float(room[list(s)].sum() - taken) for s in self.stocks])
        self.price = np.array([value[list(s)].sum() for s in self.stocks])
        self.credit = left * np.array([rate[list(s)].max() for s in self.stocks])
        self.cost = np.full(len(self.stocks), np.inf)
        self.missed, self.tries, self.fails = np.zeros((3, len(self.stocks)))
        self.area = sum(d.area * d.copies for d in problem.demands)
        self.level = int(wanted.sum()) * len(wanted) // 2  # placings a node that is kept
        self.under_way: list[int] = []
        self.spent = 0  # in programme cells

    def begin(
        self,
        pool: Executor,
        best: Draft,
        weight: NDArray[np.float64],
        least: int,
        effort: int,
        seed: int,
    ) -> "list[Future[Attempt]]":
        """Begin as many searches as their share of all ``effort`` up to now allows.

        They go on while they may still cost less than ``best``, by ``least`` [ticks].
        """
        jobs: list[Future[Attempt]] = []
        left = SHARE * effort - self.spent
        for k in range(SEARCHES):
            i = self.next(best)
            if i is None:
                break
            width = NARROWEST << int(min(self.tries[i] // AS_WIDE, DOUBLED))
            left -= width * self.level * CELLS_A_PLACING
            if left < 0:
                break
            self.under_way.append(i)
            limit = best.cost - least + float(self.credit[i])
            order, manner = self.search(i, width, hash_seed(seed, k))
            args = self.problem, self.found, weight, order, manner, limit, self.holds[i]
            jobs.append(pool.submit(whole_plan, *args))
        return jobs

    def end(self, made: Sequence[Attempt]) -> None:
        """Learn what has come of the searches begun."""
        for i, each in zip(self.under_way, made, strict=True):
            self.spent += each.work * CELLS_A_PLACING
            self.tries[i] += 1
            if each.draft.complete:
                self.cost[i] = min(self.cost[i], each.draft.cost)
                continue
            missed = each.draft.merit[1] / self.area
            self.missed[i] = min(missed, self.missed[i]) if self.fails[i] else missed
            self.fails[i] += 1
        self.under_way = []

    def next(self, best: Draft) -> int | None:
        """Return the set expected to cost least, None where none can cost less than ``best``."""
        expected = self.expected(best)
        expected[self.under_way] *= 1 + BEGUN
        if not np.isfinite(expected).any():
            return None
        return int(np.argmin(expected))

    def search(self, i: int, width: int, seed: int) -> tuple[NDArray[np.int32], Manner]:
        """Return in which order the classes of a set are opened, and how the search goes."""
        rng = np.random.default_rng(seed)
        stock = list(dict.fromkeys(self.stocks[i]))
        order = classes_of(self.found, [int(s) for s in rng.permutation(stock)])
        manner = Manner(
            width,
            bias=float(rng.choice(BIASES)),
            slack=float(rng.choice(SLACKS)),
            open_most=max(1, len(order)),
            near_slack=int(rng.integers(0, 2)),
            noise=float(rng.choice(NOISES)),
            ahead=int(rng.choice(AHEADS)),
            seed=int(rng.integers(2**31)),
        )
        return order, manner

    def expected(self, best: Draft) -> NDArray[np.float64]:
        """Return what each set may cost [ticks]; as much of it comes back as in the ``best`` plan.

        It is infinite where even all that is left over would not make it cheaper.
        """
        dearer = LEFT_OUT * self.missed + FAILED * self.fails
        guess = (self.price - self._kept(best) * self.credit) * (1 + dearer)
        known = self.cost * (1 + TRIED * self.tries)
        expected = np.where(np.isfinite(self.cost), known, guess)
        return np.where(self.price - self.credit < best.cost, expected, np.inf)

    def _kept(self, best: Draft) -> float:
        """Return which share of what its boards leave over the plan keeps as offcuts, by credit."""
        mine = tuple(sorted(column.stock for column in best.columns))
        if mine not in self.stocks:
            return 0.0
        i = self.stocks.index(mine)
        return min(1.0, (float(self.price[i]) - best.cost) / max(1.0, float(self.credit[i])))


def set_plans(problem: Problem, found: Arrays) -> SetPlans | None:
    """Return what plans on sets of boards, None where there are too many to list."""
    return SetPlans(problem, found) if int(found.copies.sum()) <= LISTED else None
