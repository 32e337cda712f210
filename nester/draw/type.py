"""Setting type: the shipped family's own widths, real fractions, lines that fit.

Everything is measured with the advance widths read from the font files that are shipped and
embedded, so a label that is found to fit does fit. The fonts carry no kerning.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from struct import unpack_from

from nester.draw.page import PT, Box

FAMILY = "Nester Sans"
FONTS = Path(__file__).parent / "fonts"

NOTE = 7.5 * PT
"""Size of notes, tables and captions [mm]."""
SIZE = 9 * PT
"""Size of measures [mm]."""
NAME = 11 * PT
"""The least size of a piece's name [mm]."""
SMALLEST = 7 * PT
"""Nothing on the sheet is set smaller [mm]."""

FIGURE = 0.72
"""The figures of a fraction, as a share of the size around them, but never under ``SMALLEST``."""

CAP_HEIGHT = 0.668
"""Height of capitals and figures over the size, from the font's own tables (OS/2)."""

FRACTION = re.compile(r"(?<![\d/.,])(?:(\d+)[ -])?(\d+)[/⁄](\d+)(?![\d/])")


@dataclass(frozen=True, slots=True)
class Face:
    """The advance widths of one font, by character, as shares of the size."""

    widths: dict[int, float]

    def advance(self, char: str) -> float:
        """Return how far the pen moves for ``char``; a guess on the wide side where it is missing.

        A missing character comes from another font when the drawing is shown, so nobody knows.
        """
        known = self.widths.get(ord(char))
        if known is not None:
            return known
        if unicodedata.combining(char) or unicodedata.category(char) == "Cf":
            return 0.0
        return 1.05 if unicodedata.east_asian_width(char) in "WF" else 0.75


@lru_cache(maxsize=2)
def face(bold: bool = False) -> Face:
    """Return the widths of the regular or the bold face, read from the shipped file."""
    data = (FONTS / f"NesterSans-{'Bold' if bold else 'Regular'}.ttf").read_bytes()
    tables = {
        data[12 + 16 * i : 16 + 16 * i].decode("ascii"): unpack_from(">I", data, 20 + 16 * i)[0]
        for i in range(unpack_from(">H", data, 4)[0])
    }
    per_em = unpack_from(">H", data, tables["head"] + 18)[0]
    measured = unpack_from(">H", data, tables["hhea"] + 34)[0]
    advances = [unpack_from(">H", data, tables["hmtx"] + 4 * i)[0] for i in range(measured)]
    return Face(
        {
            code: advances[min(glyph, measured - 1)] / per_em
            for code, glyph in glyphs(data, tables["cmap"]).items()
        }
    )


def glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Return the glyph number of each character (OpenType ``cmap``, subtable format 4)."""
    for i in range(unpack_from(">H", data, cmap + 2)[0]):
        start = cmap + unpack_from(">I", data, cmap + 8 + 8 * i)[0]
        if unpack_from(">H", data, start)[0] == 4:
            break
    else:
        raise ValueError("the font has no character table of format 4")
    count = unpack_from(">H", data, start + 6)[0] // 2
    ends = start + 14
    starts, deltas, offsets = (ends + 2 + 2 * count * k for k in (1, 2, 3))
    found: dict[int, int] = {}
    for i in range(count):
        first, last = (unpack_from(">H", data, at + 2 * i)[0] for at in (starts, ends))
        delta = unpack_from(">H", data, deltas + 2 * i)[0]
        offset = unpack_from(">H", data, offsets + 2 * i)[0]
        for code in range(first, min(last, 0xFFFE) + 1):
            if offset:
                place = offsets + 2 * i + offset + 2 * (code - first)
                glyph = unpack_from(">H", data, place)[0]
                glyph = (glyph + delta) & 0xFFFF if glyph else 0
            else:
                glyph = (code + delta) & 0xFFFF
            if glyph:
                found[code] = glyph
    return found


def width_of(text: str, size: float, bold: bool = False) -> float:
    """Return the width of ``text`` [mm] at ``size`` [mm]."""
    advance = face(bold).advance
    return sum(advance(char) for char in text) * size


def covered(text: str) -> bool:
    """Return whether the shipped family has every character of ``text``."""
    return all(ord(char) in face().widths for char in text)


@dataclass(frozen=True, slots=True)
class Run:
    """Some characters in one size: where they start in their line, and how far they rise [mm]."""

    text: str
    x: float
    rise: float
    size: float
    bold: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One line of type, measured: ``rise`` over the baseline and ``drop`` under it [mm]."""

    runs: tuple[Run, ...]
    width: float
    rise: float
    drop: float

    @property
    def height(self) -> float:
        """From the lowest to the highest ink [mm]."""
        return self.rise + self.drop

    @property
    def text(self) -> str:
        """The characters, fractions as 3⁄8."""
        return "".join(run.text for run in self.runs)

    def box(self, x: float, baseline: float) -> Box:
        """Return what the line covers when it starts at ``x`` on ``baseline``."""
        return Box(x, baseline - self.rise, x + self.width, baseline + self.drop)


EMPTY = Line((), 0.0, 0.0, 0.0)


@lru_cache(maxsize=8192)
def line(text: str, size: float = SIZE, bold: bool = False) -> Line:
    """Set plain text."""
    run = Run(text, 0.0, 0.0, size, bold)
    return Line((run,), width_of(text, size, bold), 0.76 * size, 0.22 * size)


@lru_cache(maxsize=8192)
def rich(text: str, size: float = SIZE, bold: bool = False) -> Line:
    """Set a text of ours with its fractions as raised and lowered figures round a slash."""
    runs: list[Run] = []
    pen, last = 0.0, 0
    figure = max(FIGURE * size, SMALLEST)
    high, low = 0.76 * size, 0.22 * size

    def put(piece: str, at: float, rise: float, of: float) -> float:
        runs.append(Run(piece, at, rise, of, bold))
        return at + width_of(piece.rstrip(" ") if of < size else piece, of, bold)

    for match in FRACTION.finditer(text):
        whole, above, below = match.groups()
        before = text[last : match.start()] + (f"{whole} " if whole else "")
        if before:
            pen = put(before, pen, 0.0, size)
            if whole:
                pen -= (face(bold).advance(" ") - 0.2) * size
        up = 1.2 * CAP_HEIGHT * size - CAP_HEIGHT * figure
        down = 0.14 * size
        pen = put(above, pen, up, figure)
        slash = face(bold).advance("⁄") * size
        tuck = max(0.0, (slash - 0.30 * size) / 2)
        put("⁄", pen - tuck, 0.0, size)
        pen = put(below, pen + slash - 2 * tuck, -down, figure)
        high = max(high, up + 0.72 * figure)
        low = max(low, down + 0.04 * figure)
        last = match.end()
    if text[last:]:
        pen = put(text[last:], pen, 0.0, size)
    return Line(tuple(runs), pen, high, low)


def joined(parts: list[Line], gap: float) -> Line:
    """Return the lines one after another on one baseline, ``gap`` [mm] apart."""
    runs: list[Run] = []
    pen = 0.0
    for part in parts:
        if runs and part.runs:
            pen += gap
            last = runs[-1]
            runs[-1] = Run(last.text + " ", last.x, last.rise, last.size, last.bold)
        runs += [Run(r.text, r.x + pen, r.rise, r.size, r.bold) for r in part.runs]
        pen += part.width
    rise = max((p.rise for p in parts), default=0.0)
    drop = max((p.drop for p in parts), default=0.0)
    return Line(tuple(runs), pen, rise, drop)


def clipped(text: str, room: float, size: float, bold: bool = False) -> str:
    """Return ``text``, or as much of its start as fits ``room`` [mm] with an ellipsis after it."""
    if width_of(text, size, bold) <= room:
        return text
    left = room - width_of("…", size, bold)
    kept = 0
    advance = face(bold).advance
    for char in text:
        left -= advance(char) * size
        if left < 0:
            break
        kept += 1
    return text[:kept].rstrip() + "…"


def wrapped(text: str, room: float, size: float, bold: bool = False) -> list[str]:
    """Return ``text`` broken at blanks into lines of at most ``room`` [mm], long words clipped."""
    lines: list[str] = []
    now = ""
    for word in text.split():
        longer = f"{now} {word}" if now else word
        if width_of(longer, size, bold) <= room:
            now = longer
            continue
        if now:
            lines.append(now)
        now = clipped(word, room, size, bold)
    return [*lines, now] if now else lines


BIDI_CONTROLS = frozenset(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x061C)))
"""Marks that turn the direction of the text after them (Unicode Standard Annex 9)."""


LONGEST = 400
"""Characters of a user's text that are read; no line of a sheet holds as many."""


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Return a user's text fit for a drawing: one line, nothing that XML forbids, not endless.

    Control characters and half surrogates become blanks; marks that would reverse the text beside
    them are dropped, right-to-left letters stay.
    """
    kept = []
    for char in text[:LONGEST]:
        code = ord(char)
        if char in BIDI_CONTROLS or code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF:
            continue
        kept.append(" " if unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp") else char)
    whole = " ".join("".join(kept).split())
    return f"{whole}…" if len(text) > LONGEST else whole
