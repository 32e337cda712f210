"""The longest and the widest clear piece that a board or sheet holds.

Clear is without any flaw, sound or not. The piece is a rectangle along the board, inside its
outline with the taper, before trims, margins and kerfs; touching a flaw is not holding it. Flaws
that are rectangles are met exactly; beside an outline with slanting sides it is the best of the
positions at the outline's corners and every sixteenth of an inch.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TypeAlias

from inventory.length import INCH, Length
from inventory.polygon import Interval, covered, swapped
from inventory.stock import Board, Face, Flaw, FlawKind, Point, Stock

LEAST_WIDTH: Length = 2 * INCH
"""The longest clear piece is at least this wide."""

LEAST_LENGTH: Length = 12 * INCH
"""The widest clear piece is at least this long."""

_GRID = INCH // 16


@dataclass(frozen=True, slots=True)
class Clear:
    """A clear rectangle: its lowest corner and its size [1/320 mm]."""

    x: Length
    y: Length
    length: Length
    width: Length


Shape: TypeAlias = tuple[Point, ...]
"""A flaw as the corners of its rectangle or outline."""


def flaws_seen(stock: Stock, face: Face) -> list[Flaw]:
    """Return the flaws on ``face`` (BOTH: on either); a void is seen from both."""
    return [
        flaw
        for flaw in stock.flaws
        if Face.BOTH in (face, flaw.face) or flaw.face is face or flaw.kind is FlawKind.VOID
    ]


def longest_clear(stock: Stock, face: Face, width: Length = LEAST_WIDTH) -> Clear | None:
    """Return the longest piece at least ``width`` wide that is clear on ``face``, None if none is.

    ``Face.BOTH`` asks for both faces. The piece is given as wide as it is clear over its length.
    """
    shapes = _shapes(stock, face)
    best: Clear | None = None
    for low in _starts(shapes, 1, width, stock.width):
        left, right = _wide_enough(stock, low + width)
        for start, end in _longest_gaps(_covered(shapes, 0, low, low + width), left, right):
            if best is None or end - start >= best.length:
                found = _widened(stock, shapes, Clear(start, low, end - start, width))
                if best is None or (found.length, found.width) > (best.length, best.width):
                    best = found
    return best


def widest_clear(stock: Stock, face: Face, length: Length = LEAST_LENGTH) -> Clear | None:
    """Return the widest piece at least ``length`` long that is clear on ``face``, None if none is.

    ``Face.BOTH`` asks for both faces. The piece is given as long as it is clear over its width.
    """
    shapes = _shapes(stock, face)
    best: Clear | None = None
    for start in _starts(shapes, 0, length, stock.length):
        far = floor(min(_width_at(stock, start), _width_at(stock, start + length)))
        for low, high in _longest_gaps(_covered(shapes, 1, start, start + length), 0, far):
            if best is None or high - low >= best.width:
                found = _lengthened(stock, shapes, Clear(start, low, length, high - low))
                if best is None or (found.width, found.length) > (best.width, best.length):
                    best = found
    return best


def longest_on_one_face(stock: Stock, width: Length = LEAST_WIDTH) -> tuple[Clear, Face] | None:
    """Return the longest piece that is clear on one face, and which: A where both are alike."""
    faces = (Face.A, Face.B)
    found = [(clear, face) for face in faces if (clear := longest_clear(stock, face, width))]
    return max(found, key=lambda pair: (pair[0].length, pair[0].width), default=None)


def widest_on_one_face(stock: Stock, length: Length = LEAST_LENGTH) -> tuple[Clear, Face] | None:
    """Return the widest piece that is clear on one face, and which: A where both are alike."""
    faces = (Face.A, Face.B)
    found = [(clear, face) for face in faces if (clear := widest_clear(stock, face, length))]
    return max(found, key=lambda pair: (pair[0].width, pair[0].length), default=None)


def _shapes(stock: Stock, face: Face) -> list[Shape]:
    return [flaw.outline or _corners(flaw) for flaw in flaws_seen(stock, face)]


def _corners(flaw: Flaw) -> Shape:
    right, top = flaw.x + flaw.length, flaw.y + flaw.width
    return ((flaw.x, flaw.y), (right, flaw.y), (right, top), (flaw.x, top))


def _slants(shape: Shape) -> bool:
    return any(
        x1 != x2 and y1 != y2
        for (x1, y1), (x2, y2) in zip(shape, (*shape[1:], shape[0]), strict=True)
    )


def _starts(shapes: list[Shape], axis: int, size: Length, limit: Length) -> list[Length]:
    """Return where a piece of ``size`` may begin along an axis so that none that is best is missed.

    A best piece can be slid until it meets the end of the stock or of a flaw on one side.
    """
    last = limit - size
    starts = {0, last}
    for shape in shapes:
        for corner in shape:
            starts |= {corner[axis], corner[axis] - size}
    if any(_slants(shape) for shape in shapes):
        starts |= set(range(0, last, _GRID))
    return sorted(start for start in starts if 0 <= start <= last)


def _covered(shapes: list[Shape], axis: int, low: Length, high: Length) -> list[Interval]:
    """Return what flaws cover of an axis (0: x) within an open band of the other one."""
    found: list[Interval] = []
    for shape in shapes:
        if len(shape) != 4 or _slants(shape):
            found += covered(shape if axis == 0 else swapped(shape), low, high)
            continue
        along = [corner[axis] for corner in shape]
        across = [corner[1 - axis] for corner in shape]
        if min(across) < high and max(across) > low:
            found.append((Fraction(min(along)), Fraction(max(along))))
    return found


def _longest_gaps(
    blocked: list[Interval], low: Length, high: Length
) -> list[tuple[Length, Length]]:
    """Return the stretches from ``low`` to ``high`` that nothing blocks and none is longer than.

    Of several as long, each may be clear over more than the others beside it.
    """
    gaps: list[tuple[Length, Length]] = []
    free = Fraction(low)
    for start, end in [*sorted(blocked), (Fraction(high), Fraction(high))]:
        gaps.append((ceil(free), floor(min(start, Fraction(high)))))
        free = max(free, end)
    longest = max(end - start for start, end in gaps)
    return [(start, end) for start, end in gaps if end - start == longest > 0]


def _gap_round(
    blocked: list[Interval], low: Length, high: Length, at: Length
) -> tuple[Length, Length]:
    """Return the stretch free of ``blocked`` that holds ``at``, within ``low`` to ``high``."""
    left = max([ceil(end) for _, end in blocked if end <= at], default=low)
    right = min([floor(start) for start, _ in blocked if start > at], default=high)
    return max(low, left), min(high, right)


def _widened(stock: Stock, shapes: list[Shape], clear: Clear) -> Clear:
    end = clear.x + clear.length
    far = floor(min(_width_at(stock, clear.x), _width_at(stock, end)))
    blocked = _covered(shapes, 1, clear.x, end)
    low, high = _gap_round(blocked, 0, far, clear.y)
    return Clear(clear.x, low, clear.length, high - low)


def _lengthened(stock: Stock, shapes: list[Shape], clear: Clear) -> Clear:
    top = clear.y + clear.width
    left, right = _wide_enough(stock, top)
    blocked = _covered(shapes, 0, clear.y, top)
    low, high = _gap_round(blocked, left, right, clear.x)
    return Clear(low, clear.y, high - low, clear.width)


def _width_at(stock: Stock, x: Length) -> Fraction:
    """Return the width of the stock at ``x``."""
    if not isinstance(stock, Board):
        return Fraction(stock.width)
    return stock.width_a + Fraction((stock.width_b - stock.width_a) * x, stock.length)


def _wide_enough(stock: Stock, width: Length) -> tuple[Length, Length]:
    """Return from where to where the stock is at least ``width`` wide; equal where nowhere."""
    if not isinstance(stock, Board) or width <= min(stock.width_a, stock.width_b):
        return 0, stock.length if width <= stock.width else 0
    if width > stock.width:
        return 0, 0
    at = Fraction((width - stock.width_a) * stock.length, stock.width_b - stock.width_a)
    return (0, floor(at)) if stock.width_a >= width else (ceil(at), stock.length)
