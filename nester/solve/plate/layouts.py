"""Layouts of a plate put together from halves, in arrays for the kernels, and back as rows."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels import plate_bounded as k
from nester.solve.kernels.plate_grown import grow
from nester.solve.plate.pieces import Pieces
from nester.solve.plate.prices import SCALE, Priced
from nester.solve.rows import Blank, Row

WORD = 62
"""Bits of a word that hold counts."""

CELLS_A_STEP = 2
"""Programme cells that are filled in the time of a step of growing."""

CELLS_A_PAIR = 10
"""The same for a pair of layouts that is tried in the search."""

CELLS_A_SEARCH, CELLS_A_ROOM = 100_000, 2
"""The same for getting ready for a search, and for each layout that it has room for."""

Longs = NDArray[np.int64]


class Layouts:
    """Room for ``most`` layouts; the first are the pieces, each in each of its ways."""

    def __init__(self, pieces: Pieces, most: int) -> None:
        self.pieces = pieces
        self._lay_fields()
        self.singles = len(pieces.owner)
        rows = max(most, self.singles) + 1
        self.table = np.zeros((rows, 8), np.int32)
        self.worths = np.zeros((rows, 3), np.int64)
        self.counts = np.zeros((rows, len(self.pad)), np.int64)
        ends = pieces.floor_x[pieces.lengths], pieces.floor_y[pieces.widths]
        self.table[: self.singles, k.POS_X], self.table[: self.singles, k.POS_Y] = ends
        self.table[: self.singles, k.KIND] = k.SINGLE
        self.table[: self.singles, k.ALIVE] = 1
        self.table[: self.singles, k.NEXT :] = -1
        self.worths[: self.singles, k.VALUE] = pieces.values[pieces.owner]
        for n, owner in enumerate(pieces.owner):
            word, shift, _ = self.fields[owner]
            self.counts[n, word] = 1 << int(shift)

    def _lay_fields(self) -> None:
        """Give each count a field of a word, a spare bit above it that must stay clear."""
        word, shift = 0, 0
        fields = []
        for copies in self.pieces.copies:
            bits = int(copies).bit_length()
            if shift + bits + 1 > WORD:
                word, shift = word + 1, 0
            fields.append((word, shift, (1 << bits) - 1))
            shift += bits + 1
        self.fields = np.array(fields, np.int64)
        self.pad = np.zeros(word + 1, np.int64)
        self.guard = np.zeros(word + 1, np.int64)
        for (word, shift, full), copies in zip(fields, self.pieces.copies, strict=True):
            self.pad[word] |= (full - int(copies)) << shift
            self.guard[word] |= (full + 1) << shift

    def row(self, n: int, wants: int) -> tuple[Row, tuple[int, ...]]:
        """Return layout ``n`` as a row from the plate's corner, and how many of each it holds."""
        counts = [0] * wants
        row, _, _ = self._row(n, 0, 0, counts)
        return row, tuple(counts)

    def _row(self, n: int, x: int, y: int, counts: list[int]) -> tuple[Row, int, int]:
        """Return a layout with its corner at a place, and its far ends."""
        if self.table[n, k.KIND] == k.SINGLE:
            want = self.pieces.index[self.pieces.owner[n]]
            counts[want] += 1
            far_x, far_y = x + int(self.pieces.lengths[n]), y + int(self.pieces.widths[n])
            return Row("x", ((x, far_x, Row("y", ((y, far_y, Blank(want)),))),)), far_x, far_y
        own = "x" if self.table[n, k.KIND] == k.BESIDE else "y"
        made: list[tuple[int, int, Row | Blank]] = []
        far_x, far_y = x, y
        for part in self._parts(n):
            at_x, at_y = (far_x, y) if own == "x" else (x, far_y)
            row, end_x, end_y = self._row(part, at_x, at_y, counts)
            made.append((at_x, end_x, row) if own == "x" else (at_y, end_y, row))
            far_x, far_y = max(far_x, end_x), max(far_y, end_y)
        return Row(own, tuple(made)), far_x, far_y

    def _parts(self, n: int) -> Iterator[int]:
        """Yield what stands in a row, halves made in the same direction taken apart again."""
        for half in (int(self.table[n, k.LEFT]), int(self.table[n, k.RIGHT])):
            if self.table[half, k.KIND] == self.table[n, k.KIND]:
                yield from self._parts(half)
            else:
                yield half


class Grown(Layouts):
    """Good layouts quickly: ``keep`` for each rectangle, by worth at ``prices``."""

    def __init__(self, pieces: Pieces, prices: Longs, keep: int) -> None:
        super().__init__(pieces, pieces.cells * keep + len(pieces.owner))
        worth = pieces.values * SCALE - prices
        self.worths[: self.singles, k.WORTH] = worth[pieces.owner]
        self.at, steps = grow(
            *pieces.grid,
            self.singles,
            keep,
            self.pad,
            self.guard,
            self.table,
            self.worths,
            self.counts,
        )
        self.work = CELLS_A_STEP * steps
        """What it took [programme cells]."""
        self.best = int(self.worths[self.at, k.VALUE])


class Search(Layouts):
    """Putting together all that could still be worth more than ``best``."""

    def __init__(self, pieces: Pieces, prices: Priced, best: int, most: int) -> None:
        super().__init__(pieces, most)
        self.prices = prices
        nx, ny = len(pieces.xs), len(pieces.ys)
        wide = max(nx, ny)
        self.heap = np.zeros(len(self.table), np.int32)
        self.chains = np.full(1 << len(self.table).bit_length(), -1, np.int32)
        self.first = np.full((nx, ny), -1, np.int32)
        self.latest = np.full((nx, ny), -1, np.int32)
        self.members = np.zeros((2, wide, wide), np.int32)
        self.lines = np.zeros((2, 2, wide), np.int64)
        self.lines[:, 1] = -(2**62)
        self.state = np.zeros(7, np.int64)
        self.state[[k.BEST, k.BEST_AT]] = best, -1
        self.order = np.lexsort((np.arange(len(pieces.values)), -pieces.values / pieces.areas))
        self._begin()

    def _begin(self) -> None:
        """Let the pieces wait to be put together, the most promising first."""
        pieces, n = self.pieces, self.singles
        values, worth = pieces.values[pieces.owner], self.prices.worth[pieces.owner]
        left = (
            pieces.floor_x[pieces.length - pieces.lengths],
            pieces.floor_y[pieces.width - pieces.widths],
        )
        free, at_prices = self.prices.around[0][left], self.prices.around[1][left]
        bounds = np.minimum(values + free, (self.prices.base + worth + at_prices) // SCALE)
        self.worths[:n, k.WORTH], self.worths[:n, k.BOUND] = worth, bounds
        self.heap[:n] = np.lexsort((np.arange(n), -values, -bounds))
        self.state[[k.COUNT, k.HEAP]] = n
        most = int(values.argmax())
        if values[most] > self.best:
            self.state[[k.BEST, k.BEST_AT]] = values[most], most

    def run(self, limit: int) -> int:
        """Go on for about ``limit`` pairs of layouts; return the work [programme cells].

        Finding that none is left to try counts as one pair, so that no step is for nothing.
        """
        pieces = self.pieces
        return CELLS_A_PAIR * int(
            1
            + k.combine(
                *pieces.grid,
                self.prices.around,
                self.prices.base,
                SCALE,
                self.fields[self.order],
                pieces.areas[self.order],
                pieces.values[self.order],
                pieces.copies[self.order],
                self.pad,
                self.guard,
                self.table,
                self.worths,
                self.counts,
                self.heap,
                self.chains,
                self.first,
                self.latest,
                self.members,
                self.lines,
                self.state,
                limit,
            )
        )

    @property
    def best(self) -> int:
        """The best value."""
        return int(self.state[k.BEST])

    @property
    def at(self) -> int:
        """The layout that has it, -1 where it was known before."""
        return int(self.state[k.BEST_AT])

    @property
    def ended(self) -> bool:
        """Whether it is over: the best is proven, or there is no room for more."""
        return bool(self.state[k.DONE] or self.state[k.FULL])

    @property
    def bound(self) -> int:
        """The most that any layout is worth, by what was put together."""
        waits = int(self.worths[self.heap[0], k.BOUND]) if self.state[k.HEAP] else 0
        return max(self.best, waits, int(self.state[k.MISSED]))
