"""Plans on less stock: what has no place there yet is squeezed in, a few layouts at a time.

Where stock is few large pieces, a cheaper plan is on other pieces, and no small change of the best
one leads there. So pieces are chosen first that cost less and that the blanks could fill; blanks
that find no room on them are as few as can be, then fewer, until there are none. Ruin and recreate
as in ``improve``, but what gets less is the area left out, which changes little by little.
"""

from collections.abc import Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.between import Kept, opened, pack_between
from nester.solve.candidates import Candidates
from nester.solve.columns import Column
from nester.solve.correct import CELLS_A_PLACING
from nester.solve.improve import LEAST_WORK, Attempt
from nester.solve.offered import classes_of
from nester.solve.pack import Manner, Packed, moved, pack
from nester.solve.plans import Draft, copies_used, draft
from nester.solve.rows import Row
from nester.solve.seeds import hash_seed

FIRST_WIDTH = 300
"""Nodes a level of the first search."""

SIZES = (2, 2, 3)
"""How many layouts are taken apart, as often as they stand here."""

SECTIONS = 0.5
"""How often only some sections are taken out, not whole layouts."""

FEWEST_OUT, MOST_OUT = 12, 24
"""Blanks, about, that are then out at the least and at the most, those left out before included."""

NOISES = (0.003, 0.01, 0.02)
AHEADS = (0, 3, 7, 7)
BIASES = (0.0, 0.0, 0.05)
SLACKS = (0.0, 0.03)
POWERS = (0.95, 1.0, 1.0, 1.0, 1.05, 1.1)

FIRST_BIASES, FIRST_AHEADS = (0.0, 0.05, 0.1), (1, 3, 7)
"""The first search on a set is shaken least: what it leaves out tells how much room there is."""

DETOUR = 0.15
"""How much more than now may be left out for a while, at the most."""

HARDER = 1.5
"""What is left out after many steps is so many times harder to place than after a first search."""

HALVED = 1_000_000
"""Placings in vain after which a filling promises half of what it did."""

PLACINGS = 400_000
"""Placings of one job, about, at the least."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How fillings go on: ``share`` of all effort that goes into them, ``slots`` side by side.

    Each slot has one job in a round: jobs from the same filling would waste what one of them has
    gained. A job is ``most`` placings where its share allows; after ``patience`` placings without
    less left out, other stock is chosen. ``widths``: nodes a level of searches that place anew.
    """

    share: float
    slots: int
    most: int
    patience: int
    widths: tuple[int, ...]


FEW = Pace(0.75, 3, 1_600_000, 2_500_000, (50, 100, 200))
"""Where all sets of stock are listed: little else gets on there, and another beginning helps more
than going on for long."""

MANY = Pace(0.5, 4, PLACINGS, 12 * PLACINGS, (100, 200, 400))


@dataclass(frozen=True, slots=True)
class Filling:
    """Pieces of stock, by item, and plans on them that may leave out blanks.

    ``draft`` leaves out least so far, ``at`` is where the search for another has come to.
    """

    stock: tuple[int, ...]
    draft: Draft
    at: Draft

    @property
    def left(self) -> int:
        """The finished area left out."""
        return self.draft.merit[1]


@dataclass(frozen=True, slots=True)
class Filled:
    """What a job came to: the filling that leaves out least, all layouts it found, and its work.

    ``first`` is the area that its first search left out.
    """

    filling: Filling
    columns: tuple[Column, ...]
    work: int
    first: int


class Leaner:
    """Which stock is being filled, and how far that has come."""

    def __init__(self, problem: Problem, found: Arrays) -> None:
        self.problem, self.found = problem, found
        everything = np.repeat(np.arange(len(problem.stock)), found.copies)
        nothing = empty(problem, everything.tolist())
        self.candidates = Candidates(problem, found)
        self.area = sum(d.area * d.copies for d in problem.demands)
        self.pace = FEW if self.candidates.few else MANY
        self.fillings = [nothing] * self.pace.slots
        self.idle = [0] * self.pace.slots  # placings of each since it left out less
        self.begun: list[int] = []  # the fillings that jobs are at
        self.spent = 0  # in programme cells
        self.out = False  # of stock that costs less and may hold all

    def begin(
        self,
        pool: Executor,
        best: Draft,
        weight: NDArray[np.float64],
        effort: int,
        seed: int,
    ) -> "list[Future[Filled]]":
        """Begin to fill stock that costs less than the ``best`` plan, where it is found.

        It may take its share of all ``effort`` up to now.
        """
        self.begun = []
        pace = self.pace
        if self.spent > pace.share * effort:
            return []
        left = (pace.share * effort - self.spent) / (CELLS_A_PLACING * pace.slots)
        placings = int(min(pace.most, max(PLACINGS, left)))
        seeds = [hash_seed(seed, i) for i in range(pace.slots)]
        self.begun = [i for i in range(pace.slots) if self.next(i, best, seeds[i])]
        self.out = not self.begun
        return [
            pool.submit(
                filled,
                self.problem,
                self.found,
                weight,
                self.fillings[i],
                pace.widths,
                placings,
                seeds[i],
            )
            for i in self.begun
        ]

    def end(self, made: Sequence[Filled]) -> list[Attempt]:
        """Go on from what was made of each filling, and return all as attempts."""
        for i, each in zip(self.begun, made, strict=True):
            if not self.fillings[i].draft.columns:
                self.candidates.tried(each.filling.stock, each.first / self.area)
            better = self.fillings[i].left > each.filling.left
            self.idle[i] = 0 if better else self.idle[i] + each.work
            self.fillings[i] = each.filling
        self.begun = []
        self.spent += sum(each.work for each in made) * CELLS_A_PLACING
        return [Attempt(each.filling.draft, each.columns, each.work) for each in made]

    def next(self, i: int, best: Draft, seed: int) -> bool:
        """Choose stock anew where it is time; whether what is to be filled costs less."""
        filling = self.fillings[i]
        dear = self._cost(i) >= best.cost or self.candidates.hopeless(filling.stock, best)
        through = filling.draft.complete or dear
        vain = not through and (self.idle[i] >= self.pace.patience or self._poor(i, best))
        if vain:
            self.candidates.give_up(filling.stock)
        if through or vain:
            self.idle[i] = 0
            others = [each.stock for each in self.fillings if each is not filling]
            chosen = self.candidates.next(best, others, np.random.default_rng(seed))
            if chosen is None:
                return False
            self.fillings[i] = empty(self.problem, chosen)
        return True

    def _poor(self, i: int, best: Draft) -> bool:
        """Whether another set promises more than what is being filled, the less the longer idle."""
        filling = self.fillings[i]
        if self.candidates.proven is None or not filling.draft.columns:
            return False
        now = self.candidates.promises(filling.stock, HARDER * filling.left / self.area, best)
        under_way = [each.stock for each in self.fillings]
        _, other = self.candidates.most_promising(best, under_way)
        return now < other * (1 + self.idle[i] / HALVED)

    def _cost(self, i: int) -> int:
        return sum(self.problem.stock[s].value for s in self.fillings[i].stock)


def empty(problem: Problem, stock: Sequence[int]) -> Filling:
    """Return stock with nothing on it yet."""
    nothing = draft(problem, ())
    return Filling(tuple(stock), nothing, nothing)


def filled(
    problem: Problem,
    found: Arrays,
    weight: NDArray[np.float64],
    now: Filling,
    widths: Sequence[int],
    placings: int,
    seed: int,
) -> Filled:
    """Take a few layouts, or some of their sections, out again and again, and place all anew.

    Each search has one of ``widths`` [nodes a level]. It ends after so many ``placings``, about, or
    once nothing is left out.
    """
    rng = np.random.default_rng(seed)
    holds = np.bincount(now.stock, minlength=len(problem.stock)).astype(np.int16)
    at, best = now.at, now.draft
    work, first, made = 0, best.merit[1], list[Column]()
    while work < placings and not best.complete:
        shaken = weight ** float(rng.choice(POWERS) if at.columns else 1.0)
        shaken /= shaken.sum()
        some = at.columns and rng.random() < SECTIONS
        place = _some_sections if some else _whole_layouts
        kept, packed = place(problem, found, at, holds, shaken, int(rng.choice(widths)), rng)
        new = draft(problem, [*kept, *packed.columns])
        first = first if work else new.merit[1]
        work += packed.work + LEAST_WORK
        made += packed.columns
        if new.complete:  # only now do offcuts matter
            new = draft(problem, [moved(problem, each) for each in new.columns])
        if new.merit[1] <= at.merit[1] * (1 + DETOUR * float(rng.random()) ** 3):
            at = new
        if new.merit[1] < best.merit[1]:
            best = new
    return Filled(Filling(now.stock, best, at), tuple(made), work, first)


def _whole_layouts(
    problem: Problem,
    found: Arrays,
    at: Draft,
    holds: NDArray[np.int16],
    weight: NDArray[np.float64],
    width: int,
    rng: np.random.Generator,
) -> tuple[list[Column], Packed]:
    """Take a few layouts apart; return the others, and what the stock of these holds then."""
    size = min(len(at.columns), int(rng.choice(SIZES)))
    apart = {int(i) for i in rng.choice(len(at.columns), size=size, replace=False)}
    kept = [c for i, c in enumerate(at.columns) if i not in apart]
    wanted = np.array(draft(problem, kept).missing, np.int16)
    copies = holds - copies_used(problem, kept)
    order = classes_of(found, [int(s) for s in rng.permutation(np.flatnonzero(copies))])
    manner = _manner(FIRST_WIDTH if not kept else width, len(order), rng)
    if not at.columns:
        bias, ahead = float(rng.choice(FIRST_BIASES)), int(rng.choice(FIRST_AHEADS))
        manner = replace(manner, bias=bias, ahead=ahead, noise=NOISES[0], near_slack=0)
    return kept, pack(problem, found, wanted, weight, copies, order, manner)


def _some_sections(
    problem: Problem,
    found: Arrays,
    at: Draft,
    holds: NDArray[np.int16],
    weight: NDArray[np.float64],
    width: int,
    rng: np.random.Generator,
) -> tuple[list[Column], Packed]:
    """Take some sections out of a few layouts; return the others, and these with what is placed."""
    enough = int(rng.integers(FEWEST_OUT, MOST_OUT + 1)) - sum(at.missing)
    others, parts = opened(problem, at.columns, enough, rng)
    unused = np.repeat(np.arange(len(holds)), holds - copies_used(problem, at.columns))
    rest = [Kept(int(s), Row("x", ())) for s in unused]
    manner = _manner(width, 1, rng)
    return others, pack_between(problem, found, others, [*parts, *rest], weight, manner, rng)


def _manner(width: int, opened: int, rng: np.random.Generator) -> Manner:
    return Manner(
        width,
        bias=float(rng.choice(BIASES)),
        slack=float(rng.choice(SLACKS)),
        open_most=max(1, opened),
        near_slack=int(rng.integers(0, 2)),
        noise=float(rng.choice(NOISES)),
        ahead=int(rng.choice(AHEADS)),
        seed=int(rng.integers(2**31)),
    )
