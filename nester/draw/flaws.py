"""Flaws: true outline, dense hatching, a letter that the key below explains."""

import math
from collections.abc import Iterator, Sequence
from string import ascii_uppercase

from inventory.stock import Face, Flaw
from nester.draw.clip import Spot, beyond, hatching, within
from nester.draw.field import Field
from nester.draw.marks import (
    Dash,
    Fill,
    Mark,
    Pen,
    Polygon,
    Strokes,
    Style,
    Text,
    centred,
    segments,
)
from nester.draw.names import Wording
from nester.draw.page import Box
from nester.draw.type import NOTE, clean, clipped, line
from nester.draw.view import View

SPACING = 0.6
"""Distance of the hatching strokes [mm]."""

LONGEST_NOTE = 170.0
"""A remark is clipped to this width, over all its lines [mm]."""

LEAST_SEEN = 0.5
"""Share of an outline that words may leave of it."""

LETTERS = ascii_uppercase[2:]
"""A and B are ends and faces, so the flaws' letters begin with C."""

OUTLINE = Style("flaw", Pen.DIMENSION)
FAR_OUTLINE = Style("flaw far", Pen.DIMENSION, Dash.SHORT)
HATCH = Style("hatch", Pen.FINE)
HIDDEN = Style("patch", fill=Fill.WHITE)


def letter(index: int) -> str:
    """Return the letter of flaw number ``index`` from 0: C to Z, then CC, CD and on."""
    text = ""
    while True:
        text = LETTERS[index % len(LETTERS)] + text
        index = index // len(LETTERS) - 1
        if index < 0:
            return text


def outline(flaw: Flaw) -> tuple[tuple[int, int], ...]:
    """Return the corners of a flaw in stock coordinates."""
    if flaw.outline is not None:
        return flaw.outline
    right, far = flaw.x + flaw.length, flaw.y + flaw.width
    return (flaw.x, flaw.y), (right, flaw.y), (right, far), (flaw.x, far)


def on_page(flaw: Flaw, view: View, wood: Sequence[Spot]) -> list[Spot]:
    """Return a flaw's outline on the page, within the wood that the row shows."""
    return within([view.spot(corner) for corner in outline(flaw)], wood)


def bounds(polygon: Sequence[Spot]) -> Box:
    """Return the box round a polygon."""
    xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
    return Box(min(xs), min(ys), max(xs), max(ys))


def flaw_letter(index: int, polygon: Sequence[Spot], field: Field, lines: Field) -> Text | None:
    """Return the letter beside the flaw, off the ``lines`` too where it can be, or else in it."""
    text = line(letter(index), NOTE, True)
    box = bounds(polygon)
    x, y = box.centre
    w, h = text.width / 2 + 0.7, 1.6
    spots = [
        (box.right + w, y),
        (box.left - w, y),
        (x, box.top - h),
        (x, box.bottom + h),
        (box.right + w, box.top - h),
        (box.right + w, box.bottom + h),
        (box.left - w, box.top - h),
        (box.left - w, box.bottom + h),
        (x, y),
        *((box.right + w + d, y + e) for d in (1.5, 3.0, 5.0) for e in (0.0, -2.0, 2.0)),
        *((box.left - w - d, y + e) for d in (1.5, 3.0, 5.0) for e in (0.0, -2.0, 2.0)),
    ]
    if len(polygon) > 4 or not is_box(polygon):
        spots = [*beside(polygon), *spots]
    for wary in (True, False):
        for at in spots:
            placed = centred(text, *at, role="letter")
            if field.free(placed.box, 0.15) and (not wary or lines.free(placed.box, 0.1)):
                field.take(placed.box)
                return placed
    return None


def is_box(polygon: Sequence[Spot]) -> bool:
    """Return whether every side of a polygon is level or upright."""
    return all(
        abs(a[0] - b[0]) < 0.01 or abs(a[1] - b[1]) < 0.01
        for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    )


def beside(polygon: Sequence[Spot]) -> Iterator[Spot]:
    """Yield places for a letter beside the sides of a polygon, the longest side first."""
    edges = zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    for a, b in sorted(edges, key=lambda edge: -math.dist(*edge)):
        length = math.dist(a, b)
        if length < 0.5:
            continue
        across = (b[1] - a[1]) / length, (a[0] - b[0]) / length
        for share in (0.5, 0.3, 0.7):
            x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
            for off in (2.0, -2.0):
                spot = x + off * across[0], y + off * across[1]
                if not holds(polygon, spot):
                    yield spot


def holds(polygon: Sequence[Spot], spot: Spot) -> bool:
    """Return whether a point lies inside a polygon (even-odd)."""
    x, y = spot
    inside = False
    for (ax, ay), (bx, by) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def flaw_marks(
    flaw: Flaw,
    polygon: Sequence[Spot],
    clear: Sequence[Box],
    about: str,
    words: Sequence[Box] = (),
) -> list[Mark]:
    """Return outline and hatching of a flaw; the hatching leaves out the boxes in ``clear``.

    The outline leaves out ``words``, unless little of it would be left.
    """
    style = FAR_OUTLINE if flaw.face is Face.B else OUTLINE
    strokes = beyond(hatching(polygon, SPACING, rising=True), clear)
    edges = list(zip(polygon, [*polygon[1:], polygon[0]], strict=True))
    left = beyond(edges, words)
    whole = sum(math.dist(*edge) for edge in edges)
    seen = sum(math.dist(*edge) for edge in left)
    marks: list[Mark] = [Polygon(tuple(polygon), style, about)]
    if LEAST_SEEN * whole < seen < whole - 0.1:
        marks = [Strokes(tuple(left), style, about)]
    if strokes:
        marks.append(segments(strokes, HATCH))
    return marks


def flaw_words(index: int, flaw: Flaw, wording: Wording) -> tuple[str, str, str, str]:
    """Return what the key says of a flaw: letter; kind, face and remark; size; place."""
    face = {Face.A: "face A", Face.B: "far face (B)", Face.BOTH: "both faces"}[flaw.face]
    kind = ("sound " if flaw.sound else "") + flaw.kind.value
    note = clipped(clean(flaw.note), LONGEST_NOTE, NOTE)
    size = f"{wording.length(flaw.length)} × {wording.length(flaw.width)}"
    place = f"{wording.length(flaw.x)}, {wording.length(flaw.y)}"
    return letter(index), ", ".join(filter(None, (kind, face, note))), size, place
