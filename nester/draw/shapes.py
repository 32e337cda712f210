"""The wood on the page: outline of the stock, pieces, offcuts, trims."""

from collections.abc import Sequence

from inventory.stock import Stock
from nester.draw.clip import Segment, Spot, hatching, within
from nester.draw.cutting import Cutting, is_piece, outline_of
from nester.draw.flaws import bounds
from nester.draw.marks import Dash, Mark, Pen, Polygon, Rect, Strokes, Style, segments
from nester.draw.names import Wording
from nester.draw.page import Box
from nester.draw.view import View
from nester.layout import Layout, Node, OffcutUse
from nester.sawing import is_trim

STOCK = Style("stock", Pen.OUTLINE)
PIECE = Style("piece", Pen.PIECE)
OFFCUT = Style("offcut", Pen.PIECE, Dash.LONG)
TRIM = Style("trim", Pen.FINE)
BREAK = Style("break", Pen.FINE)

INSET = 0.95
"""The dashes of an offcut run this far inside it, to be seen beside outline and kerf [mm]."""


def wood_of(stock: Stock, view: View) -> list[Spot]:
    """Return the outline of the wood that a row shows."""
    outline = [view.spot(corner) for corner in outline_of(stock)]
    low, high = view.x(view.start), view.x(view.end)
    top, bottom = min(y for _, y in outline) - 1, view.near + 1
    return within(outline, [(low, top), (high, top), (high, bottom), (low, bottom)])


def piece_marks(cutting: Cutting, view: View, wood: Sequence[Spot], wording: Wording) -> list[Mark]:
    """Return the outlines of pieces and offcuts."""
    marks: list[Mark] = []
    for node in cutting.leaves:
        if not view.shows(node):
            continue
        box = view.node_box(node)
        if is_piece(node):
            if view.start <= node.x and node.x + node.length <= view.end:
                marks.append(Rect(box, PIECE, wording.about(node)))
            else:
                marks.append(Strokes(torn_sides(node, box, view), PIECE, wording.about(node)))
        elif isinstance(node.use, OffcutUse):
            shape = within(corners(box.grown(-INSET)), inset(wood))
            if shape:
                marks.append(Polygon(tuple(shape), OFFCUT, wording.about(node)))
    return marks


def torn_sides(node: Node, box: Box, view: View) -> tuple[tuple[Spot, ...], ...]:
    """Return the outline of a piece that goes on in another row, open where it does."""
    left, right = (box.left, box.right)
    if node.x >= view.start:
        return (((right, box.top), (left, box.top), (left, box.bottom), (right, box.bottom)),)
    if node.x + node.length <= view.end:
        return (((left, box.top), (right, box.top), (right, box.bottom), (left, box.bottom)),)
    return ((left, box.top), (right, box.top)), ((left, box.bottom), (right, box.bottom))


def inset(wood: Sequence[Spot]) -> list[Spot]:
    """Return the outline of the wood with its far edge drawn in as far as an offcut's dashes."""
    top = min(y for _, y in wood)
    middle = (top + max(y for _, y in wood)) / 2
    return [(x, y + INSET) if y < middle else (x, y) for x, y in wood]


def corners(box: Box) -> list[Spot]:
    """Return the corners of a box in order round it."""
    return [
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    ]


def trims(cutting: Cutting, view: View, wood: Sequence[Spot]) -> list[Mark]:
    """Return the pencil strokes over all that is trimmed off."""
    found: list[Segment] = []
    for node in cutting.leaves:
        if is_trim(node) and view.shows(node):
            shape = within(corners(view.node_box(node)), wood)
            if shape:
                found += hatching(shape, 1.3, rising=False)
    return [segments(found, TRIM)] if found else []


def edge_boxes(wood: Sequence[Spot]) -> list[Box]:
    """Return narrow boxes along the stock's own edges."""
    half = Pen.OUTLINE.value / 2
    return [bounds([a, b]).grown(half) for a, b in zip(wood, [*wood[1:], *wood[:1]], strict=True)]


def near_boxes(polygon: Sequence[Spot], boxes: Sequence[Box]) -> list[Box]:
    """Return the boxes that touch a polygon's surroundings, a little grown."""
    round_it = bounds(polygon)
    return [box.grown(0.3) for box in boxes if box.grown(0.3).overlaps(round_it)]


def stock_outline(view: View, wood: Sequence[Spot], layout: Layout, cutting: Cutting) -> list[Mark]:
    """Return the outline of the stock; where a row breaks a piece, a zigzag in place of the end."""
    torn = [
        at
        for at in (view.start, view.end)
        if 0 < at < layout.length and any(n.x < at < n.x + n.length for n in cutting.leaves)
    ]
    if not torn:
        return [Polygon(tuple(wood), STOCK, "outline of the stock")]
    edges = list(zip(wood, [*wood[1:], wood[0]], strict=True))
    pages = [view.x(at) for at in torn]
    kept = [
        edge
        for edge in edges
        if not any(abs(edge[0][0] - x) < 0.01 and abs(edge[1][0] - x) < 0.01 for x in pages)
    ]
    marks: list[Mark] = [segments(kept, STOCK)]
    for x in pages:
        ys = [y for a, b in edges for (ex, y) in (a, b) if abs(ex - x) < 0.01]
        top, bottom = min(ys) - 1.5, max(ys) + 1.5
        middle = (top + bottom) / 2
        zigzag = (
            (x, top),
            (x, middle - 1.6),
            (x - 1.2, middle - 0.6),
            (x + 1.2, middle + 0.6),
            (x, middle + 1.6),
            (x, bottom),
        )
        marks.append(Strokes((zigzag,), BREAK))
    return marks
