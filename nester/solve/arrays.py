"""The problem laid out as flat arrays for the compiled kernels."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.problem.choice import chains
from nester.problem.excuses import Excuse
from nester.solve.bound.area import least_anywhere, usable_cells
from nester.solve.kernels import columns as k


@dataclass(frozen=True, slots=True)
class Direction:
    """A stock item with a direction of its first cut: a class of the beam search.

    One for the bound alone stands for boards ripped first whose first stage holds no rip: their
    sections lose less to crook than the whole board, and offcuts keep their edges; or for boards
    that seem, in whole cells, too short to be ripped. The search leaves these out.
    """

    stock: int
    rip_first: bool
    bound_only: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Arrays:
    """What the beam search reads. ``option_of[o]``: (stock, index into its options) of a row.

    ``chains`` are kinds of strips, ascending in width, of which a wider one does for a narrower.
    ``takes`` is the area of each demand's blank and ``room`` that of each stock item, with kerfs
    and without flaws (``bound.area``) [cells].
    """

    directions: tuple[Direction, ...]
    demands: int
    classes: NDArray[np.int32]
    near: NDArray[np.int32]
    lists: NDArray[np.int32]
    blocks: NDArray[np.int32]
    metal: NDArray[np.int32]
    option_index: NDArray[np.int32]
    options: NDArray[np.int32]
    option_of: NDArray[np.int32]
    money: NDArray[np.float64]
    copies: NDArray[np.int16]
    takes: NDArray[np.int64]
    room: NDArray[np.int64]
    chains: tuple[NDArray[np.int64], ...] = ()


def arrays(problem: Problem, room: Sequence[int] | None = None) -> Arrays:
    """Return the arrays of a problem; ``room`` as in ``Arrays``, where it is known."""
    directions = [
        Direction(s, rip_first, bound_only=rip_first and not _rips_whole(item))
        for s, item in enumerate(problem.stock)
        for rip_first in (False, True)
        if (item.first_y if rip_first else item.first_x)
    ]
    directions += [
        Direction(s, rip_first=False, bound_only=True)
        for s, item in enumerate(problem.stock)
        if item.board and not item.first_x
    ]
    gathered = _Gathered(len(problem.demands))
    gathered.chains = [np.array(chain, np.int64) for chain in chains(problem.glues)]
    for direction in directions:
        gathered.add(direction, problem.stock[direction.stock])
    if room is None:
        room = [usable_cells(item, kerfs=True) for item in problem.stock]
    return gathered.arrays(directions, problem.stock, room)


def _rips_whole(item: StockItem) -> bool:
    if item.rip_min < 0:
        return True
    length = item.x1 - item.x0
    return length >= max(item.rip_min, item.ny - int(item.near[item.nx]))


class _Gathered:
    def __init__(self, demands: int) -> None:
        self.demands = demands
        self.chains: list[NDArray[np.int64]] = []
        self.classes: list[list[int]] = []
        self.near: list[NDArray[np.int32]] = []
        self.near_at = 0
        self.lists: list[tuple[int, int]] = []
        self.blocks: list[NDArray[np.int32]] = []
        self.blocks_at = 0
        self.metal: list[tuple[int, int]] = []
        self.index: list[tuple[int, int]] = []
        self.options: list[tuple[int, int, int, int, int]] = []
        self.option_of: list[tuple[int, int]] = []
        self.money: list[tuple[float, float, float]] = []

    def add(self, direction: Direction, item: StockItem) -> None:
        rip = direction.rip_first
        first_list = len(self.lists)
        for i, found in enumerate(item.blocks):
            excuses = item.excuses[i] if i < len(item.excuses) else ()
            self.lists.append(self._take(found, rip, excuses, item.beyond > 0))
        self.metal.append(self._take(item.metal, rip))
        whole = int(item.near[item.nx])
        if rip:
            u1, u2, v2, ku, kv = whole, item.ny, item.x1, item.ky, item.kx
            losses = np.full(item.ny + 1, item.x0, dtype=np.int32)
        else:
            u1, u2, v2, ku, kv = item.x0, item.x1, item.ny, item.kx, item.ky
            losses = item.near
        full = item.off_width if not rip else item.off_length
        self.classes.append(
            [
                u1,
                u2,
                v2,
                ku,
                kv,
                -1 if rip else item.rip_min,
                item.rip_min,
                item.rip_width - int(item.near[0]),
                -1 if rip else item.far,
                int(rip),
                item.stages or 99,
                item.off_width if rip else item.off_length,
                int(v2 >= full),
                self.near_at,
                first_list,
                len(self.index),
                direction.stock,
            ]
        )
        self.near.append(losses)
        self.near_at += len(losses)
        of_demand: list[list[int]] = [[] for _ in range(self.demands)]
        for o, option in enumerate(item.options):
            of_demand[option.demand].append(o)
        for d, own in enumerate(of_demand):
            start = len(self.options)
            for o in own:
                option = item.options[o]
                a, b = option.length, option.width
                shows = [index for index, _ in option.shows]
                second = shows[1] if len(shows) > 1 else -1
                self.options.append((d, b if rip else a, a if rip else b, shows[0], second))
                self.option_of.append((direction.stock, o))
            self.index.append((start, len(self.options)))
        per_cell = item.value / (item.nx * item.ny)
        self.money.append((float(item.value), per_cell, float(item.cell_credit)))

    def _take(
        self,
        found: NDArray[np.int32],
        rip: bool,
        excuses: Sequence[tuple[int, Excuse]] = (),
        beyond: bool = False,
    ) -> tuple[int, int]:
        start, end = self.blocks_at, self.blocks_at + len(found)
        rows = np.full((len(found), 5), -1, np.int32)
        rows[:, :4] = found[:, [1, 0, 3, 2]] if rip else found
        tables = [rows]
        at: dict[Excuse, int] = {}
        self.blocks_at = end
        for row, excuse in excuses:
            if excuse not in at:
                at[excuse] = self.blocks_at
                tables.append(_places(excuse, rip, beyond))
                self.blocks_at += len(tables[-1])
            rows[row, 4] = at[excuse]
        self.blocks += tables
        return start, end

    def arrays(
        self, directions: Sequence[Direction], stock: Sequence[StockItem], room: Sequence[int]
    ) -> Arrays:
        whole = [*self.blocks, np.full((1, 5), -1, np.int32)]
        return Arrays(
            directions=tuple(directions),
            demands=self.demands,
            classes=np.array(self.classes, np.int32).reshape(-1, k.C_COLUMNS),
            near=np.concatenate([*self.near, np.zeros(1, np.int32)]),
            lists=np.array([*self.lists, (0, 0)], np.int32),
            blocks=np.ascontiguousarray(np.concatenate(whole)),
            metal=np.array(self.metal, np.int32).reshape(-1, 2),
            option_index=np.array([*self.index, (0, 0)], np.int32),
            options=np.array([*self.options, (0, 0, 0, 0, -1)], np.int32),
            option_of=np.array([*self.option_of, (0, 0)], np.int32),
            money=np.array(self.money, np.float64).reshape(-1, 3),
            copies=np.array([item.count for item in stock], np.int16),
            takes=least_anywhere(stock, self.demands, kerfs=True),
            room=np.array(room, np.int64),
            chains=tuple(self.chains),
        )


def _places(excuse: Excuse, rip: bool, beyond: bool) -> NDArray[np.int32]:
    """Return an excuse as rows of the table of blocks (``kernels.fit``)."""
    across_v = excuse.along_x != rip
    rows = np.array(excuse.rows, np.int32)
    ranges = rows.shape[1] // 2
    out = np.zeros((1 + len(rows) * ranges, 5), np.int32)
    side = (0 if across_v else 2) + excuse.high + 4 * excuse.by_low
    # What further parts in the blank ask for is left out of the bound.
    out[0] = excuse.first, len(rows) // 2, ranges, side, beyond or excuse.several
    out[1:, :2] = rows.reshape(-1, 2)
    return out


def ticks_to_money(ticks: int, problem: Problem) -> Fraction:
    """Return ticks as money."""
    return Fraction(ticks) / problem.ticks
