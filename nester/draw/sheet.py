"""One layout on one sheet of paper: drawing above, tables below, title block at the lower right."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from inventory.formatter import Formatter
from inventory.stock import Stock
from nester.area import wood_area
from nester.draw.compose import Composer
from nester.draw.cutting import Cutting, taken_apart
from nester.draw.lists import note_marks
from nester.draw.marks import Mark
from nester.draw.names import Wording
from nester.draw.page import A4, Paper
from nester.draw.svg import svg_text
from nester.draw.tables import Space, flow
from nester.draw.titleblock import Title, block_box, title_marks
from nester.draw.type import clean
from nester.glued import Glued
from nester.joints import Joints
from nester.layout import Layout
from nester.model import Part


@dataclass(frozen=True, slots=True)
class Heading:
    """What the sheet says beyond layout and stock; ``notes`` stand above the general ones.

    ``subject``: what is drawn, where it is not a piece of stock by its id; ``up``: which face of it
    is seen, if it has names for them; ``opened``: it was turned over about the seam of a book.
    """

    project: str
    date: str
    sheet: int
    sheets: int
    notes: tuple[str, ...] = ()
    subject: str = ""
    up: str = "face A up"
    opened: bool = False


def draw_pages(
    layout: Layout,
    stock: Stock,
    parts: Iterable[Part],
    measure: Formatter,
    heading: Heading,
    *,
    paper: Paper = A4,
    joints: Joints | None = None,
    panel: Glued | None = None,
    debug: bool = False,
) -> list[str]:
    """Return the sheets of one layout as SVG: the first, and more only where its lists run over."""
    cutting = taken_apart(layout)
    by_name = {part.name: part for part in parts}
    wording = Wording(
        measure, stock, by_name, joints or Joints(), panel, heading.up, heading.opened
    )
    found = Composer(cutting, layout, stock, wording, paper, heading.notes).composed()
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


def title_of(
    cutting: Cutting, stock: Stock, wording: Wording, heading: Heading, scale: float
) -> Title:
    """Return the title block's text."""
    used = sum(node.length * node.width for node in cutting.pieces)
    return Title(
        stock=clean(heading.subject or stock.id),
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
