"""Cutaways: regions of a part that are sawn away later, in which most flaws may lie.

Everything is decided exactly. A point (u, v), u along the part from its end A and v across it from
its near edge, is under an arch of span c and rise h when it lies on the chord's side of the circle
through the ends of the chord and the top of the arch. That circle has the radius
c²/8h + h/2 and its centre at (middle of the span, h - radius), so that the condition becomes

    4 h ((u - middle)² + (v - h)²) + (c² + 4 h²) (v - h) <= 0  and  v >= 0.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from nester.verify.areas import covered
from nester.verify.blank import Blank
from nester.verify.records import Arch, Cutaway, Flaw, Outline
from nester.verify.shapes import Number, Vertex, edges, flaw_corners, holds, on_segment

_NEVER = frozenset({"metal", "void"})


def cut_away(blank: Blank, flaw: Flaw) -> bool:
    """Whether a flaw lies wholly inside one cutaway of a blank's part, its border included.

    Metal and voids count wherever they lie.
    """
    if flaw.kind in _NEVER or not blank.part.cutaways:
        return False
    shape = [_on_part(blank, x, y) for x, y in flaw_corners(flaw)]
    return any(_holds(cutaway, shape, blank.part.width) for cutaway in blank.part.cutaways)


def _on_part(blank: Blank, x: int | Fraction, y: int | Fraction) -> Vertex:
    """Return a point of the stock as seen on the part: along from its end A, across from near.

    The part's length is in the middle of its seat. Across, its near edge lies on the edge of the
    seat; where it has arches and all are on the far edge, that one does.
    """
    part, use = blank.part, blank.use
    if use.turned:
        along, across, seat, seat_across = y, x, blank.seat_y, blank.seat_x
    else:
        along, across, seat, seat_across = x, y, blank.seat_x, blank.seat_y
    start = Fraction(seat[0] + seat[1] - part.length, 2)
    u = along - start
    # A turned part has its end A towards the far edge of the stock, unless it is reversed.
    if use.reversed != use.turned:
        u = part.length - u
    near_low = use.reversed == use.flipped
    arches = [cutaway.edge for cutaway in part.cutaways if isinstance(cutaway, Arch)]
    far_flush = bool(arches) and all(edge == "far" for edge in arches)
    v = Fraction(across - seat_across[0] if near_low else seat_across[1] - across)
    if far_flush:
        v -= seat_across[1] - seat_across[0] - part.width
    return u, v


def _holds(cutaway: Cutaway, shape: Sequence[Vertex], width: int) -> bool:
    """Whether a polygon lies wholly inside a cutaway."""
    if isinstance(cutaway, Outline):
        return polygon_holds(cutaway.points, shape)
    # What lies under an arch of at most half a circle is convex: its corners decide.
    return all(under_arch(cutaway, width, point) for point in shape)


def under_arch(arch: Arch, width: int, point: Vertex) -> bool:
    """Whether a point of a part of this ``width`` lies under an arch, its border included."""
    u, v = point
    if arch.edge == "far":
        v = width - v
    u2 = 2 * u - (2 * arch.start + arch.span)  # twice the distance from the middle of the span
    c, h = arch.span, arch.rise
    return v >= 0 and h * u2 * u2 + 4 * h * (v - h) ** 2 + (c * c + 4 * h * h) * (v - h) <= 0


def polygon_holds(region: Sequence[Vertex], shape: Sequence[Vertex]) -> bool:
    """Whether a polygon lies wholly inside another, borders included.

    All of its border must lie inside, and its area must be covered: a region that crosses itself
    may have holes, and a shape may have no area.
    """
    if not all(_segment_inside(region, p, q) for p, q in edges(shape)):
        return False
    xs, ys = [x for x, _ in shape], [y for _, y in shape]
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    box = (low, (high[0], low[1]), high, (low[0], high[1]))
    return covered(shape, [region]) == covered(shape, [box])


def _segment_inside(region: Sequence[Vertex], p: Vertex, q: Vertex) -> bool:
    """Whether all of a segment lies inside a polygon or on its border.

    Between two neighbours among its ends and the points where it meets the border, it is inside
    all the way or nowhere, so the middle between them decides.
    """
    stops = {Fraction(0), Fraction(1)}
    for a, b in edges(region):
        stops.update(t for t in _meetings(p, q, a, b) if 0 < t < 1)
    marks = sorted(stops)
    middles = [(s + t) / 2 for s, t in pairwise(marks)]
    return all(
        _inside(region, (p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
        for t in [*marks, *middles]
    )


def _inside(region: Sequence[Vertex], point: Vertex) -> bool:
    """Whether a point lies inside a polygon or on its border."""
    if any(on_segment(point, a, b) for a, b in edges(region)):
        return True
    return holds(region, point)


def _meetings(p: Vertex, q: Vertex, a: Vertex, b: Vertex) -> list[Fraction]:
    """Return where, from 0 at ``p`` to 1 at ``q``, a segment meets another; of two that run in one
    line the ends of the other.
    """
    dx, dy = q[0] - p[0], q[1] - p[1]
    ex, ey = b[0] - a[0], b[1] - a[1]
    cross = dx * ey - dy * ex
    if cross:
        t = Fraction((a[0] - p[0]) * ey - (a[1] - p[1]) * ex) / cross
        s = Fraction((a[0] - p[0]) * dy - (a[1] - p[1]) * dx) / cross
        return [t] if 0 <= s <= 1 else []
    square: Number = dx * dx + dy * dy
    if not square or (a[0] - p[0]) * dy != (a[1] - p[1]) * dx:
        return []
    return [Fraction((end[0] - p[0]) * dx + (end[1] - p[1]) * dy) / square for end in (a, b)]
