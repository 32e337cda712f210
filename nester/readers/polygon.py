"""Whether an outline is a simple polygon: at least three corners, and no side touches another."""

from collections.abc import Sequence

from inventory.stock import Point

MOST_CORNERS = 400
"""An outline of more corners is taken for a slip; comparing all its sides would take too long."""


def outline_fault(points: Sequence[Point]) -> str | None:
    """Return what is wrong with an outline in words, None where it is simple.

    Sides that only share the corner between them do not touch. The outline closes itself: the last
    corner is joined to the first.
    """
    if len(points) < 3:
        return "an outline needs at least 3 corners"
    if len(points) > MOST_CORNERS:
        return f"an outline may have at most {MOST_CORNERS} corners"
    if len(set(points)) < len(points):
        return "the outline names a corner twice"
    count = len(points)
    sides = [(points[i], points[(i + 1) % count]) for i in range(count)]
    for i in range(count):
        if _folds_back(sides[i - 1][0], points[i], sides[i][1]):
            return "the outline folds back on itself"
        for j in range(i + 2, count):
            if (i, j) != (0, count - 1) and _touch(*sides[i], *sides[j]):
                return "the outline crosses itself"
    return None


def turn(a: Point, b: Point, c: Point) -> int:
    """Return twice the area of the triangle a, b, c; positive where it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _folds_back(before: Point, corner: Point, after: Point) -> bool:
    along = (before[0] - corner[0]) * (after[0] - corner[0])
    along += (before[1] - corner[1]) * (after[1] - corner[1])
    return turn(before, corner, after) == 0 and along > 0


def _touch(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Return whether the sides a-b and c-d have a point in common."""
    one, two, three, four = turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
    if (one > 0) != (two > 0) and (three > 0) != (four > 0) and 0 not in (one, two, three, four):
        return True
    return (
        (one == 0 and _within(a, b, c))
        or (two == 0 and _within(a, b, d))
        or (three == 0 and _within(c, d, a))
        or (four == 0 and _within(c, d, b))
    )


def _within(a: Point, b: Point, p: Point) -> bool:
    """Return whether p, known to be in line with a and b, lies between them."""
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])
