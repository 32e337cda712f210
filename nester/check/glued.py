"""What glue-ups ask for, before planning: how wide strips may be, how few of them do."""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import replace

from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import (
    Needed,
    crosscut_kerf,
    end_trim,
    far_loss,
    near_loss,
    plane_off,
    refusal,
    rip_kerf,
)
from nester.check.composites import GlueRow
from nester.model import Grain, How, Match, Part, Project, Shop
from nester.problem.kinds import Line, Strip
from nester.problem.shapes import Row

MOST = 400
"""No more strips of one board are counted; no panel has as many."""


def glue_table(project: Project, stock: Sequence[Stock]) -> list[GlueRow]:
    """Return a row for each part that may be glued up, and for each run that one panel may give.

    What is counted is one panel, from all the boards: flaws, and what other parts take, apart.
    """
    boards = Boards([item for item in stock if isinstance(item, Board)], project.shop)
    if not boards.boards:
        return []
    found = [
        _panel(part.name, (part,), None, boards)
        for part in project.parts
        if part.glue_up is not None
    ]
    parts = {part.name: part for part in project.parts}
    for match in project.matches:
        own = tuple(parts[name] for name in match.parts if name in parts)
        if _in_one_panel(match, own):
            line = Line(match, (Row(own, match),))
            found.append(_panel(match.name, own, line, boards))
    return found


class Boards:
    """The boards at hand, and the strips that they give; what is asked for twice is kept."""

    def __init__(self, boards: Sequence[Board], shop: Shop) -> None:
        self.boards, self.shop = boards, shop
        self._known: dict[Hashable, list[tuple[Length, str]]] = {}

    def strips(
        self, parts: Sequence[Part], length: Length, low: Length, high: Length
    ) -> list[tuple[Length, str]]:
        """Return the width of each strip of a length, with its board's id, the widest first."""
        key = (length, low, high, frozenset(_likeness(part) for part in parts))
        if key not in self._known:
            found = [
                (width, board.id)
                for board in self.boards
                for width in self._of_board(board, parts, length, low, high)
            ]
            self._known[key] = sorted(found, key=lambda strip: (-strip[0], strip[1]))
        return self._known[key]

    def _of_board(
        self, board: Board, parts: Sequence[Part], length: Length, low: Length, high: Length
    ) -> list[Length]:
        if board.length < length:
            return []
        milled = _as_milled(parts, board, self.shop)
        widest = _widest(milled, length, board, low, high, self.shop)
        if widest is None:
            return []
        copies = range(min(board.count, MOST))
        own = _strips(board, length, low, widest, self.shop)
        return [width for width in own for _ in copies][:MOST]


def _in_one_panel(match: Match, parts: Sequence[Part]) -> bool:
    return (
        match.how in (How.WRAP, How.SEQUENCE)
        and len(parts) == len(match.parts)
        and all(p.glue_up is not None and p.grain is not Grain.WIDTH for p in parts)
    )


def _panel(name: str, parts: tuple[Part, ...], line: Line | None, boards: Boards) -> GlueRow:
    shop = boards.shop
    found = [part.glue_up for part in parts if part.glue_up is not None]
    low = max(glue.narrowest for glue in found)
    high = min(*(glue.widest for glue in found), shop.jointer_width)
    each = max(glue.per_strip for glue in found)
    most = min(glue.max_strips for glue in found)
    need = max(_across(part) for part in parts)
    length = Strip(parts, line, 1).length(boards.boards[0], shop)
    widths = boards.strips(parts, length, low, high)
    made, strips = 0, None
    for count, (width, _) in enumerate(widths[:most], start=1):
        made += width - each
        if count > 1 and made >= need:
            strips = count
            break
    widest, board_id = widths[0] if widths else (None, None)
    counted = strips if strips is not None else min(most, len(widths))
    return GlueRow(name, length, need, (low, high), widest, board_id, strips, max(made, 0), counted)


def _across(part: Part) -> Length:
    if part.grain is Grain.WIDTH:
        return part.length + part.extra_length
    return part.width + part.extra_width


def _widest(
    parts: Sequence[Part], length: Length, board: Board, low: Length, high: Length, shop: Shop
) -> Length | None:
    """Return the widest strip that a board may give, on the grid; None where it gives none.

    ``parts`` are those that the panel gives, as they are milled.
    """
    room = board.width - near_loss(board, shop, min(length, board.length)) - far_loss(board, shop)
    first, last = -(-low // shop.grid), min(high, room) // shop.grid

    def gives(width: int) -> bool:
        way = Needed(length, width * shop.grid, False, length, width * shop.grid, length)
        return all(refusal(part, board, shop, way) is None for part in parts)

    if first > last:
        return None
    if gives(last):
        return last * shop.grid
    if not gives(first):
        return None
    while first < last:  # the wider a strip, the more it warps
        middle = (first + last + 1) // 2
        if gives(middle):
            first = middle
        else:
            last = middle - 1
    return first * shop.grid


def _as_milled(parts: Sequence[Part], board: Board, shop: Shop) -> list[Part]:
    """Return parts as their panel's strips are milled: the most is planed off, and ``panel_off``.

    Parts that ask for the same are told once.
    """
    most = max(plane_off(part, board, shop) for part in parts) + shop.panel_off
    flat = all(part.pulled_flat for part in parts)
    found = {_likeness(part): part for part in parts}
    return [replace(part, plane_off=most, pulled_flat=flat) for part in found.values()]


def _likeness(part: Part) -> Hashable:
    """Return all of a part that tells which board may give its strips, but for their size."""
    asked = (part.thickness, part.plane_off, part.pulled_flat, part.sawn)
    return (*asked, part.materials, part.from_stock, part.not_from)


def _strips(
    board: Board, length: Length, low: Length, widest: Length, shop: Shop
) -> Iterator[Length]:
    """Yield the widths of the strips that a board gives, as wide as they come."""
    kerf = crosscut_kerf(board, shop)
    along = (board.length - 2 * end_trim(board, shop) + kerf) // (length + kerf)
    room = board.width - near_loss(board, shop, min(length, board.length)) - far_loss(board, shop)
    room = room // shop.grid * shop.grid
    while room >= low:
        width = min(room, widest)
        for _ in range(min(along, MOST)):
            yield width
        room -= width + rip_kerf(board, shop)
