"""Whole plans by ever wider beams, beside attempts that take a few layouts apart.

Iterative widening after Fontan and Libralesso (2020): the same search again and again, each time
with more nodes a level. Where there are few pieces of stock a plan is one jigsaw.
"""

from collections.abc import Sequence
from concurrent.futures import Executor, Future
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.candidates import Candidates
from nester.solve.correct import CELLS_A_PLACING
from nester.solve.improve import LEAST_WORK, Attempt
from nester.solve.offered import chosen_stock, classes_of
from nester.solve.pack import Manner, pack
from nester.solve.plans import Draft, draft
from nester.solve.seeds import hash_seed

WIDE, WIDEST = 1.5, 0.6
"""Share of all effort that goes into such searches: the first for each piece of stock that the best
plan takes, the second at the most."""

MOST_WIDE = 6
"""Searches in one round."""

NARROWEST = 200
"""Nodes a level at first."""

MOST_NODES = 500_000
"""Nodes of all levels of a search at the most: each keeps 40 bytes."""

MANNERS = (
    Manner(0, bias=0.0, slack=0.1, ahead=1),
    Manner(0, bias=0.3, slack=0.0, ahead=0),
    Manner(0, bias=0.15, slack=0.0, ahead=1),
    Manner(0, bias=0.0, slack=0.0, ahead=0),
    Manner(0, bias=0.1, slack=0.05, ahead=0),
    Manner(0, bias=0.3, slack=0.1, ahead=1),
)
"""How nodes are compared, one manner after another; then with twice as many nodes."""

MANNERS_OF_BOARDS = (
    Manner(0, slack=0.0, ahead=7, noise=0.003),
    Manner(0, bias=0.05, slack=0.0, ahead=7, noise=0.003),
    Manner(0, slack=0.03, ahead=7, noise=0.003),
    Manner(0, slack=0.0, ahead=7, noise=0.01, near_slack=1),
)
"""The same for boards."""

NOISE = 0.01
"""How much the comparison is shaken once the widest search has been made in each manner."""

PROMISED = 0.5
"""How often boards are the set that promises most. Others are drawn, which may be dearer than the
best plan, and cheaper with an offcut."""


class Widening:
    """Which search of a whole plan comes next, and how much work it will take."""

    def __init__(
        self,
        problem: Problem,
        found: Arrays,
        order: NDArray[np.int32],
        candidates: Candidates | None = None,
    ) -> None:
        self.problem, self.found = problem, found
        self.order, self.candidates = order, candidates
        self.searched: list[tuple[int, ...]] = []  # sets that promised most
        boards = all(item.board for item in problem.stock)
        self.manners = MANNERS_OF_BOARDS if boards else MANNERS
        self.filled = boards
        self.kinds = len(problem.demands)
        self.blanks = sum(d.copies for d in problem.demands)
        self.widest = max(NARROWEST, MOST_NODES // max(1, self.blanks))
        self.made = 0
        self.spent = 0  # in programme cells

    @property
    def width(self) -> int:
        """Nodes a level that the next search keeps."""
        return min(self.widest, NARROWEST << min(self.made // len(self.manners), 20))

    @property
    def placings(self) -> int:
        """About how many placings the next search tries."""
        return self.width * self.blanks * self.kinds // 2

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

        They go on while less is spent than ``best`` costs, by ``least`` [ticks].
        """
        jobs: list[Future[Attempt]] = []
        limit = float(best.cost - least)
        left = wide_share(best) * effort - self.spent
        while len(jobs) < MOST_WIDE and self.placings * CELLS_A_PLACING <= left:
            left -= self.placings * CELLS_A_PLACING
            order, manner = self.next(best, hash_seed(seed, len(jobs)))
            jobs.append(
                pool.submit(whole_plan, self.problem, self.found, weight, order, manner, limit)
            )
        return jobs

    def end(self, made: Sequence[Attempt]) -> None:
        """Note what searches have taken."""
        self.spent += sum(found.work for found in made) * CELLS_A_PLACING

    def next(self, best: Draft, seed: int) -> tuple[NDArray[np.int32], Manner]:
        """Return which classes are opened and how the next search goes; count it as made.

        Boards are now and then the set that promises most, where that is known: a beam from nothing
        fills one as often as so many placings more on a filling do. Else they are such as the
        blanks would use up more closely than in the ``best`` plan.
        """
        noise = NOISE if self.width == self.widest else 0.0
        manner = self.manners[self.made % len(self.manners)]
        manner = replace(manner, width=self.width, noise=max(noise, manner.noise), seed=seed)
        self.made += 1
        if not self.filled:
            return self.order, manner
        rng = np.random.default_rng(seed)
        chosen = self._promising(best, rng) or self._used_up(best, rng)
        order = classes_of(self.found, list(dict.fromkeys(chosen)))
        return order, replace(manner, open_most=len(order))

    def _promising(self, best: Draft, rng: np.random.Generator) -> list[int]:
        """Return the set that promises most, in any order; nothing where another is to be drawn."""
        if self.candidates is None or self.candidates.proven is None or rng.random() >= PROMISED:
            return []
        chosen, _ = self.candidates.most_promising(best, self.searched)
        if chosen is None:
            return []
        self.searched.append(chosen)
        return [int(s) for s in rng.permutation(list(chosen))]

    def _used_up(self, best: Draft, rng: np.random.Generator) -> list[int]:
        stock = [column.stock for column in best.columns]
        taken = int(self.found.takes @ np.array([d.copies for d in self.problem.demands]))
        copies = self.found.copies
        return chosen_stock(self.problem, self.found, taken, stock, best.cost, copies, rng)


def wide_share(best: Draft) -> float:
    """Return which share of all effort goes into searches for whole plans."""
    return min(WIDEST, WIDE / max(1, len(best.columns)))


def whole_plan(
    problem: Problem,
    found: Arrays,
    weight: NDArray[np.float64],
    order: NDArray[np.int32],
    manner: Manner,
    limit: float,
    copies: NDArray[np.int16] | None = None,
) -> Attempt:
    """Plan all blanks in one search, stock being opened in an order of classes.

    It goes on as long as what is spent stays under ``limit`` [ticks]. ``copies`` of each item may
    be used, all that there are unless it is said.
    """
    demand = np.array([d.copies for d in problem.demands], np.int16)
    copies = found.copies if copies is None else copies
    packed = pack(problem, found, demand, weight, copies, order, manner, limit)
    return Attempt(draft(problem, packed.columns), packed.columns, packed.work + LEAST_WORK)
