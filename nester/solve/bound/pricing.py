"""Pricing: the layout of a stock item that is worth most at given prices of blanks.

Both pricers may think of layouts that cannot be sawn (flaws ignored, sizes rounded down to steps),
never fewer than can: their values are upper bounds, so what is proven from them holds.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import option_rows, places
from nester.solve.kernels import columns as k
from nester.solve.kernels.plate import plate_counts, plate_values
from nester.solve.kernels.sections import best_sections, section_counts


@dataclass(frozen=True, slots=True)
class Priced:
    """The best value found, offcut credit included [ticks], and a layout that has it.

    Wood beyond the last whole cells is credited in full, whether or not an offcut reaches there.
    """

    value: int
    counts: NDArray[np.int32]
    credit: int
    work: int


class Pricer(Protocol):
    """Prices one stock item."""

    work: int
    step: int

    def __call__(self, prices: NDArray[np.int64]) -> Priced: ...


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

    def __call__(self, prices: NDArray[np.int64]) -> Priced:
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


class SectionPricer:
    """Any three-stage layout between the flaws, sizes rounded down to steps."""

    def __init__(
        self, found: Arrays, cls: int, item: StockItem, demands: int, fine_u: int, fine_v: int
    ) -> None:
        table = found.classes[cls]
        self.step = fine_u
        self.tables = places(found, cls, fine_u, fine_v)
        self.demands = demands
        self.credit = item.cell_credit
        self.beyond = item.cell_credit * item.beyond
        ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
        over_u, over_v = least_offcut(found, cls, item)
        off_u, off_v = max(1, (over_u + ku) // fine_u), max(1, (over_v + kv) // fine_v)
        self.off = (off_u, off_v, over_v, int(self.tables.step_u.min()))
        self.kerf = ku
        # An offcut of the whole width keeps both edges, where the board is not ripped first.
        ripped = int(table[k.C_RIP_FIRST]) == 1
        lost = int(found.near[table[k.C_NEAR]]) if ripped else 0
        wide = int(table[k.C_V2]) - lost
        self.whole_wide = wide if wide >= over_v else 0
        self.work = section_work(found, cls, fine_u, fine_v)

    def __call__(self, prices: NDArray[np.int64]) -> Priced:
        t = self.tables
        value = prices[t.owner]
        worth, came = best_sections(
            t.nu,
            t.nv,
            t.row_kind,
            t.strip_width,
            t.strip_step,
            t.kind_first,
            t.kind_class,
            t.member,
            t.starts,
            t.step_u,
            value,
            t.first_v,
            self.credit,
            *self.off,
            t.fine_u,
            t.fine_v,
            self.kerf,
            self.whole_wide,
        )
        counts = np.zeros(self.demands, np.int32)
        ue = t.nu
        while ue > 0:
            us = int(came[ue])
            if us == -1:
                ue -= 1
            elif us < -1:
                ue = -2 - us
            else:
                held = section_counts(
                    us,
                    ue,
                    t.nv,
                    t.row_kind,
                    t.strip_width,
                    t.strip_step,
                    t.kind_first,
                    t.kind_class,
                    t.member,
                    t.starts,
                    t.step_u,
                    value,
                    t.first_v,
                    self.credit,
                    *self.off,
                    t.fine_u,
                    t.fine_v,
                    self.kerf,
                )
                np.add.at(counts, t.owner, held)
                ue = us
        gained = int(np.dot(counts.astype(np.int64), prices))
        best = int(worth) + self.beyond
        return Priced(best, counts, best - gained, self.work)


def section_work(found: Arrays, cls: int, fine_u: int, fine_v: int) -> int:
    """Return about how many programme cells section pricing takes."""
    nx, ny = plate_size(found, cls)
    rows = option_rows(found, cls)
    widths = len(np.unique(rows[:, 2]))
    return (nx // fine_u) ** 2 * (ny // fine_v + 2 * len(rows)) * widths
