"""Tiny random projects: one to three small stock items, up to six parts, a grid of an inch."""

from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from inventory.length import INCH
from inventory.stock import (
    NEVER_SOUND,
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Sheet,
    SheetGrain,
    Surface,
)
from nester.model import Arch, FirstCut, Grain, Kerfs, Part, Quality, Shop
from nester.shop_defaults import INCH_SHOP
from tests.oracle.rules import Stock

KINDS = tuple(kind for kind in FlawKind if kind is not FlawKind.METAL)
HALF = INCH // 2


@dataclass(frozen=True)
class Case:
    """A project and stock small enough to try everything."""

    parts: tuple[Part, ...]
    stock: tuple[Stock, ...]
    shop: Shop


def case(seed: int, plain: bool = False, usual: bool = False) -> Case:
    """Return a random case.

    A plain one has no rough edges, crook, taper or rule on short rips. A usual one is made in a
    shop that cuts in three stages (sheets in four) and rips nothing shorter than it mills.
    """
    rng = Random(seed)
    shop = _shop(rng, plain)
    if usual:
        short = shop.shortest_rip and 4 * INCH
        shop = replace(shop, stages=3, sheet_stages=4, shortest_rip=short, shortest_milled=4 * INCH)
    sheets = rng.random() < 0.3
    make = _sheet if sheets else _board
    stock = tuple(make(rng, f"S-{i}", plain) for i in range(rng.choice((1, 1, 1, 2, 2, 3))))
    kinds = rng.choice((1, 2, 2, 2, 3, 3, 4))
    parts = []
    left = 6 if rng.random() < 0.3 else 4
    for i in range(kinds):
        count = min(left - (kinds - 1 - i), rng.choice((1, 1, 1, 2, 2, 3)))
        left -= count
        parts.append(_part(rng, f"part {i}", count, sheets))
    return Case(tuple(parts), stock, shop)


def arched(seed: int) -> Case:
    """Return a random case of which one part has an arch, on stock with knots along its edges."""
    rng = Random(f"arched {seed}")
    asked = case(seed, plain=rng.random() < 0.8, usual=rng.random() < 0.7)
    length, width = rng.randint(5, 8) * INCH, rng.choice((2, 3, 3)) * INCH
    span = rng.randint(4 * INCH, length) // HALF * HALF
    start = rng.randint(0, (length - span) // HALF) * HALF
    rise = rng.choice((INCH, 3 * HALF, 2 * INCH))
    arch = Arch(rng.choice(("near", "far")), start, span, min(rise, width - HALF))
    first, *others = asked.parts
    part = replace(
        first,
        length=length,
        width=width,
        cutaways=(arch,),
        count=min(first.count, 2),
        allow=frozenset(),
        quality=rng.choice((Quality.CLEAR, Quality.CLEAR_FACE, Quality.SOUND)),
    )
    stock = tuple(_with_knots(rng, item) for item in asked.stock)
    return Case((part, *others), stock, asked.shop)


def _with_knots(rng: Random, item: Stock) -> Stock:
    wide = item.width_a if isinstance(item, Board) else item.width
    kinds = (FlawKind.KNOT, FlawKind.KNOT, FlawKind.ROT, FlawKind.CHECK, FlawKind.VOID)
    knots = []
    for _ in range(rng.choice((1, 2, 2))):
        x = rng.randint(item.length // 4 // HALF, 3 * item.length // 4 // HALF) * HALF
        y = rng.choice((0, 0, 0, HALF, wide // HALF * HALF - INCH))
        size = (rng.choice((HALF, INCH, 3 * HALF)), rng.choice((HALF, HALF, INCH)))
        knots.append(Flaw(rng.choice(kinds), x, y, *size, rng.choice(tuple(Face))))
    return replace(item, flaws=(*item.flaws, *knots))


def _shop(rng: Random, plain: bool) -> Shop:
    kerf = rng.choice((0, HALF, INCH, INCH, INCH))
    rip = rng.choice((0, kerf, kerf))
    return replace(
        INCH_SHOP,
        tape=INCH,
        grid=INCH,
        kerf=Kerfs(kerf, rip, rip, kerf, 0),
        blank_extra_length=0,
        blank_extra_width=0,
        end_trim=rng.choice((0, HALF, INCH, 2 * INCH)),
        edge_trim=rng.choice((0, HALF, INCH)),
        sheet_trim=rng.choice((0, 0, HALF, INCH)),
        flaw_margin=rng.choice((0, 0, HALF, INCH)),
        split_margin=rng.choice((0, INCH, 3 * HALF)),
        offcut_min=(rng.choice((2, 3, 4, 6)) * INCH, rng.choice((1, 2, 3)) * INCH),
        sheet_offcut_min=(rng.choice((3, 4, 5)) * INCH, rng.choice((1, 2, 3)) * INCH),
        offcut_credit=rng.choice((Fraction(0), Fraction(1, 2), Fraction(1, 2), Fraction(9, 10))),
        shortest_milled=rng.choice((0, 0, 4 * INCH)),
        shortest_rip=0 if plain else rng.choice((0, 0, 4 * INCH, 6 * INCH)),
        thick_spare=2 * INCH,
        first_cut=rng.choice((FirstCut.CROSSCUT, *FirstCut)),
        stages=rng.choice((1, 2, 3, 3, 3, 4, None)),
        sheet_stages=rng.choice((2, 3, 4, 4, None)),
    )


def _board(rng: Random, name: str, plain: bool) -> Board:
    length = rng.randint(9, 15) * INCH
    a = rng.randint(3, 5) * INCH
    b = a
    if not plain and rng.random() < 0.25:
        b = max(2 * INCH, a - rng.choice((HALF, INCH, 3 * HALF)))
        a, b = rng.choice(((a, b), (b, a)))
    if rng.random() < 0.2:
        length += HALF
    if rng.random() < 0.15:
        a, b = a + HALF, b + HALF
    rough = not plain and rng.random() < 0.5
    return Board(
        name,
        "maple",
        length,
        a,
        b,
        INCH,
        INCH,
        surface=rng.choice(tuple(Surface)),
        ends=rng.choice(tuple(Ends)),
        edges=Edges.ROUGH if rough else Edges.STRAIGHT,
        count=rng.choice((1, 1, 2)),
        bow=rng.choice((0, 0, 0, HALF)),
        crook=0 if plain else rng.choice((0, 0, INCH, 2 * INCH)),
        price=Fraction(rng.randint(2, 40), rng.choice((1, 2, 3))),
        per=rng.choice((Per.PIECE, Per.PIECE, Per.BOARD_FOOT)),
        show_face=rng.choice((None, Face.A, Face.B)),
        flaws=_flaws(rng, length, min(a, b)),
    )


def _sheet(rng: Random, name: str, plain: bool) -> Sheet:
    length, width = rng.randint(6, 11) * INCH, rng.randint(4, 7) * INCH
    if rng.random() < 0.2:
        length, width = length + HALF, width + HALF
    return Sheet(
        name,
        "maple",
        length,
        width,
        INCH // 2,
        INCH // 2,
        grain=rng.choice((SheetGrain.LENGTH, SheetGrain.LENGTH, SheetGrain.WIDTH)),
        count=rng.choice((1, 1, 2)),
        price=Fraction(rng.randint(2, 40)),
        flaws=_flaws(rng, length, width),
    )


def _flaws(rng: Random, length: int, width: int) -> tuple[Flaw, ...]:
    found = []
    for _ in range(rng.choice((0, 0, 1, 2, 3))):
        kind = rng.choice(KINDS)
        x = rng.randint(0, length // HALF - 1) * HALF
        y = rng.randint(0, width // HALF - 1) * HALF
        long = min(rng.randint(1, 4) * HALF, length - x)
        wide = min(rng.randint(1, 3) * HALF, width - y)
        sound = kind not in NEVER_SOUND and rng.random() < 0.4
        found.append(Flaw(kind, x, y, long, wide, rng.choice(tuple(Face)), sound))
    return tuple(found)


def _part(rng: Random, name: str, count: int, sheets: bool) -> Part:
    return Part(
        name,
        rng.randint(2, 6) * INCH - rng.choice((0, 0, HALF)),
        rng.randint(1, 3) * INCH - rng.choice((0, 0, HALF)),
        INCH // 2,
        ("maple",),
        count=count,
        grain=rng.choice((Grain.LENGTH, Grain.LENGTH, Grain.WIDTH, Grain.ANY)),
        quality=rng.choice(tuple(Quality)),
        allow=frozenset(rng.sample(KINDS, rng.choice((0, 0, 1)))),
    )
