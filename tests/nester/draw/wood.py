"""Layouts made by hand for the drawing tests: a board is said as nested cuts, the tree follows."""

from dataclasses import dataclass, field

from inventory.length import INCH, MM
from inventory.stock import (
    Board,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)
from nester.layout import (
    Axis,
    BlankUse,
    Cut,
    Layout,
    Node,
    OffcutUse,
    Saw,
    Use,
    WasteUse,
)
from nester.model import Part

TRIM = WasteUse(trim=True)
WASTE = WasteUse()


def inches(text: str | int) -> int:
    """Return inches such as "23 3/8" in 1/320 mm."""
    total = 0
    for word in str(text).split():
        above, _, below = word.partition("/")
        total += int(above) * INCH // int(below or 1)
    return total


@dataclass(frozen=True)
class Cuts:
    """Parallel cuts: the pieces' sizes and what becomes of each; the last size None is the rest."""

    axis: Axis
    pieces: tuple[tuple[int | None, "Use | Cuts"], ...]
    kerf: int
    saw: Saw


def cross(*pieces: tuple[int | None, "Use | Cuts"], kerf: int = INCH // 8) -> Cuts:
    """Crosscuts from end A on."""
    return Cuts(Axis.X, pieces, kerf, Saw.CROSSCUT)


def rip(*pieces: tuple[int | None, "Use | Cuts"], kerf: int = INCH // 16) -> Cuts:
    """Rough rips from the near edge on."""
    return Cuts(Axis.Y, pieces, kerf, Saw.ROUGH_RIP)


def sheet_cut(axis: Axis, *pieces: tuple[int | None, "Use | Cuts"], kerf: int = INCH // 8) -> Cuts:
    """Cuts with the sheet saw."""
    return Cuts(axis, pieces, kerf, Saw.SHEET)


@dataclass
class Maker:
    """Builds trees and numbers their cuts."""

    order: int = field(default=0)

    def node(self, x: int, y: int, length: int, width: int, what: Use | Cuts) -> Node:
        """Return the rectangle cut or used as ``what`` says."""
        if not isinstance(what, Cuts):
            return Node(x, y, length, width, use=what)
        along = what.axis is Axis.X
        start, end = (x, x + length) if along else (y, y + width)
        (size, first), *rest = what.pieces
        at = end if size is None else start + size
        if not rest:
            if at >= end:
                return self.node(x, y, length, width, first)
            rest = [(None, WASTE)]
        self.order += 1
        cut = Cut(what.axis, at, what.kerf, what.saw, self.order)
        pieces = []
        if at > start:
            box = (x, y, at - x, width) if along else (x, y, length, at - y)
            pieces.append(self.node(*box, first))
        after = at + what.kerf
        if after < end:
            box = (after, y, end - after, width) if along else (x, after, length, end - after)
            more = Cuts(what.axis, tuple(rest), what.kerf, what.saw)
            pieces.append(self.node(*box, more))
        return Node(x, y, length, width, cut=cut, pieces=tuple(pieces))


def layout_of(stock: Stock, what: Use | Cuts, copy: int = 1) -> Layout:
    """Return the layout of one stock item."""
    tree = Maker().node(0, 0, stock.length, stock.width, what)
    kind = "board" if isinstance(stock, Board) else "sheet"
    return Layout(stock.id, copy, kind, stock.length, stock.width, stock.thickness, "25.000", tree)


def blank(part: str, copy: int = 1, *, turned: bool = False) -> BlankUse:
    """Return the use of a blank."""
    return BlankUse(part, copy, turned=turned)


def part(name: str, length: int, width: int, count: int = 1, spare: int = 0) -> Part:
    """Return a part of walnut."""
    return Part(name, length, width, 3 * INCH // 4, ("walnut",), count=count, spare=spare)


def walnut() -> tuple[Board, Layout, list[Part]]:
    """A rough tapered board with flaws: trims, three sections, rips, an offcut."""
    board = Board(
        "W-07",
        "walnut",
        inches(110),
        inches("8 1/4"),
        inches("7 1/2"),
        inches("1 1/16"),
        inches(1),
        flaws=(
            Flaw(FlawKind.KNOT, inches("44 1/2"), inches(2), inches("1 1/2"), inches("1 1/4")),
            Flaw(FlawKind.SPLIT, 0, inches(3), inches("1 7/8"), inches("1/4")),
            Flaw(
                FlawKind.WANE,
                inches(60),
                inches("6 3/4"),
                inches(50),
                inches("1 1/16"),
                outline=(
                    (inches(60), inches("7 3/4")),
                    (inches(110), inches("6 3/4")),
                    (inches(110), inches("7 1/2")),
                    (inches(60), inches("7 13/16")),
                ),
            ),
            Flaw(
                FlawKind.SAPWOOD,
                inches(15),
                inches("6 1/2"),
                inches(16),
                inches(1),
                face=Face.B,
                sound=True,
                note="pale streak",
            ),
        ),
    )
    trim, near = inches("7/8"), inches("1/16")
    what = cross(
        (trim, TRIM),
        (
            inches(41),
            rip(
                (near, TRIM),
                (inches("3 3/4"), blank("case side", 1)),
                (inches("3 3/4"), blank("case side", 2)),
                (None, TRIM),
            ),
        ),
        (inches("4 1/2"), WASTE),
        (
            inches(25),
            rip(
                (near, TRIM),
                (
                    inches(5),
                    cross(
                        (inches("14 1/4"), blank("drawer front", 1)),
                        (None, blank("cleat")),
                    ),
                ),
                (inches("1 1/2"), blank("back rail", 1)),
                (None, WASTE),
            ),
        ),
        (
            inches("36 1/2"),
            rip((near, TRIM), (inches("5 1/2"), OffcutUse("W-07a")), (None, WASTE)),
        ),
        (None, TRIM),
    )
    parts = [
        part("case side", inches(40), inches("3 1/2"), 4),
        part("drawer front", inches("13 1/4"), inches("4 3/4"), 2),
        part("cleat", inches("9"), inches("4")),
        part("back rail", inches(24), inches("1 1/4"), 2, 1),
    ]
    return board, layout_of(board, what), parts


def long_thin() -> tuple[Board, Layout, list[Part]]:
    """A board of 120 x 5 in: four sections, two of them ripped."""
    board = Board(
        "OAK-112",
        "white oak",
        inches(120),
        inches(5),
        inches(5),
        inches("1 1/8"),
        inches(1),
        flaws=(Flaw(FlawKind.KNOT, inches(57), inches(2), inches("1 1/2"), inches(1)),),
    )
    trim, near = inches("7/8"), inches("1/16")

    def two(first: str, a: int, second: str, b: int) -> Cuts:
        return rip(
            (near, TRIM),
            (inches("2 1/4"), blank(first, a)),
            (inches("2 1/4"), blank(second, b)),
            (None, TRIM),
        )

    what = cross(
        (trim, TRIM),
        (inches(28), two("front leg", 1, "front leg", 2)),
        (inches("27 1/2"), two("back leg", 1, "stretcher, long", 1)),
        (inches(3), WASTE),
        (inches(20), rip((near, TRIM), (inches("4 3/4"), blank("seat rail", 1)), (None, TRIM))),
        (inches(18), rip((near, TRIM), (inches("4 3/4"), blank("crest rail")), (None, TRIM))),
        (None, OffcutUse("OAK-112a")),
    )
    parts = [
        part("front leg", inches(27), inches(2), 2),
        part("back leg", inches("26 1/2"), inches(2), 2),
        part("stretcher, long", inches("26 1/2"), inches(2), 2),
        part("seat rail", inches(19), inches("4 1/2"), 2),
        part("crest rail", inches(17), inches("4 1/2")),
    ]
    return board, layout_of(board, what), parts


def plywood() -> tuple[Sheet, Layout, list[Part]]:
    """A metric sheet of plywood, ripped first, with a turned piece and an offcut."""
    sheet = Sheet(
        "BP18",
        "birch plywood",
        2440 * MM,
        1220 * MM,
        18 * MM,
        18 * MM,
        flaws=(Flaw(FlawKind.STAIN, 1500 * MM, 700 * MM, 120 * MM, 80 * MM, sound=True),),
    )
    kerf = 32 * MM // 10
    x, y = Axis.X, Axis.Y

    def cut(axis: Axis, *pieces: tuple[int | None, Use | Cuts]) -> Cuts:
        return sheet_cut(axis, *pieces, kerf=kerf)

    what = cut(
        y,
        (
            560 * MM,
            cut(
                x,
                (720 * MM, blank("side", 1)),
                (720 * MM, blank("side", 2)),
                (None, cut(y, (400 * MM, blank("shelf", 1)), (None, WASTE))),
            ),
        ),
        (
            400 * MM,
            cut(
                x,
                (900 * MM, blank("shelf", 2)),
                (900 * MM, blank("shelf", 3)),
                (300 * MM, blank("divider", 1, turned=True)),
                (None, WASTE),
            ),
        ),
        (None, OffcutUse("BP18a")),
    )
    parts = [
        part("side", 720 * MM, 560 * MM, 2),
        part("shelf", 900 * MM, 400 * MM, 3),
        part("divider", 380 * MM, 300 * MM),
    ]
    return sheet, layout_of(sheet, what), parts


def dense(across: int = 8, up: int = 5) -> tuple[Sheet, Layout, list[Part]]:
    """A 4 x 8 ft sheet of many small pieces, each another part."""
    sheet = Sheet(
        "MDF-3",
        "mdf",
        inches(96),
        inches(48),
        inches("3/4"),
        inches("3/4"),
        grain=SheetGrain.NONE,
    )
    length, width = inches(96) // across - INCH // 8, inches(48) // up - INCH // 8
    length -= length % (INCH // 16)
    width -= width % (INCH // 16)
    words = ("tray side", "door", "tray end", "shelf", "box bottom", "panel", "lid", "divider")
    parts = [part(f"{words[i % len(words)]} {i}", length, width) for i in range(across * up)]
    rows: list[tuple[int | None, Use | Cuts]] = [
        (
            width,
            sheet_cut(
                Axis.X,
                *((length, blank(parts[row * across + i].name)) for i in range(across)),
                (None, WASTE),
            ),
        )
        for row in range(up)
    ]
    what = sheet_cut(Axis.Y, *rows, (None, WASTE))
    return sheet, layout_of(sheet, what), parts


def small_board() -> tuple[Board, Layout, list[Part]]:
    """The board of the plan document's own example: 60 x 6 x 1 in, one part and an offcut."""
    board = Board(
        "M-1",
        "maple",
        inches(60),
        inches(6),
        inches(6),
        inches(1),
        inches(1),
        surface=Surface.ROUGH,
        ends=Ends.SQUARE,
    )
    what = cross(
        (inches(39), rip((inches("3 3/4"), blank("plinth front")), (None, WASTE))),
        (None, OffcutUse("M-1a")),
    )
    return board, layout_of(board, what), [part("plinth front", inches(38), inches("3 1/2"))]
