"""Exact areas: the wood in a rectangle of a stock item, and what of it is free of unsound flaws."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from inventory.length import Length
from inventory.stock import Board, Flaw, Point, Stock

Edge = tuple[Point, Point]
Ring = Sequence[Point]


def wood_area(item: Stock) -> Fraction:
    """Return the area of the stock item's outline [1/320 mm squared]."""
    if isinstance(item, Board):
        return Fraction((item.width_a + item.width_b) * item.length, 2)
    return Fraction(item.length * item.width)


def wood_in(item: Stock, x: Length, y: Length, length: Length, width: Length) -> Fraction:
    """Return the wood in a rectangle, flaws included [1/320 mm squared]."""
    return _covered(_outline(item), (), x, y, x + length, y + width)


def sound_wood_in(item: Stock, x: Length, y: Length, length: Length, width: Length) -> Fraction:
    """Return the wood in a rectangle less the union of its unsound flaws [1/320 mm squared]."""
    rings = [_ring(flaw) for flaw in item.flaws if not flaw.sound]
    near = [ring for ring in rings if _meets(ring, x, y, x + length, y + width)]
    return _covered(_outline(item), near, x, y, x + length, y + width)


def _outline(item: Stock) -> Ring:
    if isinstance(item, Board):
        return ((0, 0), (item.length, 0), (item.length, item.width_b), (0, item.width_a))
    return ((0, 0), (item.length, 0), (item.length, item.width), (0, item.width))


def _ring(flaw: Flaw) -> Ring:
    if flaw.outline is not None:
        return flaw.outline
    right, top = flaw.x + flaw.length, flaw.y + flaw.width
    return ((flaw.x, flaw.y), (right, flaw.y), (right, top), (flaw.x, top))


def _meets(ring: Ring, x1: Length, y1: Length, x2: Length, y2: Length) -> bool:
    return (
        min(x for x, _ in ring) < x2
        and max(x for x, _ in ring) > x1
        and min(y for _, y in ring) < y2
        and max(y for _, y in ring) > y1
    )


def _covered(
    wood: Ring, holes: Sequence[Ring], x1: Length, y1: Length, x2: Length, y2: Length
) -> Fraction:
    """Return the area of ``wood`` less ``holes`` in a rectangle, by slabs between all crossings.

    Inside a slab no two edges cross, so every piece of it is a trapezoid and exact.
    """
    if x1 >= x2 or y1 >= y2:
        return Fraction(0)
    box: Ring = ((x1, y1), (x2, y1), (x2, y2), (x1, y2))
    rings = [wood, *holes, box]
    edges = [(_edges(ring), ring) for ring in rings]
    flat = [edge for found, _ in edges for edge in found]
    xs = {Fraction(x1), Fraction(x2)}
    xs.update(Fraction(x) for ring in rings for x, _ in ring if x1 < x < x2)
    for i, first in enumerate(flat):
        for second in flat[i + 1 :]:
            x = _crossing(first, second)
            if x is not None and x1 < x < x2:
                xs.add(x)
    total = Fraction(0)
    cuts = sorted(xs)
    for u, v in pairwise(cuts):
        middle = (u + v) / 2
        inside = _ranges(edges[0][0], middle)
        inside = _common(inside, [(Fraction(y1), Fraction(y2))])
        for found, _ in edges[1:-1]:
            inside = _less(inside, _ranges(found, middle))
        # The height at the middle of a trapezoid is the mean of its two sides.
        total += (v - u) * sum((high - low for low, high in inside), Fraction(0))
    return total


def _edges(ring: Ring) -> list[Edge]:
    return [
        (a, b) if a[0] < b[0] else (b, a)
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)
        if a[0] != b[0]
    ]


def _height(edge: Edge, x: Fraction) -> Fraction:
    (ax, ay), (bx, by) = edge
    return ay + Fraction(by - ay, bx - ax) * (x - ax)


def _crossing(first: Edge, second: Edge) -> Fraction | None:
    (ax, ay), (bx, by) = first
    (cx, cy), (dx, dy) = second
    if bx <= cx or dx <= ax:
        return None
    slope = Fraction(by - ay, bx - ax) - Fraction(dy - cy, dx - cx)
    if slope == 0:
        return None
    left = max(ax, cx)
    gap = _height(first, Fraction(left)) - _height(second, Fraction(left))
    x = left - gap / slope
    return x if left < x < min(bx, dx) else None


Ranges = list[tuple[Fraction, Fraction]]


def _ranges(edges: Sequence[Edge], x: Fraction) -> Ranges:
    ys = sorted(_height(e, x) for e in edges if e[0][0] < x < e[1][0])
    return list(zip(ys[::2], ys[1::2], strict=False))


def _common(first: Ranges, second: Ranges) -> Ranges:
    return [(max(a, c), min(b, d)) for a, b in first for c, d in second if max(a, c) < min(b, d)]


def _less(kept: Ranges, taken: Ranges) -> Ranges:
    for low, high in taken:
        left: Ranges = []
        for a, b in kept:
            if high <= a or low >= b:
                left.append((a, b))
                continue
            if a < low:
                left.append((a, low))
            if high < b:
                left.append((high, b))
        kept = left
    return kept
