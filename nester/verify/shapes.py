"""Exact plane geometry: rectangles and polygons, whether they touch and how far apart they are.

Two shapes touch when their interiors overlap; shapes that share an edge or a corner abut and do not
touch. All in 1/320 mm, in integers and fractions.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from nester.verify.records import Flaw

Number: TypeAlias = int | Fraction
Vertex: TypeAlias = tuple[Number, Number]


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle from ``(x0, y0)`` to ``(x1, y1)``."""

    x0: Number
    y0: Number
    x1: Number
    y1: Number

    def grown(self, along: Number, across: Number) -> "Rect":
        """Return the rectangle grown on both sides of each axis: ``along`` x, ``across`` it."""
        return Rect(self.x0 - along, self.y0 - across, self.x1 + along, self.y1 + across)

    def corners(self) -> tuple[Vertex, ...]:
        """Return the corners in order round it."""
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))


def flaw_box(flaw: Flaw) -> Rect:
    """Return a flaw's bounding rectangle."""
    return Rect(flaw.x, flaw.y, flaw.x + flaw.length, flaw.y + flaw.width)


def flaw_corners(flaw: Flaw) -> tuple[Vertex, ...]:
    """Return the true shape of a flaw as a polygon."""
    return flaw.outline if flaw.outline is not None else flaw_box(flaw).corners()


def overlaps(a: Rect, b: Rect) -> bool:
    """Whether two rectangles touch; one without area touches where it runs through the other."""
    return a.x0 < b.x1 and b.x0 < a.x1 and a.y0 < b.y1 and b.y0 < a.y1


def touches(flaw: Flaw, rect: Rect) -> bool:
    """Whether a flaw's true shape touches a rectangle."""
    if not overlaps(rect, flaw_box(flaw)):
        return False
    if flaw.outline is None:
        return True
    if any(_enters(p, q, rect) for p, q in edges(flaw.outline)):
        return True
    # No edge comes inside, so the rectangle lies wholly within the outline or wholly outside.
    middle = (Fraction(rect.x0 + rect.x1) / 2, Fraction(rect.y0 + rect.y1) / 2)
    return holds(flaw.outline, middle)


def edges(polygon: Sequence[Vertex]) -> Iterator[tuple[Vertex, Vertex]]:
    """Yield the edges of a polygon in order, the closing one last."""
    for i, p in enumerate(polygon):
        yield p, polygon[(i + 1) % len(polygon)]


def holds(polygon: Sequence[Vertex], point: Vertex) -> bool:
    """Whether a point on no edge is inside a polygon (even-odd where it crosses itself)."""
    x, y = point
    inside = False
    for (px, py), (qx, qy) in edges(polygon):
        if (py > y) != (qy > y):
            crossing = px + Fraction(y - py) * (qx - px) / (qy - py)
            if crossing > x:
                inside = not inside
    return inside


def on_segment(point: Vertex, p: Vertex, q: Vertex) -> bool:
    """Whether a point lies on the segment from ``p`` to ``q``, its ends included."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    ex, ey = point[0] - p[0], point[1] - p[1]
    if dx * ey != dy * ex:
        return False
    return min(p[0], q[0]) <= point[0] <= max(p[0], q[0]) and (
        min(p[1], q[1]) <= point[1] <= max(p[1], q[1])
    )


def _enters(p: Vertex, q: Vertex, rect: Rect) -> bool:
    """Whether the segment from ``p`` to ``q`` has a point strictly inside a rectangle.

    The segment is ``p + t (q - p)`` with t from 0 to 1; each axis allows an open range of t.
    """
    low, high = Fraction(-1), Fraction(2)
    for start, step, near, far in (
        (p[0], q[0] - p[0], rect.x0, rect.x1),
        (p[1], q[1] - p[1], rect.y0, rect.y1),
    ):
        if step == 0:
            if not near < start < far:
                return False
            continue
        one, two = Fraction(near - start) / step, Fraction(far - start) / step
        low, high = max(low, min(one, two)), min(high, max(one, two))
    return low < high and low < 1 and high > 0


def gap_squared(flaw: Flaw, rect: Rect) -> Fraction:
    """Return the square of the clear distance between a flaw's true shape and a rectangle."""
    if flaw.outline is None:
        box = flaw_box(flaw)
        dx = max(box.x0 - rect.x1, rect.x0 - box.x1, 0)
        dy = max(box.y0 - rect.y1, rect.y0 - box.y1, 0)
        return Fraction(dx * dx + dy * dy)
    if touches(flaw, rect):
        return Fraction(0)
    return min(_segment_gap(p, q, rect) for p, q in edges(flaw.outline))


def _segment_gap(p: Vertex, q: Vertex, rect: Rect) -> Fraction:
    """Return the squared distance between a segment and a rectangle that it does not enter."""
    from_ends = min(_point_gap(p, rect), _point_gap(q, rect))
    return min(from_ends, *(_from_segment(corner, p, q) for corner in rect.corners()))


def _point_gap(point: Vertex, rect: Rect) -> Fraction:
    """Return the squared distance from a point to a rectangle."""
    dx = max(rect.x0 - point[0], point[0] - rect.x1, 0)
    dy = max(rect.y0 - point[1], point[1] - rect.y1, 0)
    return Fraction(dx * dx + dy * dy)


def _from_segment(point: Vertex, p: Vertex, q: Vertex) -> Fraction:
    """Return the squared distance from a point to the segment from ``p`` to ``q``."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    square = dx * dx + dy * dy
    t = Fraction(0)
    if square:
        t = Fraction((point[0] - p[0]) * dx + (point[1] - p[1]) * dy) / square
        t = min(max(t, Fraction(0)), Fraction(1))
    ex, ey = p[0] + t * dx - point[0], p[1] + t * dy - point[1]
    return Fraction(ex * ex + ey * ey)
