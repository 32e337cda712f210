"""Invented furniture with matches, glue-ups and arches, and racks of invented stock for it.

Sizes are in inches. The pieces are of everyday proportions; the stock comes from a seeded
generator: rough boards with taper, warp and flaws, twice as much wood as is wanted and more.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from inventory.length import INCH, Length
from inventory.stock import Board, Flaw, FlawKind, Sheet, Stock
from nester.model import Arch, GlueUp, How, Match, Part, Project, Quality, System
from nester.shop_defaults import INCH_SHOP

SPARE_WOOD = 2.2
"""Wood on the rack, as a multiple of what the parts hold."""
BLANK_EXTRA = (1.0, 0.5)
THIN, THICK = 0.75, 1.5
WOODS = ("cherry", "white oak", "ash", "maple")
PLY = "birch plywood"


@dataclass(frozen=True, slots=True)
class Line:
    """One part: its name, how many, length, width [in], and what is special about it."""

    name: str
    count: int
    length: float
    width: float
    tenons: float = 0
    thickness: float = THIN
    glued: bool = False
    arch: float = 0
    sheet: bool = False
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class Bond:
    """One match of a piece of furniture."""

    name: str
    how: How
    parts: tuple[str, ...]
    sets: int = 1


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of furniture: its parts and its matches."""

    parts: tuple[Line, ...]
    bonds: tuple[Bond, ...] = ()

    @property
    def count(self) -> int:
        """How many parts there are, every copy counted."""
        return sum(line.count for line in self.parts)


PIECES: Mapping[str, Piece] = {
    "wall shelf": Piece(
        (Line("shelf", 1, 30, 9, glued=True), Line("bracket", 2, 14, 4.5, arch=8)),
        (Bond("brackets", How.SAME_BOARD, ("bracket", "bracket")),),
    ),
    "key box": Piece(
        (
            Line("box front", 1, 14, 5),
            Line("box side", 2, 8, 5),
            Line("box back", 1, 14, 5),
            Line("box lid", 1, 15, 9, glued=True),
        ),
        (Bond("box", How.WRAP, ("box front", "box side", "box back", "box side")),),
    ),
    "two trays": Piece(
        (Line("long side", 4, 18, 2.5), Line("short side", 4, 12, 2.5)),
        (Bond("tray", How.WRAP, ("long side", "short side", "long side", "short side"), 2),),
    ),
    "hall bench": Piece(
        (
            Line("seat", 1, 46, 14, glued=True),
            Line("leg", 4, 17, 1.75, thickness=THICK),
            Line("long apron", 2, 38, 3.5, 2, arch=28),
            Line("short apron", 2, 9, 3.5, 2),
            Line("stretcher", 1, 38, 2, 2),
        ),
        (Bond("aprons", How.SEQUENCE, ("long apron", "short apron")),),
    ),
    "bedside cabinet": Piece(
        (
            Line("top", 1, 20, 16, glued=True),
            Line("side", 2, 24, 15, glued=True),
            Line("drawer front", 3, 17, 2.75),
            Line("front rail", 2, 18, 1.75, 1.5),
            Line("plinth front", 1, 20, 3.5, arch=12),
            Line("floor", 1, 18, 14, sheet=True),
            Line("back", 1, 18, 22, sheet=True, hidden=True),
        ),
        (Bond("fronts", How.STACK, ("drawer front",) * 3),),
    ),
    "apothecary chest": Piece(
        (
            Line("chest top", 1, 32, 13, glued=True),
            Line("upper front", 3, 9, 2.25),
            Line("middle front", 3, 9, 2.75),
            Line("lower front", 3, 9, 3.25),
            Line("divider", 2, 29, 2.5, hidden=True),
            Line("chest side", 2, 18, 12, sheet=True),
            Line("foot rail", 1, 30, 3, arch=20),
        ),
        (
            Bond("upper row", How.SEQUENCE, ("upper front",) * 3),
            Bond("middle row", How.SEQUENCE, ("middle front",) * 3),
            Bond("lower row", How.SEQUENCE, ("lower front",) * 3),
            Bond("bank", How.STACK, ("upper row", "middle row", "lower row")),
        ),
    ),
    "wall cabinet": Piece(
        (
            Line("case top", 2, 28, 8),
            Line("case side", 2, 34, 8),
            Line("door stile", 4, 32, 2),
            Line("door rail", 4, 9.5, 2, 2),
            Line("door panel", 2, 28, 5.25, thickness=0.3125),
            Line("cabinet shelf", 2, 26, 7, sheet=True),
            Line("crest rail", 1, 30, 3.5, arch=22),
            Line("cabinet back", 1, 27, 33, sheet=True, hidden=True),
        ),
        (
            Bond("case", How.WRAP, ("case top", "case side") * 2),
            Bond("panels", How.BOOK, ("door panel", "door panel")),
        ),
    ),
    "console": Piece(
        (
            Line("console top", 1, 54, 15, glued=True),
            Line("console shelf", 1, 48, 12, glued=True),
            Line("console leg", 4, 31, 1.75, thickness=THICK),
            Line("front apron", 1, 46, 4.5, 2, arch=34),
            Line("back apron", 1, 46, 4.5, 2, hidden=True),
            Line("end apron", 2, 10, 4.5, 2),
            Line("console front", 3, 14, 4),
            Line("runner", 6, 11, 1.5, hidden=True),
            Line("drawer bottom", 3, 13, 10, sheet=True, hidden=True),
        ),
        (
            Bond("console fronts", How.SEQUENCE, ("console front",) * 3),
            Bond("aprons of one board", How.SAME_BOARD, ("front apron", "end apron", "end apron")),
        ),
    ),
    "sideboard": Piece(
        (
            Line("board top", 1, 60, 18, glued=True),
            Line("board end", 2, 30, 17, glued=True),
            Line("board floor", 1, 58, 16, sheet=True),
            Line("sliding door", 3, 19, 20, sheet=True),
            Line("bank front", 3, 18, 2.75),
            Line("board rail", 3, 56, 2, 2),
            Line("post", 4, 28, 1.75),
            Line("base front", 1, 58, 3.5, arch=44),
            Line("base side", 2, 15, 3.5),
            Line("board shelf", 2, 26, 14, sheet=True),
            Line("drawer side", 6, 14, 4.5, hidden=True),
            Line("drawer back", 3, 17, 4, hidden=True),
        ),
        (
            Bond("doors", How.SEQUENCE, ("sliding door",) * 3),
            Bond("drawers", How.STACK, ("bank front",) * 3),
            Bond("base", How.SEQUENCE, ("base side", "base front", "base side")),
        ),
    ),
    "dresser": Piece(
        (
            Line("worktop", 1, 58, 17, glued=True),
            Line("lower side", 2, 33, 16, glued=True),
            Line("upper shelf", 2, 54, 7),
            Line("upper side", 2, 38, 7.5),
            Line("cornice", 1, 60, 3.5, arch=46),
            Line("wide front", 4, 25, 4.25),
            Line("dresser stile", 4, 22, 2.25),
            Line("dresser rail", 4, 20, 2.25, 2),
            Line("dresser panel", 2, 20, 18, sheet=True),
            Line("tray long", 2, 22, 3),
            Line("tray short", 2, 13, 3),
            Line("dresser floor", 2, 54, 15, sheet=True),
            Line("dresser drawer side", 8, 15, 4.5, hidden=True),
            Line("dresser drawer back", 4, 24, 4, hidden=True),
        ),
        (
            Bond("left row", How.SEQUENCE, ("wide front",) * 2, 2),
            Bond("front bank", How.STACK, ("left row", "left row")),
            Bond("cutlery tray", How.WRAP, ("tray long", "tray short") * 2),
            Bond("door faces", How.SEQUENCE, ("dresser panel",) * 2),
            Bond("sides of one board", How.SAME_BOARD, ("upper side", "upper side")),
        ),
    ),
}
"""The ten, from 3 parts to 40."""


def project(name: str) -> Project:
    """Return the project of one piece of furniture."""
    piece = PIECES[name]
    wood = _wood(name)
    parts = tuple(_part(line, wood) for line in piece.parts)
    matches = tuple(
        Match(
            bond.name,
            bond.how,
            bond.parts,
            joint_trim=INCH // 16 if bond.how is How.WRAP else 0,
            sets=bond.sets,
        )
        for bond in piece.bonds
    )
    return Project(name, System.INCH, INCH_SHOP, parts, matches)


def rack(name: str) -> tuple[Stock, ...]:
    """Return the stock for one piece of furniture, always the same."""
    rng = random.Random(f"rack for the {name}")
    found: list[Stock] = []
    for thickness, sold in ((1.0625, 1.0), (2.0, 2.0)):
        lines = [n for n in PIECES[name].parts if not n.sheet and (n.thickness > 1) == (sold > 1)]
        if not lines:
            continue
        longest = max([line.length + line.tenons for line in lines] + _runs(name, lines))
        wanted = SPARE_WOOD * sum(_area(line) for line in lines)
        own: list[Board] = []
        while wanted > 0 or len(own) < 3:
            number = len(found) + len(own) + 1
            own.append(_board(rng, number, _wood(name), thickness, sold, longest, not own))
            wanted -= own[-1].length * own[-1].width / INCH**2
        found += own
    sheets = sum(line.count * line.length * line.width for line in PIECES[name].parts if line.sheet)
    if sheets:
        count = 1 + int(1.3 * sheets / (60 * 60))
        found.append(_sheet(rng, "S-1", 60, 60, count, 92))
        found.append(_sheet(rng, "S-2", 96, 48, 1, 108))
        found.append(_sheet(rng, "S-3", 48, 32, 1, 36))
    return tuple(found)


def _wood(name: str) -> str:
    return WOODS[list(PIECES).index(name) % len(WOODS)]


def _runs(name: str, lines: list[Line]) -> list[float]:
    by_name = {line.name: line for line in lines}
    return [
        sum(by_name[part].length + 0.3 for part in bond.parts)
        for bond in PIECES[name].bonds
        if bond.how in (How.WRAP, How.SEQUENCE) and all(part in by_name for part in bond.parts)
    ]


def _area(line: Line) -> float:
    length = max(12.0, line.length + line.tenons + BLANK_EXTRA[0])
    return line.count * length * (line.width + BLANK_EXTRA[1])


def _in(value: float) -> Length:
    return round(value * 64) * INCH // 64


def _part(line: Line, wood: str) -> Part:
    arch = (
        Arch("near", _in((line.length - line.arch) / 2), _in(line.arch), _in(line.width / 3))
        if line.arch
        else None
    )
    return Part(
        name=line.name,
        length=_in(line.length),
        width=_in(line.width),
        thickness=_in(line.thickness),
        materials=(PLY if line.sheet else wood,),
        count=line.count,
        quality=Quality.HIDDEN if line.hidden else Quality.CLEAR_FACE,
        extra_length=_in(line.tenons),
        glue_up=GlueUp(_in(2.5), _in(6), _in(0.125), 8) if line.glued else None,
        cutaways=(arch,) if arch else (),
    )


def _board(
    rng: random.Random,
    number: int,
    wood: str,
    thickness: float,
    sold: float,
    longest: float,
    first: bool,
) -> Board:
    """Return a board; the first of a thickness is a good one, long and wide."""
    length = longest + 4 + rng.randint(0, 8) if first else rng.randint(36, 100)
    wide = rng.randint(80, 88) / 8 if first else rng.randint(34, 72) / 8
    taper = rng.choice((0.0, 0.0, 0.125, 0.25, 0.5))
    grade = rng.randint(0, 3)
    flaws = tuple(_flaw(rng, length, wide - taper) for _ in range(0 if first else 2 * grade))
    return Board(
        id=f"B-{number:02}",
        species=wood,
        length=_in(length),
        width_a=_in(wide),
        width_b=_in(wide - taper),
        thickness=_in(thickness),
        sold_as=_in(sold),
        bow=0 if first else _in(rng.randint(0, 3) / 16),
        crook=_in(rng.randint(0, 3) / 16),
        cup=0 if first else _in(rng.randint(0, 1) / 16),
        price=Fraction(13 + (3 if sold > 1 else 0) - 2 * grade + rng.randint(0, 3), 1),
        lot=f"log {rng.randint(1, 2)}",
        flaws=flaws,
    )


def _flaw(rng: random.Random, length: float, wide: float) -> Flaw:
    kind = rng.choice((FlawKind.KNOT, FlawKind.KNOT, FlawKind.CHECK, FlawKind.STAIN))
    long, across = rng.randint(4, 16) / 8, rng.randint(4, 12) / 8
    if kind is FlawKind.CHECK:
        long, across = rng.randint(8, 32) / 8, 0.125
    x = 0.0 if kind is FlawKind.CHECK else rng.randint(0, int(8 * (length - long))) / 8
    y = rng.randint(0, int(8 * (wide - across))) / 8
    return Flaw(
        kind, _in(x), _in(y), _in(long), _in(across), sound=kind is FlawKind.STAIN or not x % 4
    )


def _sheet(
    rng: random.Random, name: str, length: float, width: float, count: int, price: int
) -> Sheet:
    corner = rng.randint(8, 24) / 8
    return Sheet(
        id=name,
        material=PLY,
        length=_in(length),
        width=_in(width),
        thickness=_in(0.75),
        nominal=_in(0.75),
        count=count,
        price=Fraction(price),
        flaws=(Flaw(FlawKind.OTHER, 0, 0, _in(corner), _in(1), note="crushed corner"),),
    )
