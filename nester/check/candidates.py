"""Which stock a part may come from, and why the rest is ruled out, flaws apart."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.stock import Board, Sheet, Stock
from nester.blanks import Needed, Refusal, needed, refusal
from nester.blanks.eligible import plain
from nester.model import Part, Shop


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way of laying a part on one stock item; ``refusal`` is None where it may be had."""

    stock: Stock
    way: Needed
    refusal: Refusal | None


def candidates(part: Part, stock: Sequence[Stock], shop: Shop) -> list[Candidate]:
    """Return every way of laying ``part`` on every stock item."""
    return [
        Candidate(item, way, refusal(part, item, shop, way))
        for item in stock
        for way in needed(part, item, shop)
    ]


def of_material(part: Part, stock: Sequence[Stock]) -> list[Stock]:
    """Return the stock of a material that the part names."""
    wanted = {plain(name) for name in part.materials}
    return [item for item in stock if plain(material_of(item)) in wanted]


def material_of(item: Stock) -> str:
    """Return the species of a board or the material of a sheet."""
    return item.species if isinstance(item, Board) else item.material


def boards_in(stock: Sequence[Stock]) -> list[Board]:
    """Return the boards."""
    return [item for item in stock if isinstance(item, Board)]


def sheets_in(stock: Sequence[Stock]) -> list[Sheet]:
    """Return the sheets."""
    return [item for item in stock if isinstance(item, Sheet)]
