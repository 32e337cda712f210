"""What boards are worth at prices of blanks, flaws left out: strips with copies counted exactly.

A board that is crosscut first, ripped, and crosscut again is a row of sections of strips of blanks
(three stages as in Gilmore and Gomory 1965, "Multistage cutting stock problems of two and more
dimensions"). In a strip no blank lies more often than it is wanted, in a section it may: so all
lengths and widths of sections are priced by two small programmes, for all boards at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.bound.area import least_areas, most_credited, usable_cells
from nester.solve.kernels import strips as k
from nester.solve.kernels.flawed import Strips, by_length
from nester.solve.lazy import Lazy


@dataclass(frozen=True, slots=True, eq=False)
class Size:
    """A board in cells, kerfs in them: ``long`` and ``wide`` for sections, ``room`` by area.

    ``rest`` is its price less the credit of what cannot be told by cells once each [ticks].
    """

    long: int
    wide: int
    room: int
    rest: float


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """A section that a board may hold: ``long`` with its kerf, its blanks by kind, its credit."""

    long: int
    counts: NDArray[np.float64]
    credit: float


def applies(problem: Problem) -> bool:
    """Whether all stock is boards that are crosscut first, in up to three stages."""
    simple = not (problem.choices or problem.glues or problem.together)
    return simple and all(
        item.board
        and item.first_x
        and not item.first_y
        and 0 < item.stages <= 3
        and not item.off_either
        for item in problem.stock
    )


def size_of(item: StockItem) -> Size:
    """Return the size of a board, all that near edges may lose taken off but what each loses."""
    lost = int(item.near.min())
    room = usable_cells(item, kerfs=True)
    # Beyond the edges of whole cells there may be wood, and an offcut has the near edge too.
    apart = most_credited(item, room) - room + float(item.credit[lost, -1])
    return Size(
        item.x1 - item.x0 + item.kx,
        item.ny - lost + item.ky,
        room,
        float(item.value) - float(item.cell_credit) * apart,
    )


class Alike:
    """Boards that give the same blanks, but those too large for one of them."""

    def __init__(self, items: Sequence[StockItem], copies: NDArray[np.int64]) -> None:
        item = items[0]
        sizes = [size_of(one) for one in items]
        self.long = max(size.long for size in sizes)
        self.wide = max(size.wide for size in sizes)
        self.kerf = (item.kx, item.ky)
        # Of offcuts the lines at the near edge are credited apart.
        self.off = (item.off_length, max(1, item.off_width - int(item.near.min())))
        self.rate = float(item.cell_credit)
        self.copies = copies
        areas = [least_areas(one, kerfs=True) for one in items]
        self.area = np.array(
            [min((a[d] for a in areas if d in a), default=0) for d in range(len(copies))], float
        )
        options = {(o.width, o.length, o.demand) for one in items for o in one.options}
        self.widths = np.unique([width for width, _, _ in options]).astype(np.int64)
        first, owner, size = [0], list[int](), list[int]()
        for wide in self.widths.tolist():
            least: dict[int, int] = {}
            for width, length, d in options:
                if width <= wide:
                    least[d] = min(length, least.get(d, length))
            owner += sorted(least)
            size += [least[d] + item.kx for d in sorted(least)]
            first.append(len(owner))
        self.first, self.owner = np.array(first, np.int64), np.array(owner, np.int64)
        self.size = np.array(size, np.int64)

    @property
    def cells(self) -> int:
        """About how many programme cells pricing fills at the most."""
        strips = len(self.widths) + (self.wide if self.rate else 0)
        return self.long * (self.wide * strips + len(self.owner))


class Priced:
    """All sections of boards that are alike, at prices of blanks and of area [ticks].

    They are ``long`` and ``wide`` at the most, with their kerfs.
    """

    def __init__(
        self, alike: Alike, prices: NDArray[np.float64], cell: float, long: int, wide: int
    ) -> None:
        self.alike, self.cell = alike, cell
        self.value = np.maximum(0.0, prices - cell * alike.area)
        self.rate = max(0.0, alike.rate - cell)
        self.worth, strips = k.strip_worths(
            alike.first, alike.owner, alike.size, alike.copies, self.value, long
        )
        self.ended = k.with_leftovers(
            self.worth,
            alike.widths,
            *alike.off,
            alike.kerf[0],
            self.rate,
            wide - alike.kerf[1] if self.rate > 0 else 0,
        )
        self.table, sections = k.section_worths(
            self.worth, self.ended, alike.widths, alike.off, alike.kerf, self.rate, wide
        )
        self.work = strips + sections + self.ended.size

    @Lazy
    def strips(self) -> Strips:
        """What strips are worth, as pricing with flaws reads it."""
        widest = self.table.shape[1] - 1 - self.alike.kerf[1]
        return by_length(self.worth, self.ended, self.alike.widths, self.rate, widest)

    def sections(self, size: Size) -> NDArray[np.float64]:
        """Return what sections of a board are worth by length, area paid for [ticks]."""
        best = self.table[: size.long + 1, size.wide].copy()
        (kx, ky), (off_u, off_v) = self.alike.kerf, self.alike.off
        if size.wide - ky >= off_v:
            whole = np.arange(off_u + kx, size.long + 1)
            best[whole] = np.maximum(best[whole], self.rate * (whole - kx) * (size.wide - ky))
        return best

    def board(self, size: Size) -> float:
        """Return what no layout of a board is worth more than, credit included [ticks]."""
        return float(k.row_worth(self.sections(size))) + self.cell * size.room

    def section(self, size: Size, long: int) -> Section:
        """Return the blanks of the best section of a length."""
        alike = self.alike
        counts, credit = k.best_section(
            long,
            self.worth,
            self.ended,
            alike.widths,
            alike.off,
            alike.kerf,
            self.rate,
            size.wide,
            (alike.first, alike.owner, alike.size, alike.copies, self.value),
        )
        return Section(long, counts, float(credit))


def groups(problem: Problem) -> list[list[int]]:
    """Return stock items by what they give: together where they differ by their size alone."""
    found: list[list[int]] = []
    for s, item in enumerate(problem.stock):
        for group in found:
            if all(_alike(item, problem.stock[other]) for other in group):
                group.append(s)
                break
        else:
            found.append([s])
    return found


def _alike(one: StockItem, other: StockItem) -> bool:
    ways = [{(o.demand, o.length, o.width) for o in item.options} for item in (one, other)]
    return (
        _habits(one) == _habits(other)
        and not any(_fits(way, other) for way in ways[0] - ways[1])
        and not any(_fits(way, one) for way in ways[1] - ways[0])
    )


def _habits(item: StockItem) -> tuple[int, ...]:
    near = int(item.near.min())
    return item.kx, item.ky, item.off_length, item.off_width, near, item.cell_credit


def _fits(way: tuple[int, int, int], item: StockItem) -> bool:
    _, length, width = way
    return length <= item.x1 - item.x0 and width <= item.ny - int(item.near.min())
