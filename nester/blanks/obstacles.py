"""The flaws a blank must avoid, grown by the margin kept round them."""

from dataclasses import dataclass

from inventory.length import Length
from inventory.stock import Board, Face, Flaw, FlawKind, SheetGrain, Stock
from nester.blanks.needed import Needed
from nester.model import Part, Quality, Shop

ALONG_ONLY = frozenset({FlawKind.CHECK, FlawKind.SPLIT, FlawKind.SHAKE})
NO_MARGIN = frozenset({FlawKind.WANE, FlawKind.VOID})
ALWAYS = frozenset({FlawKind.METAL, FlawKind.VOID})
SMALL_ENOUGH = frozenset({FlawKind.KNOT, FlawKind.BARK_POCKET, FlawKind.WORM_HOLE})


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A flaw and the margins kept along x and y; a blank may abut it but not reach into it."""

    flaw: Flaw
    margin_x: Length
    margin_y: Length


def obstacles(
    part: Part, way: Needed, stock: Stock, shop: Shop
) -> dict[Face, tuple[Obstacle, ...]]:
    """Return the flaws that a blank must avoid, by the face that shows.

    A part that must be clear on one face may show either, so two lists come back, under A and B;
    for every other quality the faces do not matter and the one list stands under BOTH.
    """
    if part.quality is not Quality.CLEAR_FACE:
        found = (f for f in stock.flaws if _forbidden(part, way, f))
        return {Face.BOTH: tuple(_grown(f, stock, shop) for f in found)}
    return {
        shown: tuple(
            _grown(f, stock, shop)
            for f in stock.flaws
            if not _allowed(part, f) and (not f.sound or f.face in (shown, Face.BOTH))
        )
        for shown in (Face.A, Face.B)
    }


def _allowed(part: Part, flaw: Flaw) -> bool:
    return flaw.kind in part.allow and flaw.kind not in ALWAYS


def _forbidden(part: Part, way: Needed, flaw: Flaw) -> bool:
    if _allowed(part, flaw):
        return False
    if part.quality is Quality.CLEAR:
        return True
    if flaw.sound:
        return False
    if part.quality is Quality.HIDDEN and flaw.kind in SMALL_ENOUGH:
        return 3 * flaw.width > way.own_width
    return True


def _grown(flaw: Flaw, stock: Stock, shop: Shop) -> Obstacle:
    if flaw.sound or flaw.kind in NO_MARGIN:
        return Obstacle(flaw, 0, 0)
    if flaw.kind in ALONG_ONLY:
        grain = SheetGrain.LENGTH if isinstance(stock, Board) else stock.grain
        # Without a grain to follow a split may run on either way.
        along = 0 if grain is SheetGrain.WIDTH else shop.split_margin
        across = 0 if grain is SheetGrain.LENGTH else shop.split_margin
        return Obstacle(flaw, along, across)
    if flaw.kind is FlawKind.METAL:
        # A blank's edge is cut somewhere between it and the metal, so the saw's distance rules.
        margin = max(shop.flaw_margin, shop.metal_clear)
        return Obstacle(flaw, margin, margin)
    return Obstacle(flaw, shop.flaw_margin, shop.flaw_margin)
