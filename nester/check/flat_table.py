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
    """A thickness asked for in a material, as it is milled, and the narrowest blank of that kind.

    ``plane_off`` is the parts' own, None where the shop's holds; ``extra`` the least that a blank
    is longer than what it gives.
    """

    thickness: Length
    width: Length
    extra: Length
    plane_off: Length | None = None
    pulled_flat: bool = False


@dataclass(frozen=True, slots=True)
class FlatRow:
    """What one board gives: for each thickness asked the length of the longest part.

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
    Parts with a ``plane_off`` of their own, or pulled flat, are asked for apart from the others.
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
    """Return the length of the longest part [1/320 mm], on the grid; 0 where there is none.

    It is that of the finished part with its joinery. None where planing the board down to the
    thickness would waste more than the shop allows.
    """
    off = plane_off(None, board, shop) if asked.plane_off is None else asked.plane_off
    if board.thickness - off - asked.thickness > shop.thick_spare:
        return None
    between_trims = (board.length - 2 * end_trim(board, shop)) // shop.grid * shop.grid
    width = min(asked.width, board.width)
    flat = longest_flat(board, off, asked.thickness, width, shop.grid, asked.pulled_flat)
    piece = min(flat, between_trims)
    return max(0, piece - asked.extra) if piece >= shop.shortest_milled else 0


def _row(board: Board, asked: Sequence[Asked], shop: Shop) -> FlatRow:
    return FlatRow(board, tuple(longest_part(board, one, shop) for one in asked))


def _asked(project: Project, material: str, board: Board) -> tuple[Asked, ...]:
    found: dict[tuple[Length, bool, Length], Asked] = {}
    for part in project.parts:
        if material not in {plain(name) for name in part.materials}:
            continue
        (way,) = needed(part, board, project.shop)
        own = part.plane_off
        extra = part.blank_extra_length
        extra = project.shop.blank_extra_length if extra is None else extra
        key = (part.thickness, part.pulled_flat, -1 if own is None else own)
        known = found.get(key)
        if known is not None:
            way_width, extra = min(known.width, way.width), min(known.extra, extra)
        else:
            way_width = way.width
        found[key] = Asked(part.thickness, way_width, extra, own, part.pulled_flat)
    return tuple(found[key] for key in sorted(found))
