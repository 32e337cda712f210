"""How much wood a piece of stock is, by the measures it is sold in, and what it is worth.

The true measure is exact and values the stock. The yard's own tally (surface measure, rounded to
whole feet) is what a hardwood dealer writes on the bill; it is shown where money is spent and never
used in a plan.
"""

from collections.abc import Iterable
from fractions import Fraction

from inventory.length import FOOT, INCH, MM, Length
from inventory.stock import Board, Per, Sheet, Stock

_SQUARE_FOOT = FOOT * FOOT
_BOARD_FOOT = 144 * INCH**3
_SQUARE_METRE = (1000 * MM) ** 2
_CUBIC_METRE = (1000 * MM) ** 3

Width = int | Fraction


def mean_width(stock: Stock) -> Fraction:
    """Return the mean of the widths at both ends [1/320 mm]."""
    if isinstance(stock, Sheet):
        return Fraction(stock.width)
    return Fraction(stock.width_a + stock.width_b, 2)


def sold_thickness(stock: Stock) -> Length:
    """Return the thickness that is paid for: ``sold_as`` of a board, ``nominal`` of a sheet."""
    return stock.nominal if isinstance(stock, Sheet) else stock.sold_as


def area(stock: Stock) -> Fraction:
    """Return the area of one piece's face [(1/320 mm)²], the taper of a board allowed for."""
    return stock.length * mean_width(stock)


def square_feet(stock: Stock) -> Fraction:
    """Return the area of one piece's face in square feet, exact."""
    return area(stock) / _SQUARE_FOOT


def square_metres(stock: Stock) -> Fraction:
    """Return the area of one piece's face in square metres, exact."""
    return area(stock) / _SQUARE_METRE


def cubic_metres(stock: Stock) -> Fraction:
    """Return the volume of one piece in cubic metres, by the thickness sold, exact."""
    return area(stock) * sold_thickness(stock) / _CUBIC_METRE


def board_feet(stock: Stock) -> Fraction:
    """Return the true board feet of one piece, exact."""
    return board_feet_of(stock.length, mean_width(stock), sold_thickness(stock))


def board_feet_of(length: Length, width: Width, thickness: Length) -> Fraction:
    """Return length x width x thickness / 144 in³; a thickness under 1 in counts as 1 in.

    A board foot is 144 cubic inches: a foot square, an inch thick. That thinner stock counts as an
    inch is how hardwood is tallied.
    """
    return Fraction(length * max(thickness, INCH) * width) / _BOARD_FOOT


def value_of(stock: Stock) -> Fraction:
    """Return what one piece is worth: its price times its true measure."""
    measures = {
        Per.BOARD_FOOT: board_feet,
        Per.SQUARE_FOOT: square_feet,
        Per.SQUARE_METRE: square_metres,
        Per.CUBIC_METRE: cubic_metres,
    }
    return stock.price * (measures[stock.per](stock) if stock.per in measures else 1)


def surface_measure(length: Length, width: Width, *, half_up: bool = True) -> int:
    """Return the surface measure of a hardwood board in whole square feet, by the NHLA rule.

    Width in inches with fractions, times the length in whole feet (a fraction of a foot is
    dropped), over 12, to the nearest whole number; ``half_up`` says where an exact half goes.

    NHLA, *Rules for the Measurement & Inspection of Hardwood & Cypress* (2015), paragraph 16.
    """
    feet = length // FOOT
    exact = Fraction(width) / INCH * feet / 12
    whole, rest = divmod(exact, 1)
    if rest == Fraction(1, 2):
        return int(whole) + half_up
    return int(whole) + (rest > Fraction(1, 2))


def tally_width(board: Board) -> Fraction:
    """Return the width at which a board is tallied [1/320 mm].

    A tapering board is measured a third of its length from the narrow end (NHLA, from memory).
    """
    narrow, wide = sorted((board.width_a, board.width_b))
    return narrow + Fraction(wide - narrow, 3)


def yard_tally(boards: Iterable[Board]) -> Fraction:
    """Return the board feet a yard bills: each piece's surface measure times the thickness sold.

    Of pieces that fall exactly on a half the first goes up, the next down, and so on. A thickness
    under 1 in counts as 1 in.
    """
    total = Fraction(0)
    half_up = True
    for board in boards:
        width = tally_width(board)
        thickness = Fraction(max(board.sold_as, INCH), INCH)
        for _ in range(board.count):
            up, down = (surface_measure(board.length, width, half_up=h) for h in (True, False))
            total += (up if half_up else down) * thickness
            half_up ^= up != down
    return total
