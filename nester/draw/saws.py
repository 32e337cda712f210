"""Cuts on the drawing: the kerf at its width, a numbered disc where the saw starts, an x beside it.

Crosscuts start at the near edge, where the maker stands; rips at the end nearer to end A. The x
stands on that side of the pencil line on which the saw runs.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nester.draw.clip import Segment, Spot, within
from nester.draw.field import Field, spread
from nester.draw.flaws import bounds
from nester.draw.marks import Disc, Fill, Mark, Pen, Polygon, Style, centred, segment, segments
from nester.draw.page import Box
from nester.draw.type import NOTE, line
from nester.draw.view import View
from nester.layout import Axis
from nester.sawing import SawLine

LEAST_KERF = 0.25
"""A kerf thinner than this on paper is drawn this wide, to be seen [mm]."""
BAND = 3.0
"""Distance of the discs outside the stock from its edge [mm]."""
BESIDE = 6.0
"""So far a row of discs may reach beyond the ends of the stock [mm]."""
PACE = 0.6
"""A place for a disc is looked for along its cut at this distance [mm]."""
CLOSE = 12.0
"""So far along its cut a disc makes way for a flaw [mm]."""
ARM = 0.65
"""Half the width of an x [mm]."""

KERF = Style("kerf", fill=Fill.BLACK)
DISC = Style("disc", Pen.CUT, fill=Fill.WHITE)
LEAD = Style("disc-lead", Pen.CUT)
CROSS = Style("waste-side", Pen.DIMENSION)


@dataclass(frozen=True, slots=True)
class Laid:
    """A cut on the page: its kerf's box, its direction, and on which side the saw runs.

    ``side`` is -1 where the saw runs to the left of, or above, the pencil line, else +1; ``pencil``
    is the line's page x or y.
    """

    saw: SawLine
    kerf: Box
    upright: bool
    pencil: float
    side: int


def laid(saw: SawLine, view: View) -> Laid | None:
    """Return a cut as this row shows it; None for cuts elsewhere and for resawing."""
    node, cut = saw.node, saw.cut
    if cut.axis is Axis.Z:
        return None
    if cut.axis is Axis.X:
        if not view.start <= saw.line <= view.end or not overlaps_row(cut.at, cut.kerf, view):
            return None
        box = thick(view.box(cut.at, node.y, min(cut.kerf, saw.end - cut.at), node.width), True)
        return Laid(saw, box, True, view.x(saw.line), 1 if saw.beyond else -1)
    if not view.shows(node):
        return None
    box = thick(view.box(node.x, cut.at, node.length, min(cut.kerf, saw.end - cut.at)), False)
    return Laid(saw, box, False, view.y(saw.line), -1 if saw.beyond else 1)


def overlaps_row(at: int, kerf: int, view: View) -> bool:
    """Return whether a crosscut belongs to this row; a kerf at a break is the row before's."""
    return view.start <= at and at + min(kerf, 1) <= view.end


def thick(box: Box, upright: bool) -> Box:
    """Return a kerf's box, at least as wide as can be seen."""
    x, y = box.centre
    half = LEAST_KERF / 2
    if upright and box.width < LEAST_KERF:
        return Box(x - half, box.top, x + half, box.bottom)
    if not upright and box.height < LEAST_KERF:
        return Box(box.left, y - half, box.right, y + half)
    return box


def kerf_mark(cut: Laid, wood: Sequence[Spot]) -> Polygon | None:
    """Return the kerf, as far as there is wood."""
    box = cut.kerf
    corners = [
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    ]
    shape = within(corners, wood)
    return Polygon(tuple(shape), KERF) if shape else None


def radius(saw: SawLine) -> float:
    """Return the radius of a cut's disc, by the width of its number [mm]."""
    return max(1.85, line(str(saw.cut.order), NOTE).width / 2 + 0.75)


def disc_marks(cut: Laid, x: float, y: float) -> list[Mark]:
    """Return the disc with the cut's number."""
    number = line(str(cut.saw.cut.order), NOTE)
    return [Disc(x, y, radius(cut.saw), DISC), centred(number, x, y, role="cut-number")]


def disc_box(cut: Laid, x: float, y: float) -> Box:
    """Return what a disc covers."""
    r = radius(cut.saw) + Pen.CUT.value / 2
    return Box(x - r, y - r, x + r, y + r)


def place_discs(
    cuts: Sequence[Laid],
    wood: Sequence[Spot],
    view: View,
    field: Field,
    flaws: Field | None = None,
) -> list[Mark]:
    """Return all discs: beside the stock where a cut starts at its border, else on the cut.

    Those on the wood keep off the ``flaws`` where they can.
    """
    edge = bounds(wood)
    cuts = [cut for cut in cuts if begins(cut, view)]
    below = [c for c in cuts if starts_below(c, edge)]
    above = [c for c in cuts if c not in below and starts_above(c, wood)]
    before = [c for c in cuts if c not in below and c not in above and starts_before(c, view)]
    inside = [c for c in cuts if c not in below and c not in above and c not in before]
    marks = row_of_discs(below, edge, edge.bottom, 1, field)
    if above:
        marks += row_of_discs(above, edge, min(c.kerf.top for c in above), -1, field)
    marks += column_of_discs(before, edge, field)
    for cut in inside:
        marks += disc_on_cut(cut, field, flaws)
    return marks


def begins(cut: Laid, view: View) -> bool:
    """Return whether a cut starts in this row; a rip may come from the row before."""
    return cut.upright or cut.saw.node.x >= view.start


def starts_below(cut: Laid, edge: Box) -> bool:
    """Return whether a cut begins at, or a trim lies on, the near edge."""
    return edge.bottom - cut.kerf.bottom < (1.2 if cut.upright else 0.8)


def starts_above(cut: Laid, wood: Sequence[Spot]) -> bool:
    """Return whether a trim lies on the far edge."""
    if cut.upright or not cut.saw.trim:
        return False
    far = far_edge(wood, cut.kerf.left)
    return cut.kerf.top - far < 0.8


def starts_before(cut: Laid, view: View) -> bool:
    """Return whether a rip begins at end A."""
    return not cut.upright and view.start == 0 and cut.saw.node.x == 0


def far_edge(wood: Sequence[Spot], x: float) -> float:
    """Return the page y of the wood's far edge at a page x."""
    ordered = sorted(wood)
    left = min(ordered[:2], key=lambda s: s[1])
    right = min(ordered[-2:], key=lambda s: s[1])
    if right[0] == left[0]:
        return left[1]
    return left[1] + (right[1] - left[1]) * (x - left[0]) / (right[0] - left[0])


def row_of_discs(
    cuts: Sequence[Laid], stock: Box, edge: float, way: int, field: Field
) -> list[Mark]:
    """Return discs in a row below (``way`` 1) or above (-1) the stock, spread where they crowd."""
    wanted = sorted(
        ((c.kerf.centre[0] if c.upright else c.kerf.left + 2.6, c) for c in cuts),
        key=lambda pair: (pair[0], pair[1].saw.cut.order),
    )
    sizes = [2 * radius(c.saw) + 0.4 for _, c in wanted]
    low, high = stock.left - BESIDE, min(stock.right + BESIDE, field.room.right)
    places = spread([x for x, _ in wanted], sizes, 0.3, low, high)
    marks: list[Mark] = []
    if places is None:
        return [mark for _, cut in wanted for mark in disc_on_cut(cut, field)]
    for x, (want, cut) in zip(places, wanted, strict=True):
        y = edge + way * (BAND + max(0.0, radius(cut.saw) - 1.85))
        foot = cut.kerf.bottom if cut.upright else cut.kerf.centre[1]
        marks.append(segment((want, foot), (x, y), LEAD))
        marks += disc_marks(cut, x, y)
        field.take(disc_box(cut, x, y))
    return marks


def column_of_discs(cuts: Sequence[Laid], edge: Box, field: Field) -> list[Mark]:
    """Return discs in a column before end A, spread where they crowd."""
    wanted = sorted(((c.kerf.centre[1], c) for c in cuts), key=lambda pair: pair[0])
    sizes = [2 * radius(c.saw) + 0.4 for _, c in wanted]
    low, high = edge.top - 4.0, edge.bottom + 4.0
    places = spread([y for y, _ in wanted], sizes, 0.3, low, high)
    marks: list[Mark] = []
    if places is None:
        return [mark for _, cut in wanted for mark in disc_on_cut(cut, field)]
    for y, (want, cut) in zip(places, wanted, strict=True):
        x = edge.left - BAND
        marks.append(segment((edge.left, want), (x, y), LEAD))
        marks += disc_marks(cut, x, y)
        field.take(disc_box(cut, x, y))
    return marks


def along(cut: Laid, distance: float, off: float = 0.0) -> Spot:
    """Return the spot at ``distance`` [mm] from the cut's start, ``off`` to the saw's side."""
    if cut.upright:
        return cut.kerf.centre[0] + off * cut.side, cut.kerf.bottom - distance
    return cut.kerf.left + distance, cut.kerf.centre[1] + off * cut.side


def length_of(cut: Laid) -> float:
    """Return the cut's length on the page [mm]."""
    return cut.kerf.height if cut.upright else cut.kerf.width


def disc_on_cut(cut: Laid, field: Field, flaws: Field | None = None) -> list[Mark]:
    """Return a disc on the cut near its start, or beside it on a lead where the cut is crowded.

    It covers none of the ``flaws`` where there is a place free of them, on the cut close to the
    start only: there it tells where the saw begins.
    """
    r = radius(cut.saw)
    reach = length_of(cut)
    on_cut = [along(cut, distance) for distance in steps(r + 0.5, reach - r, PACE)]
    start = along(cut, min(1.0, reach / 2))
    ways = ((0, 1), (0, -1), (-1, 0), (1, 0), (1, 1), (-1, 1), (1, -1), (-1, -1))
    beside = [
        (start[0] + dx * ring, start[1] + dy * ring) for ring in range(3, 26) for dx, dy in ways
    ]
    close = on_cut[: int(CLOSE / PACE)]
    for spots, wary in ((close, flaws), (on_cut, None)):
        for spot in spots:
            if free_for(disc_box(cut, *spot), field, wary):
                field.take(disc_box(cut, *spot))
                return disc_marks(cut, *spot)
    for wary in (flaws, None) if flaws is not None else (None,):
        for spot in beside:
            if free_for(disc_box(cut, *spot).grown(0.1), field, wary):
                field.take(disc_box(cut, *spot))
                return [segment(start, spot, LEAD), *disc_marks(cut, *spot)]
    return []


def free_for(box: Box, field: Field, flaws: Field | None) -> bool:
    """Return whether a disc may stand in ``box``: nothing is taken there, and no flaw is under."""
    return field.free(box) and (flaws is None or flaws.free(box))


def steps(low: float, high: float, step: float) -> Iterator[float]:
    """Yield low, low + step and on while not above ``high``; ``low`` alone where that is less."""
    yield low
    count = int(max(0.0, high - low) / step)
    for i in range(1, count + 1):
        yield low + i * step


def place_crosses(cuts: Sequence[Laid], view: View, field: Field) -> list[Mark]:
    """Return an x for each cut, on the saw's side of the pencil line near the start."""
    arms: list[Segment] = []
    for cut in cuts:
        if not begins(cut, view):
            continue
        x, y = cross_spot(cut, field)
        field.take(Box(x - ARM, y - ARM, x + ARM, y + ARM))
        arms += [
            ((x - ARM, y - ARM), (x + ARM, y + ARM)),
            ((x - ARM, y + ARM), (x + ARM, y - ARM)),
        ]
    return [segments(arms[i : i + 2], CROSS) for i in range(0, len(arms), 2)]


def cross_spot(cut: Laid, field: Field) -> Spot:
    """Return the middle of a cut's x: beside the pencil line, clear of discs where it can be."""
    thickness = cut.kerf.width if cut.upright else cut.kerf.height
    off = thickness / 2 + ARM + 0.3
    reach = length_of(cut)
    first = along(cut, min(1.4, reach / 2), off)
    for distance in steps(1.4, min(reach - ARM, 60.0), 0.7):
        x, y = along(cut, distance, off)
        if field.free(Box(x - ARM, y - ARM, x + ARM, y + ARM), 0.2):
            return x, y
    return first
