"""How a blank of several parts is parted once it is milled. Sizes are whole grid cells."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from nester.layout import Saw

Rect: TypeAlias = tuple[int, int, int, int]
"""x1, y1, x2, y2 [cells]."""


@dataclass(frozen=True, slots=True)
class Slot:
    """The place of one part: ``index`` among the parts that the blank holds, and how it lies.

    ``flipped`` is None where the part shows the face that the blank shows.
    """

    index: int
    turned: bool = False
    reversed: bool = False
    flipped: bool | None = None


@dataclass(frozen=True, slots=True)
class Inner:
    """Cuts that part a blank along ``axis`` ("x", "y", or "z" through its thickness).

    ``starts`` and ``ends`` say where each piece lies from the blank's own lowest corner, ``kerf``
    between them [cells]; the last piece takes what is left. Across "z" there are two pieces, the
    first one ending at ``ends[0]`` from face A. ``run`` names the match whose parts these are.
    """

    axis: str
    saw: Saw
    kerf: int
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    pieces: tuple["Inner | Slot", ...]
    run: str = ""


def slots(inner: Inner | Slot, rect: Rect) -> Iterator[tuple[Slot, Rect]]:
    """Yield every slot of a blank with its rectangle, the blank's own being ``rect``."""
    if isinstance(inner, Slot):
        yield inner, rect
        return
    for i, piece in enumerate(inner.pieces):
        yield from slots(piece, part_of(inner, i, rect))


def part_of(inner: Inner, i: int, rect: Rect) -> Rect:
    """Return the rectangle of a blank's ``i``-th piece."""
    if inner.axis == "z":
        return rect
    x1, y1, x2, y2 = rect
    low = x1 if inner.axis == "x" else y1
    high = x2 if inner.axis == "x" else y2
    last = i == len(inner.pieces) - 1
    start, end = low + inner.starts[i], high if last else low + inner.ends[i]
    return (start, y1, end, y2) if inner.axis == "x" else (x1, start, x2, end)
