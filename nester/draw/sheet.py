"""One layout on one sheet of paper: drawing above, tables below, title block at the lower right."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations

from inventory.formatter import Formatter
from inventory.stock import Board, Stock
from nester.area import wood_area
from nester.draw.cutting import Cutting, taken_apart
from nester.draw.marks import Mark
from nester.draw.names import Wording
from nester.draw.page import A4, Box, Paper
from nester.draw.scene import Scene, arrange, draw_scene
from nester.draw.svg import svg_text
from nester.draw.tables import (
    APART,
    CAUTION,
    PITCH,
    Detail,
    Placed,
    Space,
    Table,
    cut_table,
    flaw_table,
    flow,
    note_lines,
    note_marks,
    piece_table,
    reading_note,
)
from nester.draw.titleblock import Title, block_box, title_marks
from nester.draw.type import Line, clean
from nester.layout import Layout
from nester.model import Part

LEAST_DRAWING = 84.0
"""Height that the lists must leave for the drawing; what does not fit then goes overleaf [mm]."""
LEAST_LISTS = 22.0
"""Height under the drawing that is always left to the lists [mm]."""
STEP = 2.0
"""In such steps the border between drawing and lists is tried [mm]."""
BETWEEN = 3.0
"""White between drawing and tables [mm]."""


@dataclass(frozen=True, slots=True)
class Composition:
    """What stands on the first sheet, title block apart; ``left``: the lists that go overleaf."""

    scene: Scene
    placed: list[Placed]
    notes: list[Line]
    left: list[Table]


@dataclass(frozen=True, slots=True)
class Heading:
    """What the title block needs beyond layout and stock."""

    project: str
    date: str
    sheet: int
    sheets: int


def draw_pages(
    layout: Layout,
    stock: Stock,
    parts: Iterable[Part],
    measure: Formatter,
    heading: Heading,
    *,
    paper: Paper = A4,
    debug: bool = False,
) -> list[str]:
    """Return the sheets of one layout as SVG: the first, and more only where its lists run over."""
    cutting = taken_apart(layout)
    wording = Wording(measure, stock, {part.name: part for part in parts})
    found = composed(cutting, layout, stock, wording, paper)
    title = title_of(cutting, stock, wording, heading, found.scene.scale)
    about = about_text(cutting, stock, wording, title)
    name = clean(f"Cutting diagram, {title.stock[:200]}, {title.project[:200]}")
    block, live = block_box(paper), paper.live
    marks: list[Mark] = [*found.scene.marks]
    marks += [mark for table in found.placed for mark in table.marks()]
    marks += note_marks(found.notes, live.left, live.bottom)
    marks += title_marks(title, paper, wording)
    pages = [svg_text(paper, marks, name, about, debug=debug)]
    left = found.left
    while left:
        placed, rest = flow(left, Space(live, live.top, live.left, block, live.bottom))
        if not placed:
            raise ValueError(f'the lists of "{layout.stock}" do not fit on {paper.name}')
        more: list[Mark] = [mark for table in placed for mark in table.marks()]
        more += title_marks(title, paper, wording)
        pages.append(svg_text(paper, more, f"{name}, lists", about, debug=debug))
        left = rest
    return pages


def composed(
    cutting: Cutting, layout: Layout, stock: Stock, wording: Wording, paper: Paper
) -> Composition:
    """Return the drawing that names most pieces, with all lists under and beside it.

    Of those the one with the fullest lists, of those the largest. Where the lists do not fit even
    beside a small drawing, it takes the sheet for itself and they go overleaf, the cut list last.
    """
    live, block = paper.live, block_box(paper)

    def listed(scene: Scene | None, detail: Detail) -> list[Table]:
        found = [
            cut_table(cutting, wording, detail),
            piece_table(cutting, wording, scene.keyed if scene is not None else (), detail),
            flaw_table(stock.flaws, wording),
        ]
        return [table for table in found if table.rows]

    def noted(scene: Scene | None) -> list[Line]:
        rows, keyed = (scene.rows, bool(scene.keyed)) if scene is not None else (2, True)
        bare = scene is not None and scene.bare
        note = reading_note(
            cutting, sheet=not isinstance(stock, Board), rows=rows, keyed=keyed, bare=bare
        )
        return note_lines([note, CAUTION], block.left - live.left - APART)

    def space(top: float, right: float, notes: Sequence[Line]) -> Space:
        foot = live.bottom - len(notes) * PITCH - BETWEEN
        return Space(live, top, right + APART, block, foot)

    def drawn(top: float, shift: float = 0.0, *, draft: bool = False) -> Scene | None:
        room = Box(live.left, live.top + shift, live.right, top - BETWEEN + shift)
        return draw_scene(cutting, layout, stock, wording, room, draft=draft)

    def hopeless(top: float) -> bool:
        room = Box(live.left, live.top, live.right, top - BETWEEN)
        first = arrange(cutting, layout, wording, room, 1)
        right = first.views[0].x(layout.length) + 8.0 if first is not None else live.right
        return in_some_order(shortest, space(top, right, most)) is None

    most = noted(None)
    shortest = listed(None, Detail.KEY)
    best: tuple[Scene, Detail, float, list[Placed], list[Line]] | None = None
    lowest = top = live.bottom - len(most) * PITCH - BETWEEN - LEAST_LISTS
    while top >= live.top + LEAST_DRAWING:
        scene = None if hopeless(top) else drawn(top, draft=True)
        if scene is not None:
            if best is not None and len(scene.keyed) > len(best[0].keyed):
                break
            notes = noted(scene)
            lists = {detail: listed(scene, detail) for detail in Detail}
            begins = starts(top, scene.bottom + BETWEEN)
            for detail in Detail:
                if best is not None and (len(scene.keyed), detail.value) >= (
                    len(best[0].keyed),
                    best[1].value,
                ):
                    break
                found = [
                    (len(done), -start, done)
                    for start in begins
                    if (done := in_some_order(lists[detail], space(start, scene.right, notes)))
                    is not None
                ]
                if found:
                    _, start, placed = min(found, key=lambda option: option[:2])
                    best = scene, detail, -start, placed, notes
                    break
            if best is not None and best[1] is Detail.FULL:
                break
        top -= STEP
    if best is not None:
        scene, _, start, placed, notes = best
        down = 0.4 * (start - BETWEEN - scene.bottom)
        final = drawn(start, down)
        if final is None or final.keyed != scene.keyed:
            final = drawn(start)
        if final is not None:
            return Composition(final, placed, notes, [])
    scene = drawn(lowest)
    if scene is None:
        raise ValueError(f'"{layout.stock}" cannot be drawn on {paper.name}')
    notes = noted(scene)
    cuts = listed(scene, Detail.SHORT)[:1]
    others = listed(scene, Detail.KEY)[1:]
    placed, left = flow([*others, *cuts], space(scene.bottom + BETWEEN, scene.right, notes))
    return Composition(scene, placed, notes, left)


def in_some_order(tables: Sequence[Table], space: Space) -> list[Placed] | None:
    """Return all the tables placed in the order that breaks the fewest; None where none fits."""
    best: list[Placed] | None = None
    for order in permutations(tables):
        placed, left = flow(order, space)
        if not left and (best is None or len(placed) < len(best)):
            best = placed
    return best


def starts(lowest: float, highest: float) -> list[float]:
    """Return where lists may begin, the lowest first, up to just under the drawing."""
    if lowest <= highest:
        return [highest]
    count = int((lowest - highest) / STEP)
    return [lowest - STEP * i for i in range(count + 1)]


def title_of(
    cutting: Cutting, stock: Stock, wording: Wording, heading: Heading, scale: float
) -> Title:
    """Return the title block's text."""
    used = sum(node.length * node.width for node in cutting.pieces)
    return Title(
        stock=clean(stock.id),
        project=clean(heading.project),
        material=clean(stock.material + (f", shelf {stock.shelf}" if stock.shelf else "")),
        thickness=wording.thickness(stock.thickness),
        sold=wording.sold(),
        pieces=len(cutting.pieces),
        share=Fraction(used) / wood_area(stock),
        scale=scale,
        date=clean(heading.date),
        sheet=heading.sheet,
        sheets=heading.sheets,
        units="inches" if wording.measure.units == "in" else "millimetres",
    )


def about_text(cutting: Cutting, stock: Stock, wording: Wording, title: Title) -> str:
    """Return the text alternative of the whole drawing: every cut and every piece in words."""
    size = f"{wording.length(stock.length)} × {wording.length(stock.width)}"
    words = [
        f"{title.stock[:200]}, {title.material[:200]}, {size}, {title.thickness} thick,",
        f"{title.pieces} pieces, {len(cutting.cuts)} cuts.",
        "The tables on the sheet list every cut and piece.",
    ]
    return clean(" ".join(words))
