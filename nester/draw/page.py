"""The paper: sizes, safe margins, and the scale at which a drawing fits. Pure functions, in mm.

Page coordinates run right and down from the upper left corner of the sheet.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

PT = 25.4 / 72
"""One typographic point [mm]."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page [mm]; ``top`` is the smaller y."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height [mm]."""
        return self.bottom - self.top

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of the box."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def grown(self, by: float) -> "Box":
        """Return the box grown by ``by`` [mm] on every side, shrunk where negative."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def overlaps(self, other: "Box") -> bool:
        """Return whether the insides share a point; boxes that only touch do not overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: "Box") -> bool:
        """Return whether ``other`` lies inside; touching the border from within is inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def common(self, other: "Box") -> "Box | None":
        """Return what both boxes cover, or None where that has no inside."""
        if not self.overlaps(other):
            return None
        return Box(
            max(self.left, other.left),
            max(self.top, other.top),
            min(self.right, other.right),
            min(self.bottom, other.bottom),
        )


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper lying landscape [mm]."""

    name: str
    width: float
    height: float
    margin: float

    @property
    def live(self) -> Box:
        """The part of the sheet that every printer reaches."""
        return Box(self.margin, self.margin, self.width - self.margin, self.height - self.margin)


# A4: ISO 216, 210 x 297 mm. Letter: ANSI/ASME Y14.1 size A, 8.5 x 11 in. Margins of 10 mm and half
# an inch are common practice, no source: laser printers leave 4 to 6 mm all round.
A4 = Paper("A4", 297.0, 210.0, 10.0)
LETTER = Paper("Letter", 11 * 25.4, 8.5 * 25.4, 12.7)
PAPERS = {"a4": A4, "letter": LETTER}


def paper_called(name: str) -> Paper:
    """Return the paper called ``name``, in capitals or not; raises ``ValueError`` for any other."""
    paper = PAPERS.get(name.strip().lower())
    if paper is None:
        known = " or ".join(sorted(PAPERS))
        raise ValueError(f'no paper is called "{name}"; accepted: {known}')
    return paper


def fit_factor(width: float, height: float, room_width: float, room_height: float) -> float:
    """Return the largest factor by which ``width`` x ``height`` still fits into the room.

    >>> fit_factor(210, 297, 215.9, 279.4) < 1
    True
    """
    return min(room_width / width, room_height / height)


def neat_scales() -> Iterator[float]:
    """Yield the numbers n of the scales 1 : n that are used, the largest drawing first."""
    n = 1.0
    while True:
        yield n
        n += 0.5 if n < 10 else 1.0 if n < 40 else 5.0


def neat_scale(factor: float) -> float:
    """Return the smallest neat n with 1/n <= ``factor``; raises ``ValueError`` at 0."""
    if factor <= 0 or not math.isfinite(factor):
        raise ValueError("nothing fits at this factor")
    return next(n for n in neat_scales() if 1 / n <= factor * (1 + 1e-9))
