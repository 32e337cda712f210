"""Layouts that section pricing found, drawn as they are sawn.

On coarse steps a place is only about where a blank lies: blanks, strips and sections then move on
to the next place that is clear, and what no longer fits is given up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Option, StockItem
from nester.solve.arrays import Arrays
from nester.solve.kernels import columns as k
from nester.solve.rows import Blank, Rect, Row, blanks, clear_of_metal, sawable, shown, usable
from nester.solve.slide import slid

Piece = tuple[int, int, Blank]
Strip = tuple[int, int, list[Piece]]


@dataclass(frozen=True, slots=True, eq=False)
class Sketch:
    """The best layout of a class on steps of some cells along u and across v.

    ``sections``: for each, in order, its blanks as ``kernels.section_walk`` tells them.
    """

    cls: int
    fine_u: int
    fine_v: int
    sections: tuple[NDArray[np.int32], ...]


def drawn(item: StockItem, found: Arrays, sketch: Sketch, wanted: NDArray[np.int64]) -> Row | None:
    """Return a layout of a board that is crosscut first; None where the sketch comes to nothing.

    No blank is taken more often than it is ``wanted``.
    """
    direction = found.directions[sketch.cls]
    if direction.rip_first or direction.bound_only or item.stages in (1, 2):
        return None
    pen = _Pen(item, found, sketch, wanted)
    at = item.x0
    pieces: list[tuple[int, int, Row | Blank]] = []
    for placed in sketch.sections:
        section = pen.section(placed, at)
        if section is not None:
            pieces.append(section)
            at = section[1] + item.kx
    row = Row("x", tuple(pieces))
    rect = usable(item)
    if not pieces or not sawable(row, rect, item) or not clear_of_metal(row, item):
        return None
    if any(shown(item.options[option], box, item) is None for option, box in blanks(row, rect)):
        return None
    return slid(row, item)


class _Pen:
    """Draws one section after another."""

    def __init__(
        self, item: StockItem, found: Arrays, sketch: Sketch, wanted: NDArray[np.int64]
    ) -> None:
        table = found.classes[sketch.cls]
        self.item, self.sketch = item, sketch
        self.left = wanted.copy()
        self.first = int(found.option_index[int(table[k.C_OPTIONS]), 0])
        self.option_of = found.option_of
        self.low = int(item.near[: item.x1 - item.x0 + 1].min())

    def section(self, placed: NDArray[np.int32], at: int) -> tuple[int, int, Row | Blank] | None:
        """Return the section, not before ``at``; None where nothing of it is wanted or fits."""
        item = self.item
        strips: list[Strip] = []
        top = 0
        for own in self._strips(placed):
            strip = self._strip(own, at, top)
            if strip is not None:
                strips.append(strip)
                top = strip[1] + item.ky
        if not strips:
            return None
        start = min(strip[2][0][0] for strip in strips)
        end = max(strip[2][-1][1] for strip in strips)
        if start - at < item.kx:
            start = at
        lost = int(item.near[end - start])
        unripped = len(strips) == 1 and strips[0][0] == lost and strips[0][1] == item.far
        if item.rip_min >= 0 and not unripped:
            end = max(end, start + max(item.rip_min, item.rip_width - lost))
        if end > item.x1 or strips[0][0] < int(item.near[end - start]):
            return None
        return start, end, Row("y", tuple(_whole(strip, start, end) for strip in strips))

    def _strips(self, placed: NDArray[np.int32]) -> Iterator[NDArray[np.int32]]:
        """Yield the blanks of each strip from the near edge, from end A."""
        for v in np.unique(placed[:, 2]):
            own = placed[placed[:, 2] == v]
            yield own[np.argsort(own[:, 1], kind="stable")]

    def _strip(self, own: NDArray[np.int32], at: int, top: int) -> Strip | None:
        """Return a strip at the first place across, from ``top`` on, where its blanks fit."""
        options = [self.option_of[self.first + int(o)][1] for o in own[:, 0]]
        width = max(self.item.options[option].width for option in options)
        near = self.low + int(own[0, 2]) * self.sketch.fine_v
        for v in range(max(near, top), max(near, top) + self.sketch.fine_v):
            if v != top and v - top < self.item.ky and top:
                continue
            if v + width > self.item.ny:
                break
            pieces = self._pieces(own, options, at, (v, v + width))
            if pieces:
                for _, _, blank in pieces:
                    self.left[self.item.options[blank.option].demand] -= 1
                return v, v + width, pieces
        return None

    def _pieces(
        self, own: NDArray[np.int32], options: Sequence[int], at: int, rows: tuple[int, int]
    ) -> list[Piece]:
        item = self.item
        made: list[Piece] = []
        left = self.left.copy()
        for option, place in zip(options, own[:, 1].tolist(), strict=True):
            choice = item.options[option]
            if left[choice.demand] <= 0:
                continue
            start = max(at, item.x0 + place * self.sketch.fine_u)
            if made and start != at and start - at < item.kx:
                start = at + item.kx
            clear = self._clear(choice, start, rows)
            if clear is not None:
                made.append((clear, clear + choice.length, Blank(option)))
                left[choice.demand] -= 1
                at = clear + choice.length + item.kx
        return made

    def _clear(self, option: Option, start: int, rows: tuple[int, int]) -> int | None:
        """Return the first place from ``start`` on where a blank may lie in rows of cells."""
        item = self.item
        while start + option.length <= item.x1:
            rect: Rect = (start, rows[0], start + option.length, rows[1])
            if shown(option, rect, item) is not None:
                return start
            beyond = []
            for index, _ in option.shows:
                block = item.blocks[index]
                hit = (block[:, 0] < rect[2]) & (block[:, 2] > start)
                hit &= (block[:, 1] < rows[1]) & (block[:, 3] > rows[0])
                beyond.append(int(block[hit, 2].max(initial=start + 1)))
            start = start + 1 if item.excuses else max(start + 1, min(beyond))
        return None


def _whole(strip: Strip, start: int, end: int) -> tuple[int, int, Row | Blank]:
    """Return a strip of a section, as the blank itself where that is all of it."""
    near, far, pieces = strip
    if len(pieces) == 1 and pieces[0][:2] == (start, end):
        return near, far, pieces[0][2]
    return near, far, Row("x", tuple(pieces))
