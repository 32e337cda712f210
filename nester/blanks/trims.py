"""What a stock item loses at its ends and edges before a blank is taken from it."""

from fractions import Fraction

from inventory.length import Length
from inventory.stock import Board, Edges, Ends, Stock, Surface
from nester.blanks.needed import round_up
from nester.layout import Saw
from nester.model import Shop


def crosscut_kerf(stock: Stock, shop: Shop) -> Length:
    """Return the kerf of cuts across the length, on the grid."""
    kerf = shop.kerf.crosscut if isinstance(stock, Board) else shop.kerf.sheet
    return round_up(kerf, shop.grid)


def rip_saw(stock: Stock) -> Saw:
    """Return the saw that rips ``stock``: rough boards go to a line, others to the fence."""
    if not isinstance(stock, Board):
        return Saw.SHEET
    if stock.surface in (Surface.ROUGH, Surface.SKIP_PLANED):
        return Saw.ROUGH_RIP
    return Saw.RIP


def rip_kerf(stock: Stock, shop: Shop) -> Length:
    """Return the kerf of cuts along the length, on the grid."""
    saw = rip_saw(stock)
    if saw is Saw.SHEET:
        return round_up(shop.kerf.sheet, shop.grid)
    kerf = shop.kerf.rough_rip if saw is Saw.ROUGH_RIP else shop.kerf.rip
    return round_up(kerf, shop.grid)


def end_trim(stock: Stock, shop: Shop) -> Length:
    """Return what is lost at each end, kerf included, on the grid."""
    if isinstance(stock, Board):
        lost = shop.end_trim if stock.ends is Ends.ROUGH else 0
    else:
        lost = shop.sheet_trim
    return _at_least_kerf(lost, crosscut_kerf(stock, shop), shop)


def near_loss(stock: Stock, shop: Shop, length: Length) -> Length:
    """Return what a piece of this length loses at its near edge, kerf included, on the grid.

    A rough edge loses the edge trim; a crooked one its share of the crook over the length, which
    goes with the square of the length: ``crook * (length / board length)**2``.
    """
    if not isinstance(stock, Board):
        return _at_least_kerf(shop.sheet_trim, rip_kerf(stock, shop), shop)
    trim = shop.edge_trim if stock.edges is Edges.ROUGH else 0
    lost = trim + Fraction(stock.crook * length * length, stock.length * stock.length)
    return _at_least_kerf(-((-lost) // 1), rip_kerf(stock, shop), shop)


def near_losses(stock: Stock, shop: Shop, cells: int) -> list[Length]:
    """Return the near loss of a piece of 0, 1, … ``cells`` - 1 grid steps, and of the whole.

    Each is what ``near_loss`` gives; a long rack of boards asks for very many.
    """
    if not isinstance(stock, Board) or not stock.crook:
        return [near_loss(stock, shop, 0)] * (cells + 1)
    trim = shop.edge_trim if stock.edges is Edges.ROUGH else 0
    kerf, grid, square = rip_kerf(stock, shop), shop.grid, stock.length * stock.length
    shares = (
        -(-stock.crook * length * length // square) for length in range(0, cells * grid, grid)
    )
    lost = [_at_least_kerf(trim + share, kerf, shop) for share in shares]
    return [*lost, near_loss(stock, shop, stock.length)]


def far_loss(stock: Stock, shop: Shop) -> Length:
    """Return how far a blank stays below the narrowest width over its length, on the grid."""
    if not isinstance(stock, Board):
        lost = shop.sheet_trim
    else:
        lost = shop.edge_trim if stock.edges is Edges.ROUGH else 0
    return _at_least_kerf(lost, rip_kerf(stock, shop), shop)


def _at_least_kerf(lost: Length, kerf: Length, shop: Shop) -> Length:
    return max(round_up(lost, shop.grid), kerf) if lost else 0
