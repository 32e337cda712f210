"""How much flat thickness a piece of a warped board can give.

Bow and crook go with the square of the length, cup with the square of the width, twist with their
product: the sagitta of a shallow arc, s = L**2 / 8R. What each costs adds up.
"""

from fractions import Fraction

from inventory.length import FOOT, INCH, Length
from inventory.stock import Board, Surface
from nester.model import Part, PlaneOff, Shop

PULLED_PER_FOOT = Fraction(INCH, 32)
"""Bow per foot of length that the assembly pulls straight."""


def plane_off(part: Part | None, board: Board, shop: Shop) -> Length:
    """Return what planing takes from a flat board: the part's own figure before the shop's."""
    if part is not None and part.plane_off is not None:
        return part.plane_off
    return _by_surface(shop.plane_off, board.surface)


def thickness_left(
    board: Board, off: Length, length: Length, width: Length, pulled_flat: bool = False
) -> Fraction:
    """Return the flat thickness left in a piece milled as one [1/320 mm].

    ``length`` is along the grain, ``off`` what planing takes from a flat board.
    """
    left = Fraction(board.thickness - off)
    if board.bow:
        bow = Fraction(board.bow * length * length, board.length * board.length)
        if pulled_flat:
            bow = max(Fraction(0), bow - PULLED_PER_FOOT * Fraction(length, FOOT))
        left -= bow
    if board.cup:
        left -= Fraction(board.cup * width * width, board.width * board.width)
    if board.twist:
        left -= Fraction(board.twist * length * width, board.length * board.width)
    return left


def fits_flat(part: Part, board: Board, shop: Shop, length: Length, width: Length) -> bool:
    """Whether ``length`` by ``width`` of ``board`` is thick enough for ``part`` once flat."""
    off = plane_off(part, board, shop)
    return thickness_left(board, off, length, width, part.pulled_flat) >= part.thickness


def longest_flat(
    board: Board,
    off: Length,
    thickness: Length,
    width: Length,
    grid: Length,
    pulled_flat: bool = False,
) -> Length:
    """Return the longest piece, on the grid, that ``board`` gives flat at ``thickness``; 0 if none.

    ``off`` is what planing takes from a flat board (``plane_off``). Warp never falls as a piece
    gets longer, so the length is found by halving.
    """

    def fits(length: Length) -> bool:
        return thickness_left(board, off, length, width, pulled_flat) >= thickness

    low, high = 0, board.length // grid
    if fits(high * grid):
        return high * grid
    while low < high - 1:
        middle = (low + high) // 2
        if fits(middle * grid):
            low = middle
        else:
            high = middle
    return low * grid


def _by_surface(table: PlaneOff, surface: Surface) -> Length:
    return {
        Surface.ROUGH: table.rough,
        Surface.SKIP_PLANED: table.skip_planed,
        Surface.S2S: table.s2s,
        Surface.S4S: table.s4s,
    }[surface]
