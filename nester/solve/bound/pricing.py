"""Pricing: the layout of a stock item that is worth most at given prices of blanks.

Both pricers may think of layouts that cannot be sawn (flaws ignored, sizes rounded down to steps),
never fewer than can: their values are upper bounds, so what is proven from them holds.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.drawn import Sketch
from nester.solve.bound.earned import Earned, earned
from nester.solve.bound.places import Places, option_rows, places, rising
from nester.solve.kernels import columns as k
from nester.solve.kernels.plate import plate_counts, plate_values
from nester.solve.kernels.section_tables import SectionTables
from nester.solve.kernels.section_walk import section_walk
from nester.solve.kernels.sections import best_sections, worth_from

RATIO = 2
"""How many times finer each level of section pricing is than the one before."""

Steps: TypeAlias = tuple[int, int]
"""Cells a step along u and across v."""

Rough: TypeAlias = tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]
"""What a coarser level proved: the most before each u, in each section, after each u."""

SHARES = (0.9, 0.75, 0.5, 0.0)
"""How far below the coarse value finer levels look, in turn, as a share of what is over."""

NO_LINE = np.zeros(1, np.int64)
NO_SQUARE = np.zeros((1, 1), np.int64)


@dataclass(frozen=True, slots=True)
class Priced:
    """The most any layout is worth, offcut credit included [ticks], and one of the best layouts.

    Where no layout is worth more than what was asked for, ``found`` is false.
    Wood beyond the last whole cells is credited in full, whether or not an offcut reaches there.
    ``sketch`` tells where its blanks lie, where the pricer knows.
    """

    value: int
    counts: NDArray[np.int32]
    credit: int
    work: int
    found: bool = True
    sketch: Sketch | None = None


class Pricer(Protocol):
    """Prices one stock item: the best layout at given prices, where it is worth over ``least``.

    Some never take a blank more often than it is ``wanted``.
    """

    work: int
    step: int

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced: ...


class PlatePricer:
    """Any guillotine layout of the usable rectangle, flaws not looked at."""

    def __init__(self, found: Arrays, cls: int, item: StockItem, demands: int, step: int) -> None:
        table = found.classes[cls]
        ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
        rows = option_rows(found, cls)
        self.step = step
        self.nx, self.ny = (size // step for size in plate_size(found, cls))
        self.lengths = ((rows[:, 1] + ku) // step).astype(np.int32)
        self.widths = ((rows[:, 2] + kv) // step).astype(np.int32)
        self.owner = rows[:, 0].astype(np.int32)
        self.demands = demands
        self.credit = item.cell_credit * step * step
        self.beyond = item.cell_credit * item.beyond
        over_u, over_v = least_offcut(found, cls, item)
        edges = edge_rows(found, cls, item)
        if edges >= over_v:
            self.beyond += item.cell_credit * self.nx * step * edges
        off = [max(1, (over_u + ku) // step), max(1, (over_v - edges + kv) // step)]
        other = [max(1, (over_v + ku) // step), max(1, (over_u + kv) // step)]
        off += other if item.off_either else [2**30] * 2
        # x steps hold at most (x + 1) * step - 1 cells, a kerf among them.
        # An offcut may keep the edges that only blanks lose.
        off += [(ku + 1) // step - 1, (kv + 1) // step - 1 - -(-edges // step)]
        self.off = np.array(off, np.int32)
        self.work = plate_work(self.nx, self.ny)

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        values = prices[self.owner]
        useful = values > 0
        lengths, widths = self.lengths[useful], self.widths[useful]
        best = plate_values(
            self.nx, self.ny, lengths, widths, values[useful], self.credit, self.off
        )
        counts, credit = plate_counts(
            best,
            lengths,
            widths,
            values[useful],
            self.owner[useful],
            self.demands,
            self.nx,
            self.ny,
        )
        value = int(best[self.nx, self.ny]) + self.beyond
        return Priced(value, counts, int(credit) + self.beyond, self.work)


def least_offcut(found: Arrays, cls: int, item: StockItem) -> tuple[int, int]:
    """Return the least offcut along u and v; one cell less where wood lies beyond the cells."""
    loose = 1 if item.beyond else 0
    long, wide = item.off_length - loose, item.off_width - loose
    return (wide, long) if int(found.classes[cls, k.C_RIP_FIRST]) == 1 else (long, wide)


def edge_rows(found: Arrays, cls: int, item: StockItem) -> int:
    """Return how many rows along a board's edges an offcut may keep and a blank may not [cells].

    None where the board is ripped first, since it is straightened whole, and none on a sheet.
    """
    if not item.board or int(found.classes[cls, k.C_RIP_FIRST]) == 1:
        return 0
    low = int(found.near[found.classes[cls, k.C_NEAR]])
    high = int(far_limit(found, cls).max(initial=0))
    return max(0, item.ny - max(0, high - low))


def plate_size(found: Arrays, cls: int) -> tuple[int, int]:
    """Return the rectangle that holds all blanks of a class, a kerf added both ways [cells]."""
    table = found.classes[cls]
    u1, u2 = int(table[k.C_U1]), int(table[k.C_U2])
    low = int(found.near[table[k.C_NEAR]])
    high = int(far_limit(found, cls).max(initial=0))
    return max(0, u2 - u1) + int(table[k.C_KU]), max(0, high - low) + int(table[k.C_KV])


def largest_steps(found: Arrays, cls: int, item: StockItem) -> tuple[int, int]:
    """Return the coarsest steps along u and v at which nothing shrinks to no step at all.

    What takes no step could be had any number of times, and its value would no longer be a bound.
    """
    table = found.classes[cls]
    rows = option_rows(found, cls)
    sizes_u = [int(rows[:, 1].min()) + int(table[k.C_KU])]
    sizes_v = [int(rows[:, 2].min()) + int(table[k.C_KV])]
    if item.cell_credit > 0:
        least_u, least_v = least_offcut(found, cls, item)
        if item.off_either:
            least_u = least_v = min(least_u, least_v)
        sizes_u.append(least_u + int(table[k.C_KU]))
        sizes_v.append(least_v - edge_rows(found, cls, item) + int(table[k.C_KV]))
    return max(1, min(sizes_u)), max(1, min(sizes_v))


def plate_work(nx: int, ny: int) -> int:
    """Return about how many programme cells a plate takes."""
    return nx * ny * (nx + ny) // 4


def far_limit(found: Arrays, cls: int) -> NDArray[np.int32]:
    """Return how far blanks may reach across v at each cell of u, by the blocks at the far edge."""
    table = found.classes[cls]
    u1, u2, v2 = int(table[k.C_U1]), int(table[k.C_U2]), int(table[k.C_V2])
    span = max(0, u2 - u1)
    best = np.zeros(span, np.int32)
    for i in lists_used(found, cls):
        lo, hi = found.lists[i]
        limit = np.full(span, v2, np.int32)
        for a, b, c, d, excuse in found.blocks[lo:hi]:
            if d >= v2 and excuse < 0:
                hidden = slice(max(0, a - u1), max(0, c - u1))
                limit[hidden] = np.minimum(limit[hidden], b)
        best = np.maximum(best, limit)
    return best


def lists_used(found: Arrays, cls: int) -> list[int]:
    """Return the block lists that the options of a class go by."""
    first = int(found.classes[cls, k.C_BLOCKS])
    rows = option_rows(found, cls)
    return sorted({first + int(i) for i in rows[:, 3:5].ravel() if i >= 0})


def is_plain(found: Arrays, cls: int) -> bool:
    """Whether there are no blocks but a straight far edge, so that a plate tells all."""
    limit = far_limit(found, cls)
    if len(limit) == 0 or limit.min() != limit.max():
        return False
    v2 = int(found.classes[cls, k.C_V2])
    return all(
        (found.blocks[found.lists[i, 0] : found.lists[i, 1], 3] >= v2).all()
        for i in lists_used(found, cls)
    )


@dataclass(frozen=True, slots=True, eq=False)
class Best:
    """What section pricing found at one size of steps.

    ``reached``: the most before each u; ``sections``: what each section is worth. ``sketch`` draws
    the best layout.
    """

    reached: NDArray[np.int64]
    sections: NDArray[np.int64]
    work: int
    sketch: Callable[[], Sketch]

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

    @cached_property
    def tables(self) -> Places:
        """Where each blank may lie, on these steps."""
        return places(self.found, self.cls, *self.steps)

    @cached_property
    def earned(self) -> Earned:
        """What leftovers earn, on these steps."""
        return earned(self.found, self.cls, self.item, self.tables, self.least_width)

    @cached_property
    def read(self) -> SectionTables:
        """The tables as the kernels read them."""
        t, e = self.tables, self.earned
        return SectionTables(
            nu=int(t.nu),
            nv=int(t.nv),
            row_kind=t.row_kind,
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

    def best(self, prices: NDArray[np.int64], least: int, rough: Rough | None) -> Best:
        """Return what ``kernels.sections.best_sections`` finds."""
        before, sections, after = rough or (NO_LINE, NO_SQUARE, NO_LINE)
        reached, came, found, work = best_sections(
            self.read,
            prices[self.tables.owner],
            least,
            RATIO if rough else 0,
            before,
            sections,
            after,
        )
        return Best(reached, found, work, partial(self.sketch, prices, came))

    def after(self, sections: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return what is worth most from each u to the end."""
        found: NDArray[np.int64] = worth_from(self.read, sections)
        return found

    def sketch(self, prices: NDArray[np.int64], came: NDArray[np.int32]) -> Sketch:
        """Return the best layout, walked back from where it ends."""
        sections: list[NDArray[np.int32]] = []
        ue = self.tables.nu
        while ue > 0:
            us = int(came[ue])
            if us == -1:
                ue -= 1
            elif us < -1:
                ue = -2 - us
            else:
                sections.append(self.walked(prices, us, ue))
                ue = us
        return Sketch(self.cls, *self.steps, tuple(sections[::-1]))

    def walked(self, prices: NDArray[np.int64], us: int, ue: int) -> NDArray[np.int32]:
        """Return the blanks of a best section."""
        values = prices[self.tables.owner]
        placed: NDArray[np.int32] = section_walk(self.read, us, ue, values)
        return placed


class SectionPricer:
    """Any three-stage layout between the flaws, sizes rounded down to steps.

    It is looked for from coarse to fine: what a coarse level proves to be worth no more than
    ``least`` is not looked into at the next, where steps are ``RATIO`` times as fine (after
    Raphael 2001, "Coarse-to-fine dynamic programming").
    """

    def __init__(
        self, found: Arrays, cls: int, item: StockItem, demands: int, steps: Sequence[Steps]
    ) -> None:
        self.step = steps[-1][0]
        self.levels = [Level(found, cls, item, *each) for each in steps]
        self.cls = cls
        self.found = found
        self.demands = demands
        self.beyond = item.cell_credit * item.beyond
        self.work = section_work(found, cls, *steps[0])

    def take_over(self, other: "SectionPricer") -> None:
        """Take over the levels that another pricer of the same class already has at hand."""
        if self.found is other.found and self.cls == other.cls:
            known = {level.steps: level for level in other.levels}
            self.levels = [known.get(level.steps, level) for level in self.levels]

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        least = max(0, least - self.beyond)
        prices = rising(prices, self.found)
        first, *others = self.levels
        best = first.best(prices, least, None)
        upper, work = best.worth, best.work
        if not others:
            best, done = self._settled(first, prices, least, best)
            upper, work = best.worth, work + done
        elif upper > least:
            rough = (best.reached, best.sections, first.after(best.sections))
            over = upper - least
            # Close below the coarse value there is little to look into, so that is tried first;
            # the first better layout will do, and what was not looked into bounds the rest.
            for share in SHARES:
                lower = least + int(over * share)
                best, done = self._finer(prices, lower, rough)
                work += done
                upper = max(best.worth, lower)
                if best.worth > least:
                    break
        found = best.worth > least
        sketch = best.sketch() if found else None
        counts = np.zeros(self.demands, np.int32)
        if sketch is not None:
            counts += self._held(self.levels[-1], sketch)
        gained = int(np.dot(counts.astype(np.int64), prices))
        credit = best.worth + self.beyond - gained
        value = max(upper, least) + self.beyond
        return Priced(value, counts, credit, work, found, sketch)

    def _finer(self, prices: NDArray[np.int64], least: int, rough: Rough) -> tuple[Best, int]:
        """Return the best of the finest level that is looked into, and the work.

        A value over ``least`` is the best there is; another is some layout's, 0 where none is left.
        """
        work = 0
        *between, last = self.levels[1:]
        for level in between:
            best = level.best(prices, least, rough)
            work += best.work
            if best.worth <= least:
                return replace(best, reached=np.zeros(1, np.int64)), work
            rough = (best.reached, best.sections, level.after(best.sections))
        best = last.best(prices, least, rough)
        best, done = self._settled(last, prices, least, best)
        return best, work + best.work + done

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
