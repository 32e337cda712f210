"""Where the stock lies on the page: in one row, or a long board in two or three rows.

A long board drawn whole across a landscape sheet comes out too low to letter. Its length is then
shown in rows, like a text, all at the one true scale; nothing is stretched. A row ends where a
crosscut goes right through if there is such a place, so that no piece is broken in two.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from inventory.length import MM, Length
from nester.draw.clip import Spot
from nester.draw.cutting import Cutting, root_of
from nester.draw.page import Box
from nester.layout import Axis, Node


@dataclass(frozen=True, slots=True)
class View:
    """One row of the drawing: the stock from ``start`` to ``end``, at 1 : ``scale``.

    ``left`` is the page x of ``start``, ``near`` the page y of the near edge [mm]. This is the one
    place where y is turned over: the near edge lies at the bottom of the drawing, end A at the
    left.
    """

    start: Length
    end: Length
    left: float
    near: float
    scale: float

    def mm(self, length: float) -> float:
        """Return a stock length [1/320 mm] as it is drawn [mm]."""
        return length / (MM * self.scale)

    def x(self, x: float) -> float:
        """Return the page x of a distance from end A."""
        return self.left + self.mm(x - self.start)

    def y(self, y: float) -> float:
        """Return the page y of a distance from the near edge."""
        return self.near - self.mm(y)

    def spot(self, at: tuple[float, float]) -> Spot:
        """Return a point of the stock on the page."""
        return self.x(at[0]), self.y(at[1])

    def shows(self, node: Node) -> bool:
        """Return whether the row shows more than a border of ``node``."""
        return node.x < self.end and node.x + node.length > self.start

    def box(self, x: Length, y: Length, length: Length, width: Length) -> Box:
        """Return a rectangle of the stock on the page, as much of it as this row shows."""
        low, high = max(x, self.start), min(x + length, self.end)
        return Box(self.x(low), self.y(y + width), self.x(high), self.y(y))

    def node_box(self, node: Node) -> Box:
        """Return a node's rectangle on the page, as much of it as this row shows."""
        return self.box(node.x, node.y, node.length, node.width)


def breaks(cutting: Cutting, length: Length, rows: int) -> list[Length]:
    """Return where the rows end, ``rows`` + 1 places from 0 to ``length``.

    Crosscuts right through are taken where that makes no row over a quarter longer than an even
    share; else the piece ends nearest to even shares.
    """
    if rows <= 1:
        return [0, length]
    through = through_cuts(cutting)
    best = nearest_shares(through, length, rows)
    if best and longest(best) * rows * 4 <= length * 5:
        return best
    ends = sorted({n.x + n.length for n in cutting.leaves if 0 < n.x + n.length < length})
    best = nearest_shares(ends, length, rows)
    if best and longest(best) * rows * 4 <= length * 5:
        return best
    return [length * i // rows for i in range(rows + 1)]


def through_cuts(cutting: Cutting) -> list[Length]:
    """Return the far sides of the crosscuts that part the whole stock, trims apart."""
    found: list[Length] = []
    root = root_of(cutting)
    stack = [] if root is None else [root]
    trims = {id(saw.node) for saw in cutting.cuts if saw.trim}
    while stack:
        node = stack.pop()
        if node.cut is None:
            continue
        if node.cut.axis is Axis.X:
            found.append(node.cut.at + node.cut.kerf)
        if node.cut.axis is Axis.X or id(node) in trims:
            stack.extend(node.pieces)
    return sorted(found)


def nearest_shares(places: Sequence[Length], length: Length, rows: int) -> list[Length]:
    """Return 0, the places nearest to even shares, and ``length``; empty where two would be one."""
    if not places:
        return []
    chosen = [min(places, key=lambda p: (abs(p * rows - length * i), p)) for i in range(1, rows)]
    whole = [0, *chosen, length]
    return whole if all(a < b for a, b in pairwise(whole)) else []


def longest(ends: Sequence[Length]) -> Length:
    """Return the length of the longest row."""
    return max(b - a for a, b in pairwise(ends))
