"""Why a part that may be glued up could not be had: what its narrowest strip would have needed."""

from dataclasses import replace

from inventory.stock import Board, Stock
from nester.blanks import plane_off
from nester.model import Grain, Part, Shop


def as_strip(part: Part, stock: Stock, shop: Shop) -> Part:
    """Return the narrowest strip of a part that may be glued up, as a part of its own.

    Raises ``ValueError`` for a part that may not be glued up.
    """
    glue = part.glue_up
    if glue is None:
        raise ValueError(f"{part.name} is not glued up")
    length = part.length + part.extra_length
    if part.grain is Grain.WIDTH:
        length = part.width + part.extra_width
    more = part.blank_extra_width if part.grain is Grain.WIDTH else part.blank_extra_length
    off = part.plane_off
    if isinstance(stock, Board):
        off = plane_off(part, stock, shop) + shop.panel_off
    return replace(
        part,
        length=length,
        width=min(glue.narrowest, shop.jointer_width),
        grain=Grain.LENGTH,
        extra_length=0,
        extra_width=0,
        blank_extra_length=more,
        blank_extra_width=0,
        plane_off=off,
        glue_up=None,
        cutaways=(),
    )
