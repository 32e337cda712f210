"""Section pricing at one size of steps, and what it found."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.drawn import Sketch
from nester.solve.bound.earned import Earned, earned
from nester.solve.bound.other_layouts import other_layouts, sections_to
from nester.solve.bound.places import Places, option_rows, places, row_news
from nester.solve.bound.sizes import least_offcut
from nester.solve.kernels import columns as k
from nester.solve.kernels.section_tables import SectionTables
from nester.solve.kernels.section_walk import section_walk
from nester.solve.kernels.sections import best_sections, worth_from
from nester.solve.lazy import Lazy

OTHERS = 3
"""Layouts besides the best that pricing hands to the master programme."""

RATIO = 2
"""How many times finer each level of section pricing is than the one before."""

Steps: TypeAlias = tuple[int, int]
"""Cells a step along u and across v."""

NO_SQUARE = np.zeros((1, 1), np.int64)
UNKNOWN = 2**61
"""In place of the most that a section may be worth, where nothing is known of it."""


@dataclass(frozen=True, slots=True, eq=False)
class Rough:
    """What is known of layouts before a level looks at them, on its steps along u.

    ``before`` each u, ``after`` each u, in a section of so many steps (``long``), and in each
    section on steps ``ratio`` times as coarse (0: not known) they are worth so much at the most.
    """

    before: NDArray[np.int64]
    after: NDArray[np.int64]
    long: NDArray[np.int64]
    ratio: int = 0
    of: NDArray[np.int64] = field(default_factory=lambda: NO_SQUARE)


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What layouts without flaws are worth: up to each length, and in a section of each length.

    Lengths are in steps of ``fine`` cells; there are ``span`` cells, a kerf among them.
    """

    fine: int
    span: int
    reached: NDArray[np.int64]
    sections: NDArray[np.int64]
    work: int

    def at(self, fine: int) -> Rough:
        """Return it for a level with other steps."""
        begin = np.arange(self.span // fine + 1) * fine
        most = np.minimum((begin + fine - 1) // self.fine, len(self.reached) - 1)
        rest = (self.span - begin) // self.fine
        return Rough(self.reached[most], self.reached[rest], self.sections[most])


def no_others(least: int) -> list[tuple[int, Sketch]]:
    """Return that no other layouts are known."""
    return []


@dataclass(frozen=True, slots=True, eq=False)
class Best:
    """What section pricing found at one size of steps.

    ``reached``: the most before each u; ``sections``: what each section is worth. ``sketch`` draws
    the best layout, ``others`` a few that differ from it and are worth more than some value.
    """

    reached: NDArray[np.int64]
    sections: NDArray[np.int64]
    work: int
    sketch: Callable[[], Sketch]
    others: Callable[[int], list[tuple[int, Sketch]]] = no_others

    @property
    def worth(self) -> int:
        """The most there is."""
        return int(self.reached[-1])


class Level:
    """Section pricing at one size of steps; its tables are made when they are first read."""

    def __init__(self, found: Arrays, cls: int, item: StockItem, fine_u: int, fine_v: int) -> None:
        table = found.classes[cls]
        self.found, self.cls = found, cls
        self.steps = (fine_u, fine_v)
        ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
        over_u, over_v = least_offcut(found, cls, item)
        off_u, off_v = max(1, (over_u + ku) // fine_u), max(1, (over_v + kv) // fine_v)
        self.credit = item.cell_credit
        least = int(option_rows(found, cls)[:, 1].min())
        self.off = (off_u, off_v, (least + ku) // fine_u)
        self.kerf = ku
        self.item, self.least_width = item, over_v
        # An offcut of the whole width keeps both edges, where the board is not ripped first.
        ripped = int(table[k.C_RIP_FIRST]) == 1
        lost = int(found.near[table[k.C_NEAR]]) if ripped else 0
        self.keeps_whole = self.credit > 0 and int(table[k.C_V2]) - lost >= over_v

    @Lazy
    def tables(self) -> Places:
        """Where each blank may lie, on these steps."""
        return places(self.found, self.cls, *self.steps)

    @Lazy
    def earned(self) -> Earned:
        """What leftovers earn, on these steps."""
        return earned(self.found, self.cls, self.item, self.tables, self.least_width)

    @Lazy
    def read(self) -> SectionTables:
        """The tables as the kernels read them."""
        t, e = self.tables, self.earned
        return SectionTables(
            nu=int(t.nu),
            nv=int(t.nv),
            row_kind=t.row_kind,
            row_news=row_news(t.row_kind),
            strip_step=t.strip_step,
            kind_first=t.kind_first,
            kind_class=t.kind_class,
            spare=e.spare,
            member=t.member,
            starts=t.starts,
            news=t.news,
            step_u=t.step_u,
            first_v=t.first_v,
            credit=int(self.credit),
            off_u=self.off[0],
            off_v=self.off[1],
            least_u=self.off[2],
            fine_u=int(t.fine_u),
            fine_v=int(t.fine_v),
            kerf_u=int(self.kerf),
            sums=e.sums,
            low_u=e.low_u,
            high_u=e.high_u,
            low_v=e.low_v,
            high_v=e.high_v,
            earned=e.kinds,
            broad=e.broad,
            keeps_whole=bool(self.keeps_whole),
            whole=e.whole,
        )

    def best(
        self, prices: NDArray[np.int64], least: int, rough: Rough, most_work: int = UNKNOWN
    ) -> Best:
        """Return what ``kernels.sections.best_sections`` finds."""
        reached, came, found, work = best_sections(
            self.read,
            prices[self.tables.owner],
            least,
            rough.before,
            rough.after,
            rough.long,
            rough.ratio,
            rough.of,
            most_work,
        )
        return Best(
            reached,
            found,
            work,
            partial(self.sketch, prices, came),
            partial(self.others, prices, reached, came, found),
        )

    def finer(self, rough: Rough, best: Best) -> Rough:
        """Return what is known for the next level, ``RATIO`` times as fine, from what this found.

        ``rough`` is what else is known there.
        """
        u = np.arange(len(rough.before)) // RATIO
        return replace(
            rough,
            before=np.minimum(rough.before, best.reached[u]),
            after=np.minimum(rough.after, self.after(best.sections)[u]),
            ratio=RATIO,
            of=best.sections,
        )

    def after(self, sections: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return what is worth most from each u to the end."""
        found: NDArray[np.int64] = worth_from(self.read, sections)
        return found

    def sketch(self, prices: NDArray[np.int64], came: NDArray[np.int32]) -> Sketch:
        """Return the best layout, walked back from where it ends."""
        return self._drawn(prices, sections_to(came, self.tables.nu))

    def others(
        self,
        prices: NDArray[np.int64],
        reached: NDArray[np.int64],
        came: NDArray[np.int32],
        sections: NDArray[np.int64],
        least: int,
    ) -> list[tuple[int, Sketch]]:
        """Return a few layouts worth more than ``least``, and what they are worth at the most.

        Each is the best with some section that none of those before has about there.
        """
        after = self.after(sections)
        layouts = other_layouts(reached, came, sections, after, least, OTHERS)
        return [(worth, self._drawn(prices, layout)) for worth, layout in layouts]

    def _drawn(self, prices: NDArray[np.int64], layout: Sequence[Steps]) -> Sketch:
        sections = tuple(self.walked(prices, us, ue) for us, ue in layout)
        return Sketch(self.cls, *self.steps, sections)

    def walked(self, prices: NDArray[np.int64], us: int, ue: int) -> NDArray[np.int32]:
        """Return the blanks of a best section."""
        values = prices[self.tables.owner]
        placed: NDArray[np.int32] = section_walk(self.read, us, ue, values)
        return placed
