"""Section pricing from coarse to fine steps."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.drawn import Sketch
from nester.solve.bound.level import UNKNOWN, Best, Level, Steps, Told
from nester.solve.bound.places import option_rows, rising
from nester.solve.bound.plain import PlainLevel
from nester.solve.bound.pricing import Priced, PricedLayout
from nester.solve.bound.sizes import plate_size

SHARES = (0.9, 0.75, 0.5, 0.0)
"""How far below the value without flaws levels look, in turn, as a share of what is over."""

MORE = 4
"""How many times as much a pricing that was cut short may take the next time."""


class SectionPricer:
    """Any three-stage layout between the flaws, sizes rounded down to steps.

    It is looked for from coarse to fine: what a coarse level proves to be worth no more than
    ``least`` is not looked into at the next, where steps are ``RATIO`` times as fine (after
    Raphael 2001, "Coarse-to-fine dynamic programming"). What layouts without flaws are worth, on
    steps of ``plain`` cells, says where the first one looks: near the prices of a plan few sections
    are worth it, and pricing of twelve flawed boards went from 2.7 to 0.4 s. A level that takes
    more than ``most_work`` cells is given up, and what was known before is the bound.
    """

    def __init__(
        self,
        found: Arrays,
        cls: int,
        item: StockItem,
        demands: int,
        steps: Sequence[Steps],
        plain: int = 1,
        most_work: int = UNKNOWN,
    ) -> None:
        self.step = steps[-1][0]
        self.levels = [Level(found, cls, item, *each) for each in steps]
        self.plain = PlainLevel(found, cls, item, plain, 1)
        self.most_work = most_work
        self.cut = False
        self.cls = cls
        self.found = found
        self.demands = demands
        self.beyond = item.cell_credit * item.beyond
        self.work = section_work(found, cls, *steps[0])

    def take_over(self, other: "SectionPricer") -> None:
        """Take over the levels that another pricer of the same class already has at hand."""
        if self.found is other.found and self.cls == other.cls:
            self.most_work = max(self.most_work, other.most_work)
            known = {level.steps: level for level in other.levels}
            self.levels = [known.get(level.steps, level) for level in self.levels]
            if self.plain.steps == other.plain.steps:
                self.plain = other.plain

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        least = max(0, least - self.beyond)
        prices = rising(prices, self.found)
        told = self.plain.told(prices)
        upper, work = int(told.reached[-1]), told.work
        best: Best | None = None
        self.cut = False
        if upper > least:
            best, upper, done = self._looked(prices, least, told)
            work += done
        if best is None or best.worth <= least:
            none = np.zeros(self.demands, np.int32)
            return Priced(max(upper, least) + self.beyond, none, 0, work, found=False)
        layouts = [(best.worth, best.sketch()), *best.others(least)]
        first, *others = [self._layout(prices, *each) for each in layouts]
        return Priced(
            upper + self.beyond,
            first.counts,
            first.credit,
            work,
            sketch=first.sketch,
            others=tuple(others),
        )

    def _layout(self, prices: NDArray[np.int64], worth: int, sketch: Sketch) -> PricedLayout:
        counts = self._held(self.levels[-1], sketch)
        gained = int(np.dot(counts.astype(np.int64), prices))
        return PricedLayout(counts, worth + self.beyond - gained, sketch)

    def more(self) -> bool:
        """Let a pricing that was cut short take more from now on; whether it was."""
        if self.cut:
            self.most_work *= MORE
        return self.cut

    def _looked(
        self, prices: NDArray[np.int64], least: int, told: Told
    ) -> tuple[Best | None, int, int]:
        """Return a layout of the finest level worth over ``least``, the most there is, and work."""
        first, *others = self.levels
        upper = int(told.reached[-1])
        best = first.best(prices, least, told.at(first.steps[0]), self.most_work)
        work = best.work
        if work > self.most_work:
            self.cut = True
            return None, upper, work
        if not others:
            best, done = self._settled(first, prices, least, best)
            return best, best.worth, work + done
        upper = min(upper, best.worth)
        over = upper - least
        # Close below what it could be there is little to look into, so that is tried first; the
        # first better layout will do, and what was not looked into bounds the rest.
        for share in SHARES if over > 0 else ():
            lower = least + int(over * share)
            found, done = self._finer(prices, lower, told, best)
            work += done
            if found is None:
                self.cut = True
                return None, upper, work
            if found.worth > least:
                return found, max(found.worth, lower), work
            upper = lower
        return None, upper, work

    def _finer(
        self, prices: NDArray[np.int64], least: int, told: Told, coarse: Best
    ) -> tuple[Best | None, int]:
        """Return the best of the finest level that is looked into, and the work.

        A value over ``least`` is the best there is; another is some layout's, 0 where none is left.
        None where it was cut short.
        """
        work, best = 0, coarse
        for before, level in pairwise(self.levels):
            rough = before.finer(told.at(level.steps[0]), best)
            best = level.best(prices, least, rough, self.most_work)
            work += best.work
            if best.work > self.most_work:
                return None, work
            if best.worth <= least and level is not self.levels[-1]:
                return replace(best, reached=np.zeros(1, np.int64)), work
        best, done = self._settled(self.levels[-1], prices, least, best)
        return best, work + done

    def _settled(
        self, level: Level, prices: NDArray[np.int64], least: int, best: Best
    ) -> tuple[Best, int]:
        """Return the best of the finest level as it is to be taken, and the work beyond."""
        return best, 0

    def _held(self, level: Level, sketch: Sketch) -> NDArray[np.int32]:
        """Return how many of each blank a layout holds."""
        counts = np.zeros(self.demands, np.int32)
        for placed in sketch.sections:
            np.add.at(counts, level.tables.owner[placed[:, 0]], 1)
        return counts


def section_work(found: Arrays, cls: int, fine_u: int, fine_v: int) -> int:
    """Return about how many programme cells section pricing takes."""
    nx, ny = plate_size(found, cls)
    rows = option_rows(found, cls)
    widths = len(np.unique(rows[:, 2]))
    return (nx // fine_u) ** 2 * (ny // fine_v + 2 * len(rows)) * widths
