"""Layouts of plain sheets with any number of stages, none with a blank more often than wanted."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.columns import Column, column
from nester.solve.kernels.fill import fill
from nester.solve.rows import Blank, Row, sawable, usable
from nester.solve.sums import floors, sums

MOST_SUMS = 600
"""About so many sums of sizes are looked at each way, where nothing else is said."""

FILLING = 150_000
"""Programme cells in whose time a filling is got ready and read back, however small."""

CELLS_A_CUT = 1.5
"""The same for a cut that is looked at."""

MOST_COPIES = 255
"""Copies of one blank that a layout is ever looked at with."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of ``axis`` "x" or "y" with more in it, or of axis "" a blank [cells]."""

    axis: str
    length: int
    width: int
    option: int
    inside: tuple["Piece", ...] = ()


Sizes: TypeAlias = tuple[NDArray[np.int32], NDArray[np.int32], NDArray[np.int32], int]
"""Sums of sizes, for each size the place of the largest sum that is no more, cuts, half."""


def is_plain_sheet(item: StockItem) -> bool:
    """Whether any stages will do, and there is nothing on a sheet that blanks must keep clear of.

    What lies off its edges, past its last whole cells, is no hindrance within.
    """
    if item.board or item.stages or not (item.first_x and item.first_y) or len(item.metal):
        return False
    x1, y1, x2, y2 = usable(item)
    return not any(
        ((b[:, 0] < x2) & (b[:, 2] > x1) & (b[:, 1] < y2) & (b[:, 3] > y1)).any()
        for b in item.blocks
    ) and not any(option.most for option in item.options)


class Filler:
    """Fills sheets of one kind with what is worth most."""

    def __init__(self, problem: Problem, stock: int) -> None:
        self.problem, self.stock = problem, stock
        item = self.item = problem.stock[stock]
        x1, y1, x2, y2 = usable(item)
        self.nx, self.ny = x2 - x1 + item.kx, y2 - y1 + item.ky
        sizes = [(o.demand, o.length + item.kx, o.width + item.ky) for o in item.options]
        self.options = np.array(sizes, np.int64).reshape(-1, 3)
        self.sizes = np.full(len(problem.demands), np.inf)
        """What each blank takes of a sheet at the least, as a share."""
        for demand, length, width in sizes:
            share = length * width / (self.nx * self.ny)
            self.sizes[demand] = min(self.sizes[demand], share)

    def __call__(
        self, values: NDArray[np.int64], wanted: NDArray[np.int64], most_sums: int = MOST_SUMS
    ) -> tuple[Column | None, int]:
        """Return a layout worth much by ``values``, or none, and the work it took [cells].

        No blank is in it more often than it is ``wanted``. ``most_sums`` of sizes are looked at.
        """
        owner = self.options[:, 0]
        useful = (
            (wanted[owner] > 0)
            & (values[owner] > 0)
            & (self.options[:, 1] <= self.nx)
            & (self.options[:, 2] <= self.ny)
        )
        rows = np.flatnonzero(useful)
        if not len(rows):
            return None, 0
        kinds, mine = np.unique(owner[rows], return_inverse=True)
        copies = wanted[owner[rows]]
        lengths, widths = self.options[rows, 1], self.options[rows, 2]
        xs, down_x, cuts_x, half_x = places_to_cut(self.nx, lengths, copies, most_sums)
        ys, down_y, cuts_y, half_y = places_to_cut(self.ny, widths, copies, most_sums)
        how, _, cuts = fill(
            xs,
            ys,
            down_x,
            down_y,
            cuts_x,
            cuts_y,
            np.array([half_x, half_y], np.int32),
            np.stack([down_x[lengths], down_y[widths]], axis=1).astype(np.int32),
            values[owner[rows]],
            mine.astype(np.int32),
            np.minimum(wanted[kinds], MOST_COPIES).astype(np.uint8),
            values[kinds],
        )
        work = FILLING + int(CELLS_A_CUT * cuts)
        left = {int(d): int(wanted[d]) for d in kinds}
        piece = self._piece(how, xs, ys, down_x, down_y, rows, left)
        if piece is None:
            return None, work
        row = self.row(piece)
        if not sawable(row, usable(self.item), self.item):
            return None, work
        return column(self.problem, self.stock, row), work

    def _piece(
        self,
        how: NDArray[np.int32],
        xs: NDArray[np.int32],
        ys: NDArray[np.int32],
        down_x: NDArray[np.int32],
        down_y: NDArray[np.int32],
        rows: NDArray[np.int64],
        left: dict[int, int],
    ) -> Piece | None:
        """Return the best piece as it is cut; what it holds beyond what is left is left out."""

        def cut(i: int, j: int) -> Piece | None:
            kind, where = int(how[i, j, 0]), int(how[i, j, 1])
            while kind in (3, 4):
                i, j = (i - 1, j) if kind == 3 else (i, j - 1)
                kind, where = int(how[i, j, 0]), int(how[i, j, 1])
            if kind < 0:
                return None
            if kind == 0:
                row = int(rows[where])
                demand, length, width = (int(v) for v in self.options[row])
                if left[demand] == 0:
                    return None
                left[demand] -= 1
                return Piece("", length - self.item.kx, width - self.item.ky, row)
            if kind == 1:
                one, two = cut(where, j), cut(int(down_x[xs[i] - xs[where]]), j)
            else:
                one, two = cut(i, where), cut(i, int(down_y[ys[j] - ys[where]]))
            return self.joined("x" if kind == 1 else "y", one, two)

        return cut(len(xs) - 1, len(ys) - 1)

    def joined(self, axis: str, one: Piece | None, two: Piece | None) -> Piece | None:
        """Return two pieces one after the other along an axis; the other where one is none."""
        if one is None or two is None:
            return one or two
        inside = [p for each in (one, two) for p in (each.inside if each.axis == axis else (each,))]
        if axis == "x":
            length = one.length + self.item.kx + two.length
            return Piece("x", length, max(one.width, two.width), -1, tuple(inside))
        width = one.width + self.item.ky + two.width
        return Piece("y", max(one.length, two.length), width, -1, tuple(inside))

    def row(self, piece: Piece) -> Row:
        """Return a piece as a row from the corner of the sheet."""
        x1, y1, x2, y2 = usable(self.item)
        if not piece.axis:
            piece = Piece("x", piece.length, piece.width, -1, (piece,))
        return self._laid(piece, (x1, y1), (x2 - x1, y2 - y1))

    def _laid(self, piece: Piece, corner: tuple[int, int], room: tuple[int, int]) -> Row:
        """Return a piece of several as a row, its parts next to each other from a corner on."""
        along = 0 if piece.axis == "x" else 1
        kerf = self.item.kx if along == 0 else self.item.ky
        at = corner[along]
        pieces: list[tuple[int, int, Row | Blank]] = []
        for part in piece.inside:
            size = (part.length, part.width)
            place = (at, corner[1]) if along == 0 else (corner[0], at)
            space = (size[0], room[1]) if along == 0 else (room[0], size[1])
            inner: Row | Blank
            if part.axis:
                inner = self._laid(part, place, space)
            elif size[1 - along] == space[1 - along]:
                inner = Blank(part.option)
            else:
                start = corner[1 - along]
                lone = (start, start + size[1 - along], Blank(part.option))
                inner = Row("y" if along == 0 else "x", (lone,))
            pieces.append((at, at + size[along], inner))
            at += size[along] + kerf
        return Row(piece.axis, tuple(pieces))


def places_to_cut(
    most: int, sizes: NDArray[np.int64], copies: NDArray[np.int64], limit: int
) -> Sizes:
    """Return the sums of sizes up to ``most``, each at most so often, and where to cut.

    Where there are more than about ``limit``, some are left out, but not those of one size.
    """
    found = sums(most, sizes, copies)
    if len(found) > limit:
        times = np.minimum(copies, most // sizes)
        alone = [size * np.arange(n + 1) for size, n in zip(sizes, times, strict=True)]
        kept = np.unique(np.concatenate(alone))
        others = np.setdiff1d(found, kept, assume_unique=True)
        step = -(-len(others) // max(1, limit - len(kept)))
        # The largest sums are kept: they fill a sheet best.
        found = np.union1d(kept, others[::-1][::step]).astype(np.int32)
    down = floors(found, most)
    single = down[np.unique(sizes)]
    if len(single) < len(found) // 2:
        return found, down, single, 0
    return found, down, np.arange(1, len(found), dtype=np.int32), 1
