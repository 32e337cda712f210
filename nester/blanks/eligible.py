"""Whether a stock item may give a part at all, flaws apart, and if not, why not."""

from dataclasses import dataclass
from enum import Enum

from inventory.length import MM
from inventory.stock import Board, Sheet, Stock
from nester.blanks.needed import Needed
from nester.blanks.thickness import fits_flat, plane_off, thickness_left
from nester.blanks.trims import end_trim, far_loss, near_loss
from nester.model import Part, Shop

SHEET_TOLERANCE = MM // 2
"""A sheet's measured or nominal thickness may differ this much from the part's."""


class Refusal(Enum):
    """Why a stock item cannot give a part."""

    MATERIAL = "another material"
    NOT_FROM = "kept for other parts, or ruled out"
    SAWN = "sawn another way"
    THICKNESS = "not the thickness"
    TOO_THIN = "too thin once flat"
    TOO_THICK = "too thick to plane down"
    TOO_SHORT = "too short"
    TOO_NARROW = "too narrow"


@dataclass(frozen=True, slots=True)
class _Room:
    length: int
    width: int


def plain(name: str) -> str:
    """Return a material's name as compared: case and spacing do not matter."""
    return " ".join(name.casefold().split())


def refusal(part: Part, stock: Stock, shop: Shop, way: Needed) -> Refusal | None:
    """Return why ``stock`` cannot give ``part`` lying this way, or None where it may.

    Flaws are not looked at.
    """
    material = stock.species if isinstance(stock, Board) else stock.material
    if plain(material) not in {plain(name) for name in part.materials}:
        return Refusal.MATERIAL
    if part.from_stock and stock.id not in part.from_stock:
        return Refusal.NOT_FROM
    if stock.id in part.not_from:
        return Refusal.NOT_FROM
    if isinstance(stock, Sheet):
        if part.sawn is not None:
            return Refusal.SAWN
        if not _sheet_thickness(part, stock):
            return Refusal.THICKNESS
        return _room_refusal(stock, shop, way)
    if part.sawn is not None and stock.sawn is not part.sawn:
        return Refusal.SAWN
    off = plane_off(part, stock, shop)
    if stock.thickness - off - part.thickness > shop.thick_spare:
        return Refusal.TOO_THICK
    if not fits_flat(part, stock, shop, way.length, way.width):
        return Refusal.TOO_THIN
    return _room_refusal(stock, shop, way)


def flat_thickness(part: Part, board: Board, shop: Shop, way: Needed) -> int:
    """Return the flat thickness left for this blank, rounded down [1/320 mm]."""
    off = plane_off(part, board, shop)
    return int(thickness_left(board, off, way.length, way.width, part.pulled_flat) // 1)


def _sheet_thickness(part: Part, sheet: Sheet) -> bool:
    return any(
        abs(found - part.thickness) <= SHEET_TOLERANCE for found in (sheet.thickness, sheet.nominal)
    )


def _room_refusal(stock: Stock, shop: Shop, way: Needed) -> Refusal | None:
    room = _room(stock, shop, way.length)
    if way.length > room.length:
        return Refusal.TOO_SHORT
    if way.width > room.width:
        return Refusal.TOO_NARROW
    return None


def _room(stock: Stock, shop: Shop, length: int) -> _Room:
    trim = end_trim(stock, shop)
    return _Room(
        stock.length - 2 * trim,
        stock.width - near_loss(stock, shop, min(length, stock.length)) - far_loss(stock, shop),
    )
