"""The table of blanks: what must be sawn for each part, and how much wood that is."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from inventory.length import INCH, MM, Length
from inventory.measure import board_feet_of
from inventory.stock import Board, Sheet, Stock, Surface
from nester.blanks import Needed, needed, plane_off
from nester.check.candidates import Suited, boards_in, of_material, sheets_in
from nester.model import Part, Project, Shop

_ANY_BOARD = Board("", "", 2400 * MM, 200 * MM, 200 * MM, 25 * MM, 25 * MM)
_ANY_SHEET = Sheet("", "", 2440 * MM, 1220 * MM, 18 * MM, 18 * MM)
_QUARTER = INCH // 4


@dataclass(frozen=True, slots=True)
class BlankRow:
    """The blank of one part: on a board, on a sheet, or both where its material allows both.

    ``board`` is the blank on boards that lose the shop's allowance in width, ``dressed`` on S4S
    boards, None where there are none or the blank is the same there.

    ``sheet`` is the exact length and width needed. ``board_feet``, ``volume`` [cubic metres] and
    ``area`` [1/320 mm squared] are of all copies; None where there is no blank of that kind.
    ``bought`` is the thickness that board feet and volume are counted at.
    """

    part: Part
    board: Needed | None
    sheet: tuple[Length, Length] | None
    board_feet: Fraction | None
    area: int | None
    bought: Length | None
    dressed: Needed | None = None

    @property
    def volume(self) -> Fraction | None:
        """The volume of the blanks on boards at the thickness bought [cubic metres]."""
        if self.board is None or self.bought is None:
            return None
        each = self.board.length * self.board.width * self.bought
        return Fraction(self.part.copies * each, (1000 * MM) ** 3)


def blank_table(project: Project, stock: Sequence[Stock]) -> list[BlankRow]:
    """Return a row for each part.

    The stock of a part's materials tells whether it is sawn from boards or sheets; a material that
    the stock has not got may be either.
    """
    suited = Suited(stock, project.shop)
    by_material: dict[tuple[str, ...], list[Stock]] = {}
    rows = []
    for part in project.parts:
        if part.materials not in by_material:
            by_material[part.materials] = of_material(part, stock)
        rows.append(_row(part, by_material[part.materials], suited, project.shop))
    return rows


def thickness_to_buy(part: Part, suited: Sequence[Stock], shop: Shop) -> Length:
    """Return the thickness that a part's board feet are counted at [1/320 mm].

    That of the thinnest board that suits it; else of stock sold in quarters of an inch, from 4/4,
    the first that leaves the part's thickness after planing rough stock.
    """
    boards = boards_in(suited)
    if boards:
        return min(board.sold_as for board in boards)
    rough = part.thickness + plane_off(part, _ANY_BOARD, shop)
    return max(INCH, -(-rough // _QUARTER) * _QUARTER)


def _row(part: Part, stock: Sequence[Stock], suited: Suited, shop: Shop) -> BlankRow:
    boards, sheets = boards_in(stock), sheets_in(stock)
    unknown = not stock
    on_board = board_feet = bought = dressed = None
    if boards or unknown:
        (on_board,) = needed(part, _usual(boards), shop)
        dressed = _dressed(part, boards, shop)
        bought = thickness_to_buy(part, suited.to(part), shop)
        board_feet = part.copies * board_feet_of(on_board.length, on_board.width, bought)
    on_sheet = area = None
    if sheets or unknown:
        way = needed(part, sheets[0] if sheets else _ANY_SHEET, shop)[0]
        along, across = way.exact_length, way.exact_width
        on_sheet = (across, along) if way.turned else (along, across)
        area = part.copies * way.length * way.width
    return BlankRow(part, on_board, on_sheet, board_feet, area, bought, dressed)


def _dressed(part: Part, boards: Sequence[Board], shop: Shop) -> Needed | None:
    """Return the blank on the S4S boards, where it is another than on the usual ones."""
    for board in boards:
        if board.surface is Surface.S4S:
            (way,) = needed(part, board, shop)
            (rough,) = needed(part, replace(board, surface=Surface.ROUGH), shop)
            return None if way == rough else way
    return None


def _usual(boards: Sequence[Board]) -> Board:
    """Return the board that stands for all in the table: one that is not dressed to size."""
    rough = [board for board in boards if board.surface is not Surface.S4S]
    return (rough or list(boards) or [_ANY_BOARD])[0]
