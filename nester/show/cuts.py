"""The cuts of one layout in the order they are made, each with what it gives."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from inventory.formatter import Formatter
from nester.layout import BlankUse, Layout, Node, OffcutUse, StripUse, WasteUse
from nester.model import Part
from nester.sawing import SawLine, has_spare, is_trim, saw_lines


@dataclass(frozen=True, slots=True)
class CutRow:
    """One line of a cut list. All up to ``stop`` is empty on the further lines of the same cut.

    ``line`` is where the line is drawn, on the side that is kept; ``runs`` the end or edge on whose
    side of it the saw runs; ``stop`` the same line measured on the piece in hand.
    """

    cut: str
    saw: str
    line: str
    runs: str
    stop: str
    gives: str
    size: str


def cut_rows(layout: Layout, parts: Mapping[str, Part], sizes: Formatter) -> list[CutRow]:
    """Return the cut list of a layout: a line for each piece that a cut gives, trims as one line.

    Lines are measured from end A and from the near edge of the whole piece of stock.
    """
    sheet = layout.kind == "sheet"
    rows = [row for saw in saw_lines(layout) for row in _rows(saw, sheet, parts, sizes)]
    if not rows:
        rows.append(CutRow("", "", "no cut", "", "", *_piece(layout.tree, sheet, parts, sizes)))
    return rows


def _rows(
    saw: SawLine, sheet: bool, parts: Mapping[str, Part], sizes: Formatter
) -> Iterator[CutRow]:
    head = (
        str(saw.cut.order),
        saw.word,
        f"{sizes.near(saw.line)} {saw.measured}",
        saw.side,
        sizes.near(saw.stop),
    )
    found: list[tuple[str, str]] = []
    kept = [piece for piece in saw.node.pieces if not is_trim(piece)]
    if saw.trim:
        found.append((_trim(saw), ""))
        # What is left after a trim is told by its own cut; a piece that is used is told here.
        kept = [piece for piece in kept if piece.use is not None]
    found += [_piece(piece, sheet, parts, sizes) for piece in kept]
    if saw.rest_is_kerf:
        found.append(("the rest is kerf", ""))
    for gives, size in found:
        yield CutRow(*head, gives, size)
        head = ("", "", "", "", "")


def _trim(saw: SawLine) -> str:
    """Return which end, edge or face a trim cuts off."""
    return f"trim of {saw.side}" if saw.side.startswith("end") else f"trim of the {saw.side}"


def _piece(
    piece: Node, sheet: bool, parts: Mapping[str, Part], sizes: Formatter
) -> tuple[str, str]:
    """Return what a piece is, and its size: exact for a blank on a sheet, else as cut."""
    size = f"{sizes.near(piece.length)} × {sizes.near(piece.width)}"
    match piece.use:
        case BlankUse() as use:
            part = parts.get(use.part)
            if sheet and part is not None:
                long, wide = part.length + part.extra_length, part.width + part.extra_width
                along, across = (wide, long) if use.turned else (long, wide)
                sawn = f" from {size}" if has_spare(piece, along, across) else ""
                size = f"{sizes.near(along)} × {sizes.near(across)}{sawn}"
            return _blank(use, part), size
        case StripUse() as use:
            return f"strip {use.strip} of panel {use.panel}", size
        case OffcutUse() as use:
            return f"offcut {use.id}", size
        case WasteUse():
            return "waste", size
    order = piece.cut.order if piece.cut is not None else 0
    return f"to cut {order}", size


def _blank(use: BlankUse, part: Part | None) -> str:
    copies = f" {use.copy} of {part.copies}" if part is not None and part.copies > 1 else ""
    notes = [
        word
        for word, told in (
            ("turned", use.turned),
            ("end for end", use.reversed),
            ("face B shows", use.flipped),
        )
        if told
    ]
    return f"{use.part[:40]}{copies}" + (f" ({', '.join(notes)})" if notes else "")
