"""Polygons and lines cut to size: by a convex outline, into hatching, by boxes."""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from nester.draw.page import Box

Spot: TypeAlias = tuple[float, float]
Segment: TypeAlias = tuple[Spot, Spot]


def within(polygon: Sequence[Spot], window: Sequence[Spot]) -> list[Spot]:
    """Return the part of ``polygon`` inside the convex ``window``, empty where there is none.

    Sutherland and Hodgman's clipping, "Reentrant polygon clipping", Communications of the ACM 17
    (1974). Both may run either way round.
    """
    kept = list(polygon)
    turn = 1.0 if signed_area(window) > 0 else -1.0
    for a, b in zip(window, [*window[1:], window[0]], strict=True):
        if a == b:
            continue
        kept, before = [], kept
        for p, q in zip(before, [*before[1:], *before[:1]], strict=True):
            side_p, side_q = turn * side(a, b, p), turn * side(a, b, q)
            if side_p >= 0:
                kept.append(p)
            if (side_p > 0 > side_q) or (side_p < 0 < side_q):
                t = side_p / (side_p - side_q)
                kept.append((p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])))
        if not kept:
            return []
    return kept if abs(signed_area(kept)) > 1e-9 else []


def side(a: Spot, b: Spot, p: Spot) -> float:
    """Return on which side of the line from ``a`` to ``b`` the spot ``p`` lies, 0 on it."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def signed_area(polygon: Sequence[Spot]) -> float:
    """Return the area, negative for one of the two ways round."""
    return 0.5 * sum(
        a[0] * b[1] - b[0] * a[1]
        for a, b in zip(polygon, [*polygon[1:], *polygon[:1]], strict=True)
    )


def hatching(polygon: Sequence[Spot], spacing: float, rising: bool) -> list[Segment]:
    """Return 45 degree strokes that fill ``polygon``, ``spacing`` apart.

    The strokes lie on lines counted from the page's corner, so neighbours with the same spacing run
    on. ``rising``: from lower left to upper right on a page whose y runs down. Where the outline
    crosses itself, even-odd decides.
    """
    lean = 1.0 if rising else -1.0
    keys = [x + lean * y for x, y in polygon]
    step = spacing * 2**0.5
    strokes: list[Segment] = []
    for i in range(int(min(keys) // step), int(max(keys) // step) + 1):
        key = (i + 0.5) * step
        crossings: list[Spot] = []
        for (a, ka), (b, kb) in zip(
            zip(polygon, keys, strict=True),
            zip([*polygon[1:], polygon[0]], [*keys[1:], keys[0]], strict=True),
            strict=True,
        ):
            if (ka <= key) != (kb <= key):
                t = (key - ka) / (kb - ka)
                crossings.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
        crossings.sort()
        strokes.extend(zip(crossings[::2], crossings[1::2], strict=False))
    return strokes


def outside(stroke: Segment, left: float, top: float, right: float, bottom: float) -> list[Segment]:
    """Return what of ``stroke`` lies outside a rectangle: none, one or two pieces."""
    (x, y), (u, v) = stroke
    enter, leave = 0.0, 1.0
    for start, run, low, high in ((x, u - x, left, right), (y, v - y, top, bottom)):
        if run == 0:
            if not low < start < high:
                return [stroke]
            continue
        a, b = sorted(((low - start) / run, (high - start) / run))
        enter, leave = max(enter, a), min(leave, b)
    if enter >= leave:
        return [stroke]
    pieces: list[Segment] = []
    if enter > 0:
        pieces.append(((x, y), (x + enter * (u - x), y + enter * (v - y))))
    if leave < 1:
        pieces.append(((x + leave * (u - x), y + leave * (v - y)), (u, v)))
    return pieces


def beyond(strokes: Iterable[Segment], boxes: Iterable[Box]) -> list[Segment]:
    """Return what of straight lines lies outside boxes."""
    left = list(strokes)
    for box in boxes:
        left = [
            piece
            for stroke in left
            for piece in outside(stroke, box.left, box.top, box.right, box.bottom)
        ]
    return left
