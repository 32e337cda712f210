"""What a board with flaws is worth at prices of blanks: its sections priced where they lie."""

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.bound.area import barred
from nester.solve.bound.strips import Alike, Priced, Size
from nester.solve.kernels import flawed as k
from nester.solve.kernels.flawed_rows import best_row

MOST_FLAWS = 10
"""So many flaws of a board count by place, the largest ones."""

LONGEST = 2000
"""Boards are priced up to this length [cells]; memory is nine bytes by its square."""


class Flawed:
    """A board with its flaws."""

    def __init__(self, item: StockItem, alike: Alike, size: Size) -> None:
        self.size = size
        kerf = (item.kx, item.ky)
        self.tables = tables(boxes(item), alike.widths, size.wide, kerf, alike.off)

    def price(self, priced: Priced, least: float, near: float) -> "FlawedRow":
        """Return the most that the board is worth at prices, and a row that is worth about that.

        The most is told to within a share ``near`` of what the row is worth, or of what one is
        known to be worth at the ``least``: one that is worth no more tells nothing.
        """
        return FlawedRow(self, priced, least, near)


class FlawedRow:
    """The most that a board is worth at prices [ticks], and a row of sections near to that."""

    def __init__(self, board: Flawed, priced: Priced, least: float, near: float) -> None:
        self.board, self.priced = board, priced
        most, low, came, self.work = best_row(
            board.tables, priced.strips, priced.sections(board.size), least, near
        )
        self.worth = float(most) + priced.cell * board.size.room
        self.found = max(float(low), least)
        """What a row is known to be worth."""
        self.came = came

    def held(self) -> tuple[NDArray[np.float64], float]:
        """Return the blanks of the row by kind, and its credit [cells]."""
        alike = self.priced.alike
        blanks = (alike.first, alike.owner, alike.size, alike.copies, self.priced.value)
        total, credit = np.zeros(len(alike.copies)), 0.0
        end = len(self.came) - 1
        while end > 0:
            start = int(self.came[end])
            if start >= 0:
                counts, kept = k.flawed_section(
                    self.board.tables, self.priced.strips, start, end, self.priced.worth, blanks
                )
                total += counts
                credit += kept
            end = start if start >= 0 else end - 1
        return total, float(credit)


def boxes(item: StockItem) -> NDArray[np.int64]:
    """Return the largest rectangles that no blank may reach into, those inside others left out.

    A row for each, from left to right: x1, y1, x2, y2 [cells], from where blanks may begin.
    """
    lost = int(item.near.min())
    closed = barred(item)
    found: set[tuple[int, int, int, int]] = set()
    for block in item.blocks:
        for row in block.tolist():
            x1, x2 = max(row[0], item.x0), min(row[2], item.x1)
            y1, y2 = max(row[1], lost), min(row[3], item.ny)
            if x1 < x2 and y1 < y2 and closed[y1:y2, x1:x2].all():
                found.add((x1 - item.x0, y1 - lost, x2 - item.x0, y2 - lost))
    largest = sorted(found, key=lambda box: (-(box[2] - box[0]) * (box[3] - box[1]), box))
    kept: list[tuple[int, int, int, int]] = []
    for box in largest:
        if len(kept) < MOST_FLAWS and not any(_inside(box, other) for other in kept):
            kept.append(box)
    return np.array(sorted(kept), np.int64).reshape(-1, 4)


def _inside(box: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    low = all(a >= b for a, b in zip(box[:2], other[:2], strict=True))
    return low and all(a <= b for a, b in zip(box[2:], other[2:], strict=True))


def tables(
    flaws: NDArray[np.int64],
    widths: NDArray[np.int64],
    wide: int,
    kerf: tuple[int, int],
    off: tuple[int, int],
) -> k.Flaws:
    """Return what pricing reads of a board ``wide`` across with its kerf, for blanks of widths."""
    classes = np.ascontiguousarray(widths[widths <= wide - kerf[1]], np.int64)
    masks, meets, until = _meets(flaws, wide)
    return k.Flaws(
        boxes=flaws,
        masks=masks,
        meets=meets,
        until=until,
        classes=classes,
        least=max(off[1], int(classes[0])) if len(classes) else wide,
        broad=wide,
        kerf_x=kerf[0],
        kerf_y=kerf[1],
        off_x=off[0],
        off_y=off[1],
    )


def _meets(
    boxes: NDArray[np.int64], wide: int
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Return the sets of flaws that strips meet, and which of them they meet up to which width.

    The last two have a row for each near edge.
    """
    near = np.arange(wide + 1)[:, None]
    far = near + np.arange(1, wide + 1)[None, :]
    masks = np.zeros(far.shape, np.int64)
    for f, (_, y1, _, y2) in enumerate(boxes.tolist()):
        masks |= ((near < y2) & (far > y1)).astype(np.int64) << f
    found, at = np.unique(masks, return_inverse=True)
    at = at.reshape(masks.shape)
    meets = np.zeros((wide + 1, 2 * len(boxes) + 2), np.int64)
    until = np.full(meets.shape, -1, np.int64)
    for y, row in enumerate(at):
        ends = [*(np.flatnonzero(np.diff(row)) + 1).tolist(), wide]
        meets[y, : len(ends)] = [row[end - 1] for end in ends]
        until[y, : len(ends)] = ends
    return found, meets, until
