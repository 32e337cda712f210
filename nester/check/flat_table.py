"""How long a part each board can give flat, by the thicknesses that are asked for."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import end_trim, longest_flat, needed, plane_off
from nester.blanks.eligible import plain
from nester.check.candidates import boards_in
from nester.model import Project, Shop


@dataclass(frozen=True, slots=True)
class Asked:
    """A thickness asked for in a material, and the narrowest blank of that thickness."""

    thickness: Length
    width: Length


@dataclass(frozen=True, slots=True)
class FlatRow:
    """What one board gives: for each thickness asked the finished length of the longest part.

    A length is 0 where the board is too thin throughout, None where it is too thick to plane down.
    """

    board: Board
    longest: tuple[Length | None, ...]


@dataclass(frozen=True, slots=True)
class FlatTable:
    """The boards of one material under the thicknesses asked for in it, thinnest first."""

    material: str
    asked: tuple[Asked, ...]
    rows: tuple[FlatRow, ...]


def flat_tables(project: Project, stock: Sequence[Stock]) -> list[FlatTable]:
    """Return a table for each material that the project asks for in boards, flaws apart.

    The width that cup and twist are reckoned over is that of the narrowest blank of a thickness.
    """
    tables: dict[str, list[Board]] = {}
    for board in boards_in(stock):
        tables.setdefault(plain(board.species), []).append(board)
    found = []
    for material, boards in tables.items():
        asked = _asked(project, material, boards[0])
        if asked:
            rows = tuple(_row(board, asked, project.shop) for board in boards)
            found.append(FlatTable(boards[0].species, asked, rows))
    return found


def longest_part(board: Board, asked: Asked, shop: Shop) -> Length | None:
    """Return the finished length of the longest part [1/320 mm], on the grid; 0 where none is.

    None where planing the board down to the thickness would waste more than the shop allows.
    """
    if board.thickness - plane_off(None, board, shop) - asked.thickness > shop.thick_spare:
        return None
    between_trims = (board.length - 2 * end_trim(board, shop)) // shop.grid * shop.grid
    piece = longest_flat(board, shop, asked.thickness, min(asked.width, board.width), shop.grid)
    return max(0, min(piece, between_trims) - shop.blank_extra_length)


def _row(board: Board, asked: Sequence[Asked], shop: Shop) -> FlatRow:
    return FlatRow(board, tuple(longest_part(board, one, shop) for one in asked))


def _asked(project: Project, material: str, board: Board) -> tuple[Asked, ...]:
    narrowest: dict[Length, Length] = {}
    for part in project.parts:
        if material in {plain(name) for name in part.materials}:
            (way,) = needed(part, board, project.shop)
            known = narrowest.get(part.thickness, way.width)
            narrowest[part.thickness] = min(known, way.width)
    return tuple(Asked(thickness, narrowest[thickness]) for thickness in sorted(narrowest))
