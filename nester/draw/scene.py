"""The drawing proper: the stock with pieces, flaws, cuts, labels and measures, placed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inventory.stock import Board, Flaw, Stock
from nester.draw.clip import Spot
from nester.draw.cutting import Cutting, is_kept
from nester.draw.dims import RulerPlan, length_marks, side_marks, side_stations
from nester.draw.field import Field
from nester.draw.flaws import bounds, flaw_letter, flaw_marks, flaw_words, on_page
from nester.draw.glue import glue_lines, glue_marks, strip_words
from nester.draw.grain import joint_places, run_boxes, strokes
from nester.draw.jointmarks import joint_marks
from nester.draw.lettering import lettered, numbered, other_parts, to_label
from nester.draw.marks import Disc, Mark, Text
from nester.draw.names import Wording
from nester.draw.page import Box
from nester.draw.rows import Arrangement, arrange
from nester.draw.saws import Laid, kerf_mark, laid, place_crosses, place_discs
from nester.draw.shaped import shape_boxes, shape_lines, shape_marks
from nester.draw.shapes import (
    edge_boxes,
    near_boxes,
    piece_marks,
    stock_outline,
    trims,
    wood_of,
)
from nester.draw.type import NOTE, line, rich
from nester.draw.view import View
from nester.layout import Axis, Layout, Node

KEY_ROOM = 2.0
"""White kept right of the drawing, where numbers of small pieces may stand too [mm]."""
ROWS = (1, 2, 3)
"""Into how many rows a board may be broken."""


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


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the drawing: its wood, its cuts, how its ruler is set."""

    view: View
    wood: list[Spot]
    cuts: list[Laid]
    ruler: RulerPlan


@dataclass(frozen=True, slots=True)
class Blemish:
    """A flaw as one row shows it; ``about`` is its text alternative."""

    index: int
    flaw: Flaw
    polygon: list[Spot]
    about: str


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
    """Return the scene of one arrangement.

    Labels are placed before anything is drawn, for grain and hatching leave them free. First come
    the marks that have no choice where to stand, last those that have the most.
    """
    rows = [
        Row(
            view,
            wood_of(stock, view),
            [cut for saw in cutting.cuts if (cut := laid(saw, view)) is not None],
            ruler,
        )
        for view, ruler in zip(arranged.views, arranged.rulers, strict=True)
    ]
    field = Field(Box(room.left, room.top, room.right, max(room.bottom, arranged.bottom)))
    lines, hatched = Field(field.room), Field(field.room)
    measures: list[Mark] = []
    cuts: list[Mark] = []
    blemishes = [found for row in rows for found in blemished(row, stock, wording)]
    hatched.take_all(bounds(found.polygon) for found in blemishes)
    for row in rows:
        measures += measured(row, cutting, layout, stock, wording, field)
        cuts += place_discs(row.cuts, row.wood, row.view, field, hatched)
        cuts += place_crosses(row.cuts, row.view, field)
        lines.take_all([*(cut.kerf for cut in row.cuts), *edge_boxes(row.wood)])
    joints, spare = joint_marks(cutting, arranged.views, wording, field)
    glued = [line for row in rows for line in glue_lines(wording.panel, row.view)]
    for box in shape_boxes(glued):
        hatched.take(box)
    shapes = [line for row in rows for line in shape_lines(layout, wording.parts, row.view)]
    for box in shape_boxes(shapes):
        hatched.take(box)
        lines.take(box)
    letters = [flaw_letter(found.index, found.polygon, field, lines) for found in blemishes]

    labelled = to_label(cutting, arranged.views, wording)
    labels, small = lettered(labelled, field, hatched)
    crowded = [item for item in small if id(item.node) in spare]
    for item in crowded:
        field.release(spare.pop(id(item.node)).box)
    more, still = lettered(crowded, field, hatched)
    named = {id(item.node) for item in crowded} - {id(item.node) for item in still}
    labels += more
    small = [item for item in small if id(item.node) not in named]
    joints += spare.values()
    strips = strip_words(wording.panel, arranged.views, field, lines)
    keyed = tuple((number, item.node) for number, item in enumerate(small, start=1))
    right = min(room.right, max(box.right for box in field.taken) + KEY_ROOM)
    discs = sum(isinstance(mark, Disc) for mark in cuts)
    bare = discs < sum(saw.cut.axis is not Axis.Z for saw in cutting.cuts)
    scene = Scene((), keyed, arranged.scale, len(rows), right, arranged.bottom, bare)
    if draft:
        return scene
    labels += other_parts(labelled, arranged.views, field)
    field.room = Box(room.left, room.top, right, arranged.bottom)
    labels += numbered(small, field, lines)

    bare_wood = [*field.taken, *shape_boxes(glued)]
    words = [mark.box for mark in [*labels, *joints] if isinstance(mark, Text)]
    marks = surface(rows, cutting, stock, blemishes, bare_wood, words, opened=wording.opened)
    marks += shape_marks(shapes, field.taken)
    marks += glue_marks(glued, field.taken)
    for row in rows:
        marks += piece_marks(cutting, row.view, row.wood, wording)
    for row in rows:
        marks += [m for cut in row.cuts if (m := kerf_mark(cut, row.wood)) is not None]
    for row in rows:
        marks += stock_outline(row.view, row.wood, layout, cutting)
    marks += [*measures, *cuts, *joints, *strips]
    marks += [*(text for text in letters if text is not None), *labels]
    return replace(scene, marks=tuple(marks))


def measured(
    row: Row, cutting: Cutting, layout: Layout, stock: Stock, wording: Wording, field: Field
) -> list[Mark]:
    """Return a row's end marks, the measures below it and, at end A, those at the left."""
    view = row.view
    marks = end_marks(view, layout, wording, field)
    marks += length_marks(cutting, view, wording, row.ruler, field)
    if view.start == 0:
        width = stock.width_a if isinstance(stock, Board) else stock.width
        most = int((view.mm(width) + 11.0) / 3.6)
        found = side_stations(cutting, view, width, wording, most)
        marks += side_marks(found, view, width, wording, field)
    return marks


def blemished(row: Row, stock: Stock, wording: Wording) -> list[Blemish]:
    """Return the flaws that a row shows."""
    found = []
    for index, flaw in enumerate(stock.flaws):
        polygon = on_page(flaw, row.view, row.wood)
        if polygon:
            about = ", ".join(flaw_words(index, flaw, wording))
            found.append(Blemish(index, flaw, polygon, about))
    return found


def surface(
    rows: Sequence[Row],
    cutting: Cutting,
    stock: Stock,
    blemishes: Sequence[Blemish],
    taken: Sequence[Box],
    words: Sequence[Box],
    *,
    opened: bool = False,
) -> list[Mark]:
    """Return what lies on the wood: trims, grain and flaws, all of it clear of what is taken.

    The outlines of flaws are only kept off the ``words``.
    ``opened``: the grain is that of the other leaf of a book, mirrored.
    """
    marks: list[Mark] = []
    bare = [*taken, *(bounds(found.polygon) for found in blemishes)]
    for row in rows:
        marks += trims(cutting, row.view, row.wood)
        grounds = [
            row.view.node_box(node)
            for node in cutting.leaves
            if is_kept(node) and row.view.shows(node)
        ]
        grounds += run_boxes(cutting, row.view)
        grain = strokes(stock, row.view, grounds, bare, joint_places(cutting, stock), opened)
        if grain is not None:
            marks.append(grain)
    for found in blemishes:
        clear = near_boxes(found.polygon, taken)
        said = near_boxes(found.polygon, words)
        marks += flaw_marks(found.flaw, found.polygon, clear, found.about, said)
    return marks


def end_marks(view: View, layout: Layout, wording: Wording, field: Field) -> list[Mark]:
    """Return the words over the ends of a row."""
    y = view.y(layout.width) - 6.4
    first = ", ".join(filter(None, ("end A", wording.up)))
    if view.start > 0:
        first = f"from {wording.length(view.start)} on"
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
