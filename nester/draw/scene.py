"""The drawing proper: the stock with pieces, flaws, cuts, labels and measures, placed."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from inventory.length import MM, Length
from inventory.stock import Board, Flaw, Stock
from nester.draw.clip import Segment, Spot, hatching, within
from nester.draw.cutting import Cutting, is_trim, outline_of
from nester.draw.dims import (
    RULER,
    RulerPlan,
    length_marks,
    ruler_plan,
    side_marks,
    side_room,
    side_stations,
    stations,
)
from nester.draw.field import Field
from nester.draw.flaws import bounds, flaw_letter, flaw_marks, flaw_words, on_page
from nester.draw.grain import strokes
from nester.draw.labels import NAME_SIZES, Words, letters, placed_key, placed_label
from nester.draw.marks import (
    Dash,
    Disc,
    Mark,
    Pen,
    Polygon,
    Rect,
    Strokes,
    Style,
    Text,
    boxed,
    segment,
    segments,
)
from nester.draw.names import Wording
from nester.draw.page import Box, fit_factor, neat_scale, neat_scales
from nester.draw.saws import Laid, kerf_mark, laid, place_crosses, place_discs
from nester.draw.type import NAME, NOTE, line, rich
from nester.draw.view import View, breaks, longest
from nester.layout import Axis, BlankUse, Layout, Node, OffcutUse, StripUse

STOCK = Style("stock", Pen.OUTLINE)
PIECE = Style("piece", Pen.PIECE)
OFFCUT = Style("offcut", Pen.PIECE, Dash.LONG)
TRIM = Style("trim", Pen.FINE)
BREAK = Style("break", Pen.FINE)

TOP = 9.2
"""Height kept above a row for its end marks and discs [mm]."""
RIGHT = 3.0
"""Width kept beyond end B [mm]."""
LARGEST = 2.0
"""No drawing is larger than 1 to this."""
KEY_ROOM = 2.0
"""White kept right of the drawing, where numbers of small pieces may stand too [mm]."""
SMALLEST = 400.0
"""No drawing is smaller than 1 to this."""
INSET = 0.95
"""The dashes of an offcut run this far inside it, to be seen beside outline and kerf [mm]."""
ROWS = (1, 2, 3)
"""Into how many rows a board may be broken."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the rows of a drawing lie, at 1 : ``scale``, and how each row's ruler is set."""

    views: tuple[View, ...]
    rulers: tuple[RulerPlan, ...]
    scale: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Scene:
    """A finished drawing: its marks, back to front, and the pieces that the key must explain."""

    marks: tuple[Mark, ...]
    keyed: tuple[tuple[int, Node], ...]
    scale: float
    rows: int
    right: float
    bottom: float
    bare: bool


def draw_scene(
    cutting: Cutting,
    layout: Layout,
    stock: Stock,
    wording: Wording,
    room: Box,
    *,
    draft: bool = False,
) -> Scene | None:
    """Return the drawing that letters the most pieces within ``room``, in as few rows as do it.

    None where no drawing fits at all. A ``draft`` is placed but not drawn: it has no marks.
    """
    best: Scene | None = None
    for rows in ROWS if isinstance(stock, Board) else ROWS[:1]:
        arranged = arrange(cutting, layout, wording, room, rows)
        if arranged is None:
            continue
        scene = compose(cutting, layout, stock, wording, arranged, room, draft=draft)
        if best is None or len(scene.keyed) < len(best.keyed):
            best = scene
        if not best.keyed:
            break
    return best


def arrange(
    cutting: Cutting, layout: Layout, wording: Wording, room: Box, rows: int
) -> Arrangement | None:
    """Return the largest neat scale at which the drawing fits ``room`` in ``rows`` rows."""
    ends = breaks(cutting, layout.length, rows)
    side = side_room(cutting, wording, layout.width)
    left = room.left + side
    across = room.width - side - RIGHT
    size = longest(ends) / MM, rows * layout.width / MM
    least = max(LARGEST, neat_scale(fit_factor(*size, across, room.height)))
    for scale in neat_scales():
        if scale < least:
            continue
        if scale > SMALLEST:
            return None
        views: list[View] = []
        rulers: list[RulerPlan] = []
        top = room.top
        for start, end in pairwise(ends):
            near = top + TOP + layout.width / (MM * scale)
            view = View(start, end, left, near, scale)
            low, high = view.x(start) - 6.0, min(view.x(end) + 8.0, room.right)
            plan = ruler_plan(stations(cutting, view, wording), low, high)
            views.append(view)
            rulers.append(plan)
            top = near + RULER + plan.depth + 1.5
        if top <= room.bottom:
            return Arrangement(tuple(views), tuple(rulers), scale, top)
    return None


def name_size_for(words: Sequence[tuple[Words, Box]]) -> float:
    """Return the largest name size that letters as many pieces as the least size does."""
    least = [(w, box) for w, box in words if letters(w, box, NAME)]
    for size in NAME_SIZES:
        if all(letters(w, box.grown(-1.2) if size > NAME else box, size) for w, box in least):
            return size
    return NAME


def compose(
    cutting: Cutting,
    layout: Layout,
    stock: Stock,
    wording: Wording,
    arranged: Arrangement,
    room: Box,
    *,
    draft: bool,
) -> Scene:
    """Return the scene of one arrangement."""
    field = Field(Box(room.left, room.top, room.right, max(room.bottom, arranged.bottom)))
    woods = [wood_of(stock, view) for view in arranged.views]
    lines = Field(field.room)
    back: list[Mark] = []
    cuts_front: list[Mark] = []
    measures: list[Mark] = []
    for view, wood, plan in zip(arranged.views, woods, arranged.rulers, strict=True):
        shown = [cut for saw in cutting.cuts if (cut := laid(saw, view)) is not None]
        measures += end_marks(view, layout, wording, field)
        measures += length_marks(cutting, view, wording, plan, field)
        if view.start == 0:
            end_a = stock.width_a if isinstance(stock, Board) else stock.width
            most = int((view.mm(end_a) + 11.0) / 3.6)
            found = side_stations(cutting, view, end_a, wording, most)
            measures += side_marks(found, view, end_a, wording, field)
        cuts_front += place_discs(shown, wood, view, field)
        cuts_front += place_crosses(shown, view, field)
        back += kerfs(shown, wood)
        lines.take_all(cut.kerf for cut in shown)
        lines.take_all(edge_boxes(wood))

    flaws: list[tuple[Flaw, list[Spot], str]] = []
    avoid = Field(field.room)
    flaw_texts: list[Mark] = []
    for i, flaw in enumerate(stock.flaws):
        about = ", ".join(flaw_words(i, flaw, wording))
        for view, wood in zip(arranged.views, woods, strict=True):
            polygon = on_page(flaw, view, wood)
            if polygon:
                flaws.append((flaw, polygon, about))
                avoid.take(bounds(polygon))
    for i, flaw in enumerate(stock.flaws):
        for view, wood in zip(arranged.views, woods, strict=True):
            polygon = on_page(flaw, view, wood)
            if polygon and (text := flaw_letter(i, polygon, field, lines)) is not None:
                flaw_texts.append(text)

    labelled = [
        (node, Words(wording.name(node), wording.copy(node), *size_words(node, wording)), box)
        for node in cutting.leaves
        if isinstance(node.use, BlankUse | StripUse | OffcutUse)
        and (box := main_box(node, arranged.views)) is not None
    ]
    labelled = [
        (node, words, box.grown(-INSET) if isinstance(node.use, OffcutUse) else box)
        for node, words, box in labelled
    ]
    name_size = name_size_for([(words, box) for _, words, box in labelled])
    labels, small = lettered(labelled, name_size, field, avoid)
    right = min(room.right, max(box.right for box in field.taken) + KEY_ROOM)
    keyed = tuple((number, node) for number, (node, _) in enumerate(small, start=1))
    rows = len(arranged.views)
    bare = sum(isinstance(mark, Disc) for mark in cuts_front) < len(
        [saw for saw in cutting.cuts if saw.cut.axis is not Axis.Z]
    )
    if draft:
        return Scene((), keyed, arranged.scale, rows, right, arranged.bottom, bare)
    labels += other_parts(labelled, arranged.views, field)
    field.room = Box(room.left, room.top, right, arranged.bottom)
    leads: list[Segment] = []
    for number, (_, box) in enumerate(small, start=1):
        labels += placed_key(number, box, field, lines, leads) or []

    clear = list(field.taken)
    marks: list[Mark] = []
    for view, wood in zip(arranged.views, woods, strict=True):
        marks += trims(cutting, view, wood)
        grounds = [
            view.node_box(n)
            for n in cutting.leaves
            if isinstance(n.use, BlankUse | StripUse | OffcutUse) and view.shows(n)
        ]
        grain = strokes(stock, view, grounds, [*clear, *avoid.taken])
        if grain is not None:
            marks.append(grain)
    for flaw, polygon, about in flaws:
        marks += flaw_marks(flaw, polygon, near_boxes(polygon, clear), about)
    for view, wood in zip(arranged.views, woods, strict=True):
        marks += piece_marks(cutting, view, wood, wording)
    marks += back
    for view, wood in zip(arranged.views, woods, strict=True):
        marks += stock_outline(view, wood, layout, cutting)
    marks += [*measures, *cuts_front, *flaw_texts, *labels]
    return Scene(tuple(marks), keyed, arranged.scale, rows, right, arranged.bottom, bare)


def lettered(
    labelled: Sequence[tuple[Node, Words, Box]],
    name_size: float,
    field: Field,
    avoid: Field,
) -> tuple[list[Mark], list[tuple[Node, Box]]]:
    """Return the labels of all pieces that can hold one, and the pieces that are too small."""
    labels: list[Mark] = []
    small: list[tuple[Node, Box]] = []
    sizes = [name_size, *(size for size in NAME_SIZES if size < name_size)]
    for node, words, box in labelled:
        for size in sizes:
            found = placed_label(words, box, size, field, avoid)
            if found is not None:
                labels += found
                break
        else:
            small.append((node, box))
    return labels, small


def other_parts(
    labelled: Sequence[tuple[Node, Words, Box]], views: Sequence[View], field: Field
) -> list[Mark]:
    """Return the names on the further parts of pieces that are broken over two rows."""
    marks: list[Mark] = []
    for node, words, main in labelled:
        for box in (view.node_box(node) for view in views if view.shows(node)):
            if box.overlaps(main):
                continue
            text = boxed(line(f"{words.name}, same piece", NOTE), *box.centre)
            if box.grown(-0.8).holds(text.box) and field.free(text.box, 0.3):
                field.take(text.box)
                marks.append(text)
    return marks


def size_words(node: Node, wording: Wording) -> tuple[str, str]:
    """Return the two measures of a piece as text."""
    first, second = wording.size(node)
    return wording.exact(first), wording.exact(second)


def main_box(node: Node, views: Sequence[View]) -> Box | None:
    """Return a piece's box on the page; of one that is broken over two rows, the larger part."""
    boxes = [view.node_box(node) for view in views if view.shows(node)]
    return max(boxes, key=lambda box: box.width, default=None)


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
        if isinstance(node.use, BlankUse | StripUse):
            marks.append(Rect(box, PIECE, wording.about(node)))
        elif isinstance(node.use, OffcutUse):
            shape = within(corners(box.grown(-INSET)), inset(wood))
            if shape:
                marks.append(Polygon(tuple(shape), OFFCUT, wording.about(node)))
    return marks


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


def kerfs(shown: Sequence[Laid], wood: Sequence[Spot]) -> list[Mark]:
    """Return the kerfs as far as there is wood."""
    return [mark for cut in shown if (mark := kerf_mark(cut, wood)) is not None]


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


def end_marks(view: View, layout: Layout, wording: Wording, field: Field) -> list[Mark]:
    """Return the words over the ends of a row."""
    y = view.y(layout.width) - 6.4
    first = "end A, face A up" if view.start == 0 else f"from {wording.length(view.start)} on"
    last = "end B" if view.end == layout.length else "goes on below"
    marks: list[Mark] = []
    left = rich(first, NOTE)
    right = line(last, NOTE)
    texts = [Text(left, view.x(view.start), y), Text(right, view.x(view.end) - right.width, y)]
    if texts[0].box.grown(1.0).overlaps(texts[1].box):
        x = view.x(view.start)
        texts = [Text(line("end A", NOTE), x - 8.0, y), Text(right, x + 2.0, y)]
    for text in texts:
        field.take(text.box)
        marks.append(text)
    return marks


def side_length(length: Length, scale: float) -> float:
    """Return a length of the stock on paper [mm]."""
    return length / (MM * scale)


__all__ = ["Arrangement", "Scene", "arrange", "compose", "draw_scene", "segment"]
