"""Published jobs in abstract units: one unit is one grid cell, nothing is lost but what is said."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from inventory.length import LONGEST, MM, Length
from inventory.stock import Board, Edges, Ends, Per, Sheet, SheetGrain, Stock, Surface
from nester.model import Grain, Kerfs, Part, PlaneOff, Project, Shop, System
from nester.shop_defaults import METRIC_SHOP

THICKNESS = 20 * MM
MATERIAL = "plate"


@dataclass(frozen=True, slots=True)
class Plate:
    """A kind of plate [units] and what one costs. There are as many as anyone wants."""

    length: int
    width: int
    price: int = 1


@dataclass(frozen=True, slots=True)
class Item:
    """A kind of rectangle [units] and how many are wanted."""

    length: int
    width: int
    copies: int = 1


def cell(largest: int) -> Length:
    """Return the size of a unit: 1 mm, or 0.1 mm where that would be longer than stock may be."""
    return MM if largest * MM <= LONGEST else MM // 10


def bare_shop(grid: Length, kerf: Length = 0) -> Shop:
    """Return a shop that saws exactly to size and gives nothing for offcuts."""
    return replace(
        METRIC_SHOP,
        tape=grid,
        grid=grid,
        kerf=Kerfs(crosscut=kerf, rip=kerf, rough_rip=kerf, sheet=kerf, resaw=kerf),
        blank_extra_length=0,
        blank_extra_width=0,
        plane_off=PlaneOff(rough=0, skip_planed=0, s2s=0, s4s=0),
        panel_off=0,
        end_trim=0,
        edge_trim=0,
        sheet_trim=0,
        flaw_margin=0,
        split_margin=0,
        metal_clear=0,
        offcut_credit=Fraction(0),
        shortest_milled=0,
        shortest_rip=0,
        stages=3,
        sheet_stages=None,
    )


def merged(items: Iterable[Item]) -> list[Item]:
    """Return the items with those of one size put together, largest first."""
    counts: Counter[tuple[int, int]] = Counter()
    for item in items:
        counts[item.length, item.width] += item.copies
    found = [Item(*size, copies) for size, copies in counts.items()]
    return sorted(found, key=lambda i: (-i.length * i.width, -i.length))


def sheets_job(
    name: str, plates: Sequence[Plate], items: Iterable[Item], *, turn: bool = False, kerf: int = 0
) -> tuple[Project, tuple[Stock, ...]]:
    """Return the job of cutting all items from plates at the least price.

    ``turn``: items may lie either way. With a ``kerf`` [units] everything is made smaller by it,
    so that the answer stays the same: what is sawn takes an item and a kerf on two sides, and the
    kerf beside the far edges may run off the plate.
    """
    wanted = merged(items)
    unit = cell(max(max(p.length, p.width) for p in plates))
    pieces = sum(item.copies for item in wanted)
    digits = len(str(len(wanted)))
    parts = tuple(
        Part(
            name=f"item {i:0{digits}}",
            length=(item.length - kerf) * unit,
            width=(item.width - kerf) * unit,
            thickness=THICKNESS,
            materials=(MATERIAL,),
            count=item.copies,
            grain=Grain.ANY if turn else Grain.LENGTH,
        )
        for i, item in enumerate(wanted, start=1)
    )
    stock = tuple(
        Sheet(
            id=f"plate {i}",
            material=MATERIAL,
            length=(plate.length - kerf) * unit,
            width=(plate.width - kerf) * unit,
            thickness=THICKNESS,
            nominal=THICKNESS,
            grain=SheetGrain.LENGTH,
            count=pieces,
            price=Fraction(plate.price),
            per=Per.PIECE,
        )
        for i, plate in enumerate(plates, start=1)
    )
    shop = bare_shop(unit, kerf * unit)
    return Project(name=name, units=System.METRIC, shop=shop, parts=parts), stock


def bars_job(
    name: str, length: int, items: Iterable[tuple[int, int]]
) -> tuple[Project, tuple[Stock, ...]]:
    """Return the job of cutting lengths (length, copies) from the fewest boards of one width."""
    wanted = merged(Item(size, 1, copies) for size, copies in items)
    unit = cell(length)
    digits = len(str(len(wanted)))
    parts = tuple(
        Part(
            name=f"length {i:0{digits}}",
            length=item.length * unit,
            width=unit,
            thickness=THICKNESS,
            materials=(MATERIAL,),
            count=item.copies,
        )
        for i, item in enumerate(wanted, start=1)
    )
    board = Board(
        id="board",
        species=MATERIAL,
        length=length * unit,
        width_a=unit,
        width_b=unit,
        thickness=THICKNESS,
        sold_as=THICKNESS,
        surface=Surface.S4S,
        ends=Ends.SQUARE,
        edges=Edges.STRAIGHT,
        count=sum(item.copies for item in wanted),
        price=Fraction(1),
        per=Per.PIECE,
    )
    return Project(name=name, units=System.METRIC, shop=bare_shop(unit), parts=parts), (board,)
