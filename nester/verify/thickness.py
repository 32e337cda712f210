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
from nester.verify.records import Shop, Stock

_PULLED_PER_FOOT = Fraction(INCH, 32) / FOOT


def check_thickness(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """What is left of the thickness over the size that is milled is at least the part's.

    A resawn leaf has its own thickness and the warp of the whole board.
    """
    if not blank.stock.board:
        return
    stock, part = blank.stock, blank.part
    lost = warp(stock, blank.milled_x, blank.milled_y, blank.pulled_flat)
    left = blank.thickness - blank.taken - lost
    if left < part.thickness:
        message = f"the part is {mm(part.thickness)} thick, warp and planing leave less"
        yield Fault("thickness", message, blank.place, mm(left))


def check_spare_thickness(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """No part comes from a board much thicker than it needs; resawn leaves are not asked."""
    if not blank.stock.board or blank.resawn:
        return
    spare = blank.thickness - blank.taken - blank.part.thickness
    if spare > shop.thick_spare:
        message = f"the board may be at most {mm(shop.thick_spare)} thicker than is needed"
        yield Fault("thick-spare", message, blank.place, mm(spare))


def warp(
    stock: Stock, along: int | Fraction, across: int | Fraction, pulled_flat: bool
) -> Fraction:
    """Return what flattening a blank takes beyond that, for its size along and across the grain.

    Of a part that is pulled flat, 1/32 in of bow per foot of length is not charged.
    """
    long = Fraction(along) / stock.length
    wide = Fraction(across) / stock.width
    bow = stock.bow * long**2
    if pulled_flat:
        bow = max(bow - _PULLED_PER_FOOT * along, Fraction(0))
    return bow + stock.cup * wide**2 + stock.twist * long * wide
