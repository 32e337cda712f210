"""Why no stock gives a part, flaws apart: the sentence about the stock that comes nearest."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.formatter import Formatter
from inventory.stock import Board, Sheet, Stock, Surface
from nester.blanks import (
    Needed,
    Refusal,
    end_trim,
    far_loss,
    longest_flat,
    near_loss,
    needed,
    plane_off,
    refusal,
)
from nester.blanks.eligible import flat_thickness
from nester.model import Part, Shop

_NEARER = (
    Refusal.MATERIAL,
    Refusal.NOT_FROM,
    Refusal.SAWN,
    Refusal.TOO_THICK,
    Refusal.THICKNESS,
    Refusal.TOO_THIN,
    Refusal.TOO_SHORT,
    Refusal.TOO_NARROW,
)
"""Refusals, the nearest to a fit last: the nearest miss is the one worth telling."""


ON_S4S = "on S4S"
"""Said of a blank's size on boards that need no jointing, where it is smaller than on others."""


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


def on_s4s(part: Part, stock: Stock, shop: Shop) -> str:
    """Return " on S4S" where a blank from ``stock`` has no allowance in width for that; else ""."""
    dressed = isinstance(stock, Board) and stock.surface is Surface.S4S
    less = dressed and part.blank_extra_width is None and shop.blank_extra_width > 0
    return f" {ON_S4S}" if less else ""


def why_unfit(part: Part, refused: Sequence[Candidate], shop: Shop, sizes: Formatter) -> str:
    """Return one sentence on why no stock gives ``part``.

    ``refused`` is every way of laying it on the stock, none of which may be had.
    """
    named = " or ".join(part.materials)
    nearest = max((_rank(c) for c in refused), default=0)
    if nearest == 0:
        there = sorted({c.stock.material for c in refused}, key=str.casefold)
        return f"there is no {named} in the stock; there is {', '.join(there) or 'nothing'}"
    near = [c for c in refused if _rank(c) == nearest]
    match _NEARER[nearest]:
        case Refusal.NOT_FROM:
            return f"all {named} in the stock is ruled out by from or not_from"
        case Refusal.SAWN:
            assert part.sawn is not None
            return f"no {named} in the stock is said to be sawn {part.sawn.value}"
        case Refusal.TOO_THICK:
            return _too_thick(part, near, named, shop, sizes)
        case Refusal.THICKNESS:
            return _thickness(part, near, named, sizes)
        case Refusal.TOO_THIN:
            return _too_thin(part, near, named, shop, sizes)
        case Refusal.TOO_SHORT:
            return _too_short(near, named, shop, sizes)
    return _too_narrow(part, near, named, shop, sizes)


def _rank(candidate: Candidate) -> int:
    assert candidate.refusal is not None
    return _NEARER.index(candidate.refusal)


def _too_thick(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    board = min((c.stock for c in near), key=lambda item: item.thickness)
    return (
        f"all {named} is too thick to plane down to {sizes.full(part.thickness)}: the thinnest is "
        f"{board.id} with {sizes.full(board.thickness)}, and thick_spare allows "
        f"{sizes.full(shop.thick_spare)} to spare"
    )


def _thickness(part: Part, near: Sequence[Candidate], named: str, sizes: Formatter) -> str:
    there = sorted({c.stock.thickness for c in near if isinstance(c.stock, Sheet)})
    found = ", ".join(sizes.full(thickness) for thickness in there)
    return f"no sheet of {named} is {sizes.full(part.thickness)} thick; there is {found}"


def _too_thin(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    left, board, way = max(
        (
            (flat_thickness(part, c.stock, shop, c.way), c.stock, c.way)
            for c in near
            if isinstance(c.stock, Board)
        ),
        key=lambda found: found[0],
    )
    text = (
        f"no {named} leaves {sizes.full(part.thickness)} flat over a blank of "
        f"{sizes.size(way.length, way.width)}{on_s4s(part, board, shop)}; the best is {board.id} "
        f"with {sizes.length(max(left, 0))}"
    )
    length, best = max(
        (_longest_flat(part, c.stock, c.way, shop), c.stock.id)
        for c in near
        if isinstance(c.stock, Board)
    )
    if length > 0:
        text += f"; {best} gives it up to a blank {sizes.length(length)} long"
    return text


def _longest_flat(part: Part, board: Board, way: Needed, shop: Shop) -> int:
    off = plane_off(part, board, shop)
    return longest_flat(board, off, part.thickness, way.width, shop.grid, part.pulled_flat)


def _too_short(near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter) -> str:
    need = min(c.way.length for c in near)
    room, best = max((c.stock.length - 2 * end_trim(c.stock, shop), c.stock.id) for c in near)
    return (
        f"the blank is {sizes.length(need)} long, and no {named} that fits otherwise is; the "
        f"longest is {best} with {sizes.length(max(room, 0))} between its trims"
    )


def _too_narrow(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    least = min(near, key=lambda c: c.way.width)
    need, where = least.way.width, on_s4s(part, least.stock, shop)
    room, best = max((_clear_width(c, shop), c.stock.id) for c in near)
    return (
        f"the blank is {sizes.length(need)} wide{where}, and no {named} that fits otherwise is; "
        f"the widest is {best} with {sizes.length(max(room, 0))} between its edges"
        f"{_instead(part, near)}"
    )


def _instead(part: Part, near: Sequence[Candidate]) -> str:
    """Return the way out where a part is wider than every board."""
    if part.glue_up is not None or not any(isinstance(c.stock, Board) for c in near):
        return ""
    return "; with glue_up it could be made up of narrower strips"


def _clear_width(candidate: Candidate, shop: Shop) -> int:
    item = candidate.stock
    length = min(candidate.way.length, item.length)
    return item.width - near_loss(item, shop, length) - far_loss(item, shop)
