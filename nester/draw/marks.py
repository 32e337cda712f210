"""What can be put on the paper: lines, areas and lines of type, in mm, y running down the page.

Only shapes that every reader of the drawings keeps: no patterns, markers or clip paths.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from nester.draw.clip import Spot
from nester.draw.page import Box
from nester.draw.type import Line


class Pen(Enum):
    """Line widths on paper [mm], after ISO 128: each clearly thinner than the one before."""

    OUTLINE = 0.7  # the stock
    PIECE = 0.5  # pieces and offcuts
    CUT = 0.35  # discs and their leads
    DIMENSION = 0.25  # dimension chains, outlines of flaws, frames
    FINE = 0.18  # grain, hatching, trims


class Dash(Enum):
    """Strokes and gaps of a broken line [mm]."""

    SOLID = ()
    LONG = (5.0, 1.2)  # offcuts
    SHORT = (1.4, 0.8)  # flaws on the far face
    DENSE = (0.7, 0.45)  # tags of joints where the grain does not run on


class Fill(Enum):
    """What an area is filled with."""

    NONE = "none"
    WHITE = "#fff"
    BLACK = "#000"


@dataclass(frozen=True, slots=True)
class Style:
    """How a shape is drawn; ``role`` says what it stands for ("piece", "cut", "flaw" ...)."""

    role: str
    pen: Pen | None = None
    dash: Dash = Dash.SOLID
    fill: Fill = Fill.NONE


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle. ``about`` is its text alternative."""

    box: Box
    style: Style
    about: str = ""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline."""

    spots: tuple[Spot, ...]
    style: Style
    about: str = ""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Open lines drawn in one go: each a chain of spots."""

    chains: tuple[tuple[Spot, ...], ...]
    style: Style
    about: str = ""


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x: float
    y: float
    radius: float
    style: Style
    about: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """A line of type that starts at ``x`` on the baseline ``y``; turned: it reads up the page."""

    line: Line
    x: float
    y: float
    turned: bool = False
    role: str = "note"

    @property
    def box(self) -> Box:
        """What the text covers."""
        return text_box(self.line, self.x, self.y, self.turned)


Mark: TypeAlias = Rect | Polygon | Strokes | Disc | Text


def text_box(line: Line, x: float, y: float, turned: bool) -> Box:
    """Return what ``line`` covers from ``x`` on baseline ``y``; turned, it grows upward."""
    if turned:
        return Box(x - line.rise, y - line.width, x + line.drop, y)
    return line.box(x, y)


def centred(line: Line, x: float, y: float, role: str = "note") -> Text:
    """Return plain ``line`` with the middle of its figures at (``x``, ``y``)."""
    size = line.runs[0].size if line.runs else 0.0
    return Text(line, x - line.width / 2, y + 0.334 * size, False, role)


def boxed(line: Line, x: float, y: float, turned: bool = False, role: str = "note") -> Text:
    """Return ``line`` with the middle of its box at (``x``, ``y``)."""
    down = (line.rise - line.drop) / 2
    if turned:
        return Text(line, x + down, y + line.width / 2, True, role)
    return Text(line, x - line.width / 2, y + down, False, role)


def segment(a: Spot, b: Spot, style: Style) -> Strokes:
    """Return one straight line."""
    return Strokes(((a, b),), style)


def segments(pairs: Sequence[tuple[Spot, Spot]], style: Style) -> Strokes:
    """Return many straight lines in one mark."""
    return Strokes(tuple(pairs), style)
