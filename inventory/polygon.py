"""Outlines of flaws: whether they are sound polygons, and what of an axis they cover."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from inventory.length import Length
from inventory.stock import Point

MOST_CORNERS = 400
"""An outline of more corners is taken for a slip."""

Interval = tuple[Fraction, Fraction]


def outline_fault(outline: Sequence[Point]) -> str | None:
    """Return what is wrong with an outline, None where it is a simple polygon.

    Simple: three corners or more, all different, some area, no side touching another one apart from
    the corner it shares with its neighbour.
    """
    count = len(outline)
    if count < 3:
        return "an outline needs 3 points or more"
    if count > MOST_CORNERS:
        return f"an outline may have at most {MOST_CORNERS} points"
    if len(set(outline)) < count:
        return "the outline names a point twice"
    sides = [(outline[i], outline[(i + 1) % count]) for i in range(count)]
    for i in range(count):
        before, corner, after = outline[i - 1], outline[i], outline[(i + 1) % count]
        if _turn(before, corner, after) == 0 and _ahead(corner, before, after) > 0:
            return "the outline folds back on itself"
        for j in range(i + 2, count):
            if (i, j) != (0, count - 1) and _meet(*sides[i], *sides[j]):
                return "the outline crosses itself"
    return None


def bounds(outline: Sequence[Point]) -> tuple[Length, Length, Length, Length]:
    """Return x, y, length and width of the rectangle round an outline."""
    xs = [x for x, _ in outline]
    ys = [y for _, y in outline]
    return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def covered(outline: Sequence[Point], low: Length, high: Length) -> list[Interval]:
    """Return the intervals of x in which the outline reaches into the open band low < y < high.

    Exact. The intervals are in order and apart from each other; merely touching the band is not
    reaching into it.
    """
    stops = sorted(_stops(outline, low, high))
    found: list[Interval] = []
    for left, right in pairwise(stops):
        if _reaches(outline, (left + right) / 2, low, high):
            if found and found[-1][1] == left:
                found[-1] = (found[-1][0], right)
            else:
                found.append((left, right))
    return found


def swapped(outline: Sequence[Point]) -> tuple[Point, ...]:
    """Return the outline with x and y exchanged."""
    return tuple((y, x) for x, y in outline)


def _stops(outline: Sequence[Point], low: Length, high: Length) -> set[Fraction]:
    """Return every x at which the outline may enter or leave the band, or has a corner."""
    stops = {Fraction(x) for x, _ in outline}
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        for level in (low, high):
            if min(y1, y2) < level < max(y1, y2):
                stops.add(x1 + Fraction((level - y1) * (x2 - x1), y2 - y1))
    return stops


def _reaches(outline: Sequence[Point], x: Fraction, low: Length, high: Length) -> bool:
    """Return whether some point (x, y) with low < y < high lies inside; x is no corner's."""
    crossings: list[Fraction] = []
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if min(x1, x2) < x < max(x1, x2):
            crossings.append(y1 + (x - x1) * (y2 - y1) / (x2 - x1))
    crossings.sort()
    pairs = zip(crossings[::2], crossings[1::2], strict=True)
    return any(max(below, Fraction(low)) < min(above, Fraction(high)) for below, above in pairs)


def _turn(a: Point, b: Point, c: Point) -> int:
    """Return twice the area of the triangle a, b, c, positive where it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _ahead(corner: Point, a: Point, b: Point) -> int:
    """Return a positive number where a and b lie the same way from the corner."""
    return (a[0] - corner[0]) * (b[0] - corner[0]) + (a[1] - corner[1]) * (b[1] - corner[1])


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Return whether the side a to b touches the side c to d."""
    first = (_sign(_turn(a, b, c)), _sign(_turn(a, b, d)))
    second = (_sign(_turn(c, d, a)), _sign(_turn(c, d, b)))
    if first[0] * first[1] < 0 and second[0] * second[1] < 0:
        return True
    return any(
        turn == 0 and _ahead(point, start, end) <= 0
        for turn, start, end, point in (
            (first[0], a, b, c),
            (first[1], a, b, d),
            (second[0], c, d, a),
            (second[1], c, d, b),
        )
    )


def _sign(value: int) -> int:
    return (value > 0) - (value < 0)
