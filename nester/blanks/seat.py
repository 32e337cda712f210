"""A part as it lies in its blank on the stock: where its points are, and which flaws it sheds."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias

from inventory.length import Length
from inventory.stock import Flaw, Stock
from nester.blanks.cutaways import COUNTS_EVERYWHERE, Lie, is_caution, lies_on_far
from nester.model import Arch, Cutaway, Part

Vertex: TypeAlias = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Seat:
    """A part in the rectangle of its blank: lowest corner and size on the stock [1/320 mm]."""

    part: Part
    lie: Lie
    x: Length
    y: Length
    length: Length
    width: Length

    def on_part(self, x: int | Fraction, y: int | Fraction) -> Vertex:
        """Return a point of the stock as seen on the part: from its end A, from its near edge."""
        along, across = (y, x) if self.lie.turned else (x, y)
        start, edge = self._corner()
        p, q = along - start, across - edge
        if self.lie.backwards:
            p = self.part.length - p
        return p, q if self.lie.near_low else self.part.width - q

    def on_stock(self, p: int | Fraction, q: int | Fraction) -> Vertex:
        """Return where a point of the part lies on the stock."""
        start, edge = self._corner()
        along = start + (self.part.length - p if self.lie.backwards else p)
        across = edge + (q if self.lie.near_low else self.part.width - q)
        return (across, along) if self.lie.turned else (along, across)

    def shed(self, stock: Stock) -> list[Flaw]:
        """Return the flaws of the stock that a cutaway takes away: all of them inside it."""
        return [
            flaw
            for flaw in stock.flaws
            if flaw.kind not in COUNTS_EVERYWHERE
            and any(self.holds(cutaway, flaw) for cutaway in self.part.cutaways)
        ]

    def loose(self, stock: Stock) -> list[Flaw]:
        """Return what is to be knocked out of the cutaways, or filled, before milling."""
        return [flaw for flaw in self.shed(stock) if is_caution(flaw)]

    def holds(self, cutaway: Cutaway, flaw: Flaw) -> bool:
        """Whether the true shape of a flaw lies wholly in a cutaway, its border included."""
        corners = flaw.outline or (
            (flaw.x, flaw.y),
            (flaw.x + flaw.length, flaw.y),
            (flaw.x + flaw.length, flaw.y + flaw.width),
            (flaw.x, flaw.y + flaw.width),
        )
        shape = [self.on_part(x, y) for x, y in corners]
        if isinstance(cutaway, Arch):
            # An arch of at most half a circle is convex.
            return all(under(cutaway, self.part.width, p, q) for p, q in shape)
        return covers([(Fraction(p), Fraction(q)) for p, q in cutaway.points], shape)

    def _corner(self) -> tuple[Fraction, Fraction]:
        """Return where the part begins on the stock: along it and across it."""
        start, length, edge, width = self.x, self.length, self.y, self.width
        if self.lie.turned:
            start, length, edge, width = edge, width, start, length
        low = self.lie.near_low != lies_on_far(self.part.cutaways)
        return (
            start + Fraction(length - self.part.length, 2),
            Fraction(edge if low else edge + width - self.part.width),
        )


def under(arch: Arch, width: Length, p: Fraction, q: Fraction) -> bool:
    """Whether a point of a part of this ``width`` lies in an arch (``cutaways.height_of``)."""
    span, rise = arch.span, arch.rise
    up = q if arch.edge == "near" else width - q
    twice = 2 * p - 2 * arch.start - span
    circle = rise * twice**2 + 4 * rise * up**2 + up * (span**2 - 4 * rise**2)
    return up >= 0 and circle <= rise * span**2


def covers(outer: Sequence[Vertex], inner: Sequence[Vertex]) -> bool:
    """Whether a polygon lies wholly in another, borders included.

    Both are looked at between neighbouring corners and crossings, where no sides cross.
    """
    sides, others = _sides(outer), _sides(inner)
    stops = {x for x, _ in (*outer, *inner)}
    stops |= {x for one in sides for other in others for x in _crossing(one, other)}
    low, high = min(x for x, _ in inner), max(x for x, _ in inner)
    for u, v in pairwise(sorted(x for x in stops if low <= x <= high)):
        held, asked = _ranges(sides, (u + v) / 2), _ranges(others, (u + v) / 2)
        if not all(any(a <= c and d <= b for a, b in held) for c, d in asked):
            return False
    return True


Side: TypeAlias = tuple[Vertex, Vertex]


def _sides(points: Sequence[Vertex]) -> list[Side]:
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return [(a, b) if a[0] < b[0] else (b, a) for a, b in pairs if a[0] != b[0]]


def _at(side: Side, x: Fraction) -> Fraction:
    (x1, y1), (x2, y2) = side
    return y1 + (y2 - y1) * (x - x1) / (x2 - x1)


def _crossing(one: Side, other: Side) -> list[Fraction]:
    low, high = max(one[0][0], other[0][0]), min(one[1][0], other[1][0])
    if low >= high:
        return []
    before, after = _at(one, low) - _at(other, low), _at(one, high) - _at(other, high)
    if before * after >= 0:
        return []
    return [low + (high - low) * before / (before - after)]


def _ranges(sides: Sequence[Side], x: Fraction) -> list[tuple[Fraction, Fraction]]:
    ys = sorted(_at(side, x) for side in sides if side[0][0] < x < side[1][0])
    return list(zip(ys[::2], ys[1::2], strict=True))
