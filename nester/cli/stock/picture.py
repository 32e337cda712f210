"""A board or sheet drawn to scale in characters."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from inventory.formatter import Formatter
from inventory.length import INCH, MM, Length
from inventory.polygon import covered
from inventory.stock import Board, Face, Flaw, Stock

NARROWEST = 40
"""A picture is never drawn in fewer columns."""

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MOST_ROWS = 24
_FEWEST_ROWS = 7


class Pen(NamedTuple):
    """The characters of a picture's lines."""

    flat: str
    upright: str
    tick: str
    top_left: str
    top_right: str
    bottom_left: str
    bottom_right: str


LINES = Pen("─", "│", "┴", "┌", "┐", "└", "┘")
PLAIN = Pen("-", "|", "+", "+", "+", "+", "+")


@dataclass(frozen=True, slots=True)
class Scale:
    """How much of the piece one character stands for, along and across it [1/320 mm]."""

    columns: int
    rows: int
    column: Fraction
    row: Fraction


def picture(stock: Stock, formatter: Formatter, width: int, pen: Pen = LINES) -> list[str]:
    """Return the lines of a picture of ``stock`` at most ``width`` columns wide.

    Face A is up, end A to the left, the near edge below. Each direction is to scale, and the
    caption says how much one character stands for. Flaws show their letters, as in ``key``.
    """
    ends = [formatter.length(end) for end in _ends(stock)]
    margin = max(len(ends[0]), 1) + 1
    scale = _scale(stock, max(width, NARROWEST) - margin - len(ends[1]) - 3)
    cells = _cells(stock, scale)
    heights = [_height(stock, scale, column) for column in range(scale.columns)]
    lines = []
    for row in range(scale.rows, -1, -1):
        left = ends[0] if row == heights[0] else ""
        right = f" {ends[1]}" if row == heights[-1] else ""
        lines.append(f"{left:>{margin - 1}} {_line(row, heights, cells, pen)}{right}".rstrip())
    ticks = _ticks(stock, formatter, scale)
    lines.append(f"{'0':>{margin - 1}} {_foot(ticks, scale, pen)}")
    lines.append(" " * margin + _figures(ticks, scale, formatter, stock))
    lines.append(_caption(scale, formatter))
    return lines


def key(stock: Stock, formatter: Formatter) -> list[str]:
    """Return one line for each flaw: its letter, what it is and where."""
    lines = []
    for index, flaw in enumerate(stock.flaws):
        far = flaw.x + flaw.length, flaw.y + flaw.width
        words = [
            f"{letter(index, flaw)}  {'sound ' if flaw.sound else ''}{flaw.kind.value}",
            f"{formatter.length(flaw.x)} to {formatter.length(far[0])} from end A",
            f"{formatter.length(flaw.y)} to {formatter.length(far[1])} from the near edge",
            "both faces" if flaw.face is Face.BOTH else f"face {flaw.face.value.upper()}",
        ]
        if flaw.outline is not None:
            words.append(f"outline of {len(flaw.outline)} points")
        if flaw.note:
            words.append(flaw.note)
        lines.append(", ".join(words))
    return lines


def letter(index: int, flaw: Flaw) -> str:
    """Return the letter of a flaw: small where it is only on face B, a star past the alphabet."""
    if index >= len(_LETTERS):
        return "*"
    return _LETTERS[index].lower() if flaw.face is Face.B else _LETTERS[index]


def _ends(stock: Stock) -> tuple[Length, Length]:
    if isinstance(stock, Board):
        return stock.width_a, stock.width_b
    return stock.width, stock.width


def _scale(stock: Stock, columns: int) -> Scale:
    """Return the scale of a piece at most ``columns`` long.

    A character is about twice as high as it is wide; a long narrow board is drawn wider than that.
    """
    columns = min(columns, max(2 * _MOST_ROWS * stock.length // stock.width, 12))
    column = Fraction(stock.length, columns)
    rows = min(max(round(stock.width / (2 * column)), _FEWEST_ROWS), _MOST_ROWS)
    return Scale(columns, rows, column, Fraction(stock.width, rows))


def _height(stock: Stock, scale: Scale, column: int) -> int:
    """Return how many rows the piece is wide at a column."""
    near, far = _ends(stock)
    width = near + (far - near) * (column + Fraction(1, 2)) / scale.columns
    return max(round(width / scale.row), 1)


def _cells(stock: Stock, scale: Scale) -> dict[tuple[int, int], str]:
    """Return the letters of the flaws by row and column, small flaws over large ones."""
    cells: dict[tuple[int, int], str] = {}
    order = sorted(enumerate(stock.flaws), key=lambda pair: -pair[1].length * pair[1].width)
    for index, flaw in order:
        for place in _places(flaw, stock, scale):
            cells[place] = letter(index, flaw)
    return cells


def _places(flaw: Flaw, stock: Stock, scale: Scale) -> set[tuple[int, int]]:
    """Return the rows and columns that a flaw reaches into, one at least."""
    right, top = flaw.x + flaw.length, flaw.y + flaw.width
    corners = ((flaw.x, flaw.y), (right, flaw.y), (right, top), (flaw.x, top))
    places = set()
    for row in range(scale.rows):
        low, high = floor(row * scale.row), ceil((row + 1) * scale.row)
        for start, end in covered(flaw.outline or corners, low, high):
            first, last = floor(start / scale.column), ceil(end / scale.column)
            for column in range(first, min(last, scale.columns)):
                places.add((min(row, _height(stock, scale, column) - 1), column))
    return places


def _line(row: int, heights: list[int], cells: dict[tuple[int, int], str], pen: Pen) -> str:
    """Return one line of the picture with both end lines."""
    text = [_at_end(row, heights[0], pen, pen.top_left)]
    for column, height in enumerate(heights):
        before = heights[column - 1] if column else height
        after = heights[column + 1] if column + 1 < len(heights) else height
        if row < height:
            text.append(cells.get((row, column), " "))
        elif row > max(before, height, after):
            text.append(" ")
        elif before > height:
            text.append(_step(row, height, before, pen.bottom_left, pen.top_right, pen))
        elif after > height:
            text.append(_step(row, height, after, pen.bottom_right, pen.top_left, pen))
        else:
            text.append(pen.flat if row == height else " ")
    text.append(_at_end(row, heights[-1], pen, pen.top_right))
    return "".join(text)


def _at_end(row: int, height: int, pen: Pen, corner: str) -> str:
    return corner if row == height else pen.upright if row < height else " "


def _step(row: int, low: int, high: int, foot: str, head: str, pen: Pen) -> str:
    """Return the character of a column where the far edge steps from ``low`` to ``high``."""
    return foot if row == low else head if row == high else pen.upright


def _ticks(stock: Stock, formatter: Formatter, scale: Scale) -> list[Length]:
    """Return where the ruler has its ticks: a round step with room for the figures."""
    inches = [n * INCH for n in (1, 2, 3, 4, 6, 12, 24, 36, 48, 96)]
    metric = [n * MM for n in (10, 20, 50, 100, 200, 250, 500, 1000, 2000)]
    steps = inches if formatter.units == "in" else metric
    step = next((s for s in steps if s / scale.column >= 7), steps[-1])
    return list(range(step, stock.length, step))


def _foot(ticks: list[Length], scale: Scale, pen: Pen) -> str:
    line = [pen.bottom_left, *[pen.flat] * scale.columns, pen.bottom_right]
    for tick in ticks:
        line[round(tick / scale.column)] = pen.tick
    return "".join(line)


def _figures(ticks: list[Length], scale: Scale, formatter: Formatter, stock: Stock) -> str:
    """Return the figures under the ruler, the whole length at its end."""
    end = formatter.with_unit(stock.length)
    line = "0"
    for tick in ticks:
        figure = formatter.length(tick)
        start = round(tick / scale.column) - len(figure) // 2
        if start > len(line) and start + len(figure) < scale.columns + 1 - len(end):
            line = line.ljust(start) + figure
    return line.ljust(scale.columns + 2 - len(end)) + end


def _caption(scale: Scale, formatter: Formatter) -> str:
    unit = INCH if formatter.units == "in" else MM
    places = 2 if formatter.units == "in" else 0
    along, across = (f"{float(size / unit):.{places}f}" for size in (scale.column, scale.row))
    return f"to scale: one character is {along} by {across} {formatter.units}"
