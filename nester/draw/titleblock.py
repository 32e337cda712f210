"""The title block at the lower right (data fields after ISO 7200), and the scale bar over it."""

from dataclasses import dataclass
from fractions import Fraction

from inventory.length import INCH, MM, Length
from nester.draw.marks import Fill, Mark, Pen, Rect, Style, Text, segment
from nester.draw.names import Wording
from nester.draw.page import Box, Paper
from nester.draw.type import NAME, NOTE, SIZE, Line, clipped, line, rich

WIDTH = 96.0
"""Width of the block [mm]."""
CELL = 8.4
"""Height of one row of cells [mm]."""
BAR = 9.5
"""Height of the scale bar over the block [mm]."""

FRAME = Style("title-block", Pen.PIECE)
INNER = Style("title-block", Pen.DIMENSION)
BAR_FRAME = Style("scale-bar", Pen.DIMENSION)
BAR_BLACK = Style("scale-bar", Pen.DIMENSION, fill=Fill.BLACK)


@dataclass(frozen=True, slots=True)
class Title:
    """What the block says; all text clean."""

    stock: str
    project: str
    material: str
    thickness: str
    sold: str
    pieces: int
    share: Fraction
    scale: float
    date: str
    sheet: int
    sheets: int
    units: str


def block_box(paper: Paper) -> Box:
    """Return where the block lies, the scale bar over it included."""
    live = paper.live
    return Box(live.right - WIDTH, live.bottom - 4 * CELL - BAR, live.right, live.bottom)


def title_marks(title: Title, paper: Paper, wording: Wording) -> list[Mark]:
    """Return the title block and the scale bar."""
    whole = block_box(paper)
    top = whole.top + BAR
    rows: list[list[tuple[float, str, str]]] = [
        [(0.62, "cutting diagram for", title.stock), (0.38, "sheet", sheet_text(title))],
        [(0.62, "project", title.project), (0.38, "date", title.date)],
        [
            (0.38, "material", title.material),
            (0.24, "thickness", title.thickness),
            (0.38, "bought", title.sold),
        ],
        [
            (0.16, "pieces", str(title.pieces)),
            (0.22, "yield", f"{float(title.share):.0%}"),
            (0.24, "scale", scale_text(title.scale)),
            (0.38, "units", title.units),
        ],
    ]
    marks: list[Mark] = [Rect(Box(whole.left, top, whole.right, whole.bottom), FRAME)]
    for i, row in enumerate(rows):
        y = top + i * CELL
        if i:
            marks.append(segment((whole.left, y), (whole.right, y), INNER))
        x = whole.left
        for share, caption, value in row:
            width = share * WIDTH
            if x > whole.left:
                marks.append(segment((x, y), (x, y + CELL), INNER))
            marks += cell(Box(x, y, x + width, y + CELL), caption, value, main=i == 0)
            x += width
    return marks + bar_marks(title.scale, whole, wording)


def cell(box: Box, caption: str, value: str, *, main: bool) -> list[Mark]:
    """Return a caption and under it the value, clipped to the cell."""
    size = NAME if main else SIZE
    room = box.width - 2.4
    text = clipped(value or "—", room, size, main)
    return [
        Text(line(caption, NOTE), box.left + 1.2, box.top + 2.9, role="caption"),
        Text(set_value(text, size, main), box.left + 1.2, box.bottom - 1.5, role="value"),
    ]


def set_value(text: str, size: float, main: bool) -> Line:
    """Return a value set: measures with real fractions, all else, as "4/4" and names, as it is."""
    return rich(text, size, main) if text.endswith("″") else line(text, size, main)


def sheet_text(title: Title) -> str:
    """Return which sheet this is."""
    return f"{title.sheet} of {title.sheets}"


def scale_text(scale: float) -> str:
    """Return the scale as 1 : n."""
    return f"1 : {scale:g}"


def bar_step(scale: float, inch: bool) -> tuple[Length, int, str]:
    """Return one field of the scale bar, how many there are, and the unit it is read in."""
    inches = [(n * INCH, "in") for n in (1, 2, 3, 6)] + [(12 * n * INCH, "ft") for n in (1, 2, 5)]
    millimetres = [(n * MM, "mm") for n in (10, 20, 50, 100, 200, 500, 1000)]
    choices = inches if inch else millimetres
    step, unit = next((c for c in choices if c[0] / (MM * scale) >= 9.0), choices[-1])
    return step, max(1, min(5, int(58.0 / (step / (MM * scale))))), unit


def bar_marks(scale: float, whole: Box, wording: Wording) -> list[Mark]:
    """Return the scale bar: fields black and white by turns, and its true length on paper."""
    inch = wording.measure.units == "in"
    step, fields, unit = bar_step(scale, inch)
    wide = step / (MM * scale)
    y = whole.top + 4.6
    marks: list[Mark] = []
    divisor = {"in": INCH, "ft": 12 * INCH, "mm": MM}[unit]
    x = whole.left + 1.5
    for i in range(fields):
        style = BAR_BLACK if i % 2 == 0 else BAR_FRAME
        marks.append(Rect(Box(x + i * wide, y, x + (i + 1) * wide, y + 1.6), style))
    for i in range(fields + 1):
        figure = line(f"{step * i // divisor}", NOTE)
        at = max(whole.left, x + i * wide - figure.width / 2)
        marks.append(Text(figure, at, y - 1.0, role="scale"))
    last = x + fields * wide
    words = line(f"{unit}; bar {wide * fields:.1f} mm on paper", NOTE)
    if last + 3.0 + words.width > whole.right:
        words = line(unit, NOTE)
    marks.append(Text(words, last + 3.0, y - 1.0 + 2.4, role="scale"))
    return marks
