"""The size of blank a part needs."""

from dataclasses import dataclass

from inventory.length import Length
from inventory.stock import Board, SheetGrain, Stock, Surface
from nester.model import Grain, Part, Shop


@dataclass(frozen=True, slots=True)
class Needed:
    """A blank as it lies on the stock: ``length`` along x, ``width`` across, both on the grid.

    ``turned``: the part's length lies across the stock. ``exact_length`` and ``exact_width`` are
    the same before rounding to the grid, as printed for sheets. ``own_width`` is the needed width
    of the part, whichever way it lies. ``padded``: made longer for the jointer and planer.
    """

    length: Length
    width: Length
    turned: bool
    exact_length: Length
    exact_width: Length
    own_width: Length
    padded: bool = False


def round_up(length: Length, grid: Length) -> Length:
    """Return the smallest multiple of ``grid`` that is not less than ``length``."""
    return -(-length // grid) * grid


def needed(part: Part, stock: Stock, shop: Shop) -> tuple[Needed, ...]:
    """Return the ways in which a blank for ``part`` may lie on ``stock``, as far as grain allows.

    On a board the part's grain runs along the board; on a sheet along the face grain, and a sheet
    without grain, or a part with grain "any" on a sheet, takes it either way.
    """
    if isinstance(stock, Board):
        return (_on_board(part, stock, shop),)
    length = part.length + part.extra_length
    width = part.width + part.extra_width
    ways = []
    for turned in _turns(part.grain, stock.grain):
        along, across = (width, length) if turned else (length, width)
        ways.append(
            Needed(
                length=round_up(along, shop.grid),
                width=round_up(across, shop.grid),
                turned=turned,
                exact_length=along,
                exact_width=across,
                own_width=round_up(width, shop.grid),
            )
        )
    if len(ways) == 2 and length == width:
        ways.pop()
    return tuple(ways)


def _on_board(part: Part, board: Board, shop: Shop) -> Needed:
    more_length = part.blank_extra_length
    if more_length is None:
        more_length = shop.blank_extra_length
    more_width = part.blank_extra_width
    if more_width is None:
        more_width = 0 if board.surface is Surface.S4S else shop.blank_extra_width
    length = part.length + part.extra_length + more_length
    width = part.width + part.extra_width + more_width
    turned = part.grain is Grain.WIDTH
    along, across = (width, length) if turned else (length, width)
    milled = max(along, shop.shortest_milled)
    return Needed(
        length=round_up(milled, shop.grid),
        width=round_up(across, shop.grid),
        turned=turned,
        exact_length=milled,
        exact_width=across,
        own_width=round_up(width, shop.grid),
        padded=milled > along,
    )


def _turns(part: Grain, sheet: SheetGrain) -> tuple[bool, ...]:
    if part is Grain.ANY or sheet is SheetGrain.NONE:
        return (False, True)
    along_length = (part is Grain.LENGTH) == (sheet is SheetGrain.LENGTH)
    return (not along_length,)
