"""Tables in plain text, for a terminal or a mail."""

import unicodedata
from collections.abc import Collection, Sequence

from inventory.issue import clipped, one_line

WIDEST = 48
"""A cell is cut to this many characters, so that a wild name cannot break a table."""


def table(head: Sequence[str], rows: Sequence[Sequence[str]], right: Collection[int] = ()) -> str:
    """Return rows under their heads, columns two spaces apart.

    ``right`` names the columns (from 0) that are set to the right, as figures are. Empty where
    there are no rows.
    """
    if not rows:
        return ""
    cells = [[safe(text) for text in row] for row in (head, *rows)]
    widths = [max(columns_of(row[i]) for row in cells) for i in range(len(head))]
    rule = ["-" * width for width in widths]
    lines = []
    for row in (cells[0], rule, *cells[1:]):
        padded = (
            pad(text, width, i in right)
            for i, (text, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.append("  ".join(padded).rstrip())
    return "\n".join(lines)


def safe(text: str, most: int = WIDEST) -> str:
    """Return a user's text on one line, cut to ``most`` characters, control characters shown."""
    return clipped(one_line(clipped(text, most)), most)


def pad(text: str, width: int, right: bool = False) -> str:
    """Return ``text`` filled up with spaces to ``width`` columns of a terminal."""
    space = " " * (width - columns_of(text))
    return space + text if right else text + space


def columns_of(text: str) -> int:
    """Return how many columns of a terminal ``text`` takes."""
    return sum(_columns(letter) for letter in text)


def _columns(letter: str) -> int:
    if unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1
