"""Thickness on a board: what warp and planing leave must be enough, and not wastefully much.

A piece cut from a warped board keeps a share of the warp: bow goes with the square of its length,
cup with the square of its width, twist with both. Everything is compared exactly, in fractions.
"""

from collections.abc import Iterator
from fractions import Fraction

from inventory.length import FOOT, INCH
from nester.verify.blank import Blank
from nester.verify.fault import Fault
from nester.verify.number import mm
from nester.verify.records import Part, Shop, Stock

_PULLED_PER_FOOT = Fraction(INCH, 32) / FOOT


def check_thickness(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """What is left of the board's thickness over the needed size is at least the part's."""
    if not blank.stock.board:
        return
    stock, part = blank.stock, blank.part
    left = (
        stock.thickness
        - plane_off(shop, part, stock)
        - warp(stock, blank.need_x, blank.need_y, part.pulled_flat)
    )
    if left < part.thickness:
        message = f"the part is {mm(part.thickness)} thick, warp and planing leave less"
        yield Fault("thickness", message, blank.place, mm(left))


def check_spare_thickness(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """No part comes from a board much thicker than it needs."""
    if not blank.stock.board:
        return
    spare = blank.stock.thickness - plane_off(shop, blank.part, blank.stock) - blank.part.thickness
    if spare > shop.thick_spare:
        message = f"the board may be at most {mm(shop.thick_spare)} thicker than is needed"
        yield Fault("thick-spare", message, blank.place, mm(spare))


def plane_off(shop: Shop, part: Part, stock: Stock) -> int:
    """Return what flattening a flat board takes: by its surface, or the part's own value."""
    return shop.plane_off[stock.surface] if part.plane_off is None else part.plane_off


def warp(stock: Stock, along: int, across: int, pulled_flat: bool) -> Fraction:
    """Return what flattening a blank takes beyond that, for its size along and across the grain.

    Of a part that is pulled flat, 1/32 in of bow per foot of length is not charged.
    """
    long = Fraction(along, stock.length)
    wide = Fraction(across, stock.width)
    bow = stock.bow * long**2
    if pulled_flat:
        bow = max(bow - _PULLED_PER_FOOT * along, Fraction(0))
    return bow + stock.cup * wide**2 + stock.twist * long * wide
