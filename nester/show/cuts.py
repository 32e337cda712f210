"""The cuts of one layout in the order they are made, each with what it gives."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from inventory.formatter import Formatter
from inventory.length import Length
from nester.layout import Axis, BlankUse, Layout, Node, OffcutUse, Saw, StripUse, WasteUse
from nester.model import Part

SAWS = {
    Saw.CROSSCUT: "crosscut",
    Saw.RIP: "rip",
    Saw.ROUGH_RIP: "rough rip",
    Saw.SHEET: "sheet saw",
    Saw.RESAW: "resaw",
    Saw.MITER: "miter",
}


@dataclass(frozen=True, slots=True)
class CutRow:
    """One line of a cut list. ``cut`` is empty on the further lines of the same cut."""

    cut: str
    saw: str
    at: str
    gives: str
    size: str


def cut_rows(layout: Layout, parts: Mapping[str, Part], sizes: Formatter) -> list[CutRow]:
    """Return the cut list of a layout: a line for each piece that a cut gives, trims as one line.

    Cuts are measured from end A and from the near edge of the whole piece of stock.
    """
    nodes = [node for node in _nodes(layout.tree) if node.cut is not None]
    nodes.sort(key=lambda node: node.cut.order if node.cut is not None else 0)
    rows = [row for node in nodes for row in _rows(node, layout, parts, sizes)]
    if not nodes:
        rows.append(
            CutRow("", "", "no cut", *_piece(layout.tree, layout.kind == "sheet", parts, sizes))
        )
    return rows


def _nodes(node: Node) -> Iterator[Node]:
    """Yield a rectangle and all below it, without recursion: a bad plan may be deep."""
    waiting = [node]
    while waiting:
        found = waiting.pop()
        yield found
        waiting.extend(reversed(found.pieces))


def _rows(
    node: Node, layout: Layout, parts: Mapping[str, Part], sizes: Formatter
) -> Iterator[CutRow]:
    cut = node.cut
    assert cut is not None
    number, saw, where = str(cut.order), SAWS[cut.saw], _at(cut.axis, cut.at, sizes)
    kept = [piece for piece in node.pieces if not _is_trim(piece)]
    if len(kept) < 2 and (trim := _trim(node)):
        yield CutRow(number, saw, where, trim, "")
        number = saw = where = ""
        # What is left after a trim is told by its own cut; a piece that is used is told here.
        kept = [piece for piece in kept if piece.use is not None]
    for piece in kept:
        yield CutRow(number, saw, where, *_piece(piece, layout.kind == "sheet", parts, sizes))
        number = saw = where = ""


def _is_trim(piece: Node) -> bool:
    return isinstance(piece.use, WasteUse) and piece.use.trim


def _trim(node: Node) -> str:
    """Return which end or edge a cut trims, empty where it is no trim.

    A cut that leaves one piece only, all the rest being kerf, trims the side of the kerf.
    """
    cut = node.cut
    assert cut is not None
    if cut.axis is Axis.Z:
        return ""
    first, last = ("end A", "end B") if cut.axis is Axis.X else ("the near edge", "the far edge")
    if len(node.pieces) == 2:
        lost = [_is_trim(piece) for piece in node.pieces]
        return f"trim of {first if lost[0] else last}" if any(lost) else ""
    starts = cut.at <= (node.x if cut.axis is Axis.X else node.y)
    return f"trim of {first if starts else last}"


def _at(axis: Axis, at: Length, sizes: Formatter) -> str:
    start = {Axis.X: "from end A", Axis.Y: "from near edge", Axis.Z: "from face A"}[axis]
    return f"{sizes.near(at)} {start}"


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
                size = f"{sizes.near(along)} × {sizes.near(across)}"
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
