"""What glue-ups ask for, before planning: how wide strips may be, how few of them do."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import crosscut_kerf, end_trim, far_loss, near_loss, rip_kerf
from nester.check.runs import bare
from nester.check.together import GlueRow
from nester.model import Grain, How, Match, Part, Project, Shop
from nester.problem.kinds import Line, Strip
from nester.problem.shapes import Row

MOST = 400
"""No more strips of one board are counted; no panel has as many."""


def glue_table(project: Project, stock: Sequence[Stock]) -> list[GlueRow]:
    """Return a row for each part that may be glued up, and for each run that one panel may give.

    What is counted is one panel, from all the boards: flaws, and what other parts take, apart.
    """
    boards = [item for item in stock if isinstance(item, Board)]
    found = [
        _panel(part.name, (part,), None, boards, project.shop)
        for part in project.parts
        if part.glue_up is not None
    ]
    parts = {part.name: part for part in project.parts}
    for match in project.matches:
        own = tuple(parts[name] for name in match.parts if name in parts)
        if _in_one_panel(match, own):
            line = Line(match, (Row(own, match),))
            found.append(_panel(match.name, own, line, boards, project.shop))
    return [row for row in found if row is not None]


def _in_one_panel(match: Match, parts: Sequence[Part]) -> bool:
    return (
        match.how in (How.WRAP, How.SEQUENCE)
        and len(parts) == len(match.parts)
        and all(p.glue_up is not None and p.grain is not Grain.WIDTH for p in parts)
    )


def _panel(
    name: str,
    parts: tuple[Part, ...],
    line: Line | None,
    boards: Sequence[Board],
    shop: Shop,
) -> GlueRow | None:
    found = [part.glue_up for part in parts if part.glue_up is not None]
    low = max(glue.narrowest for glue in found)
    high = min(*(glue.widest for glue in found), shop.jointer_width)
    each = max(glue.per_strip for glue in found)
    most = min(glue.max_strips for glue in found)
    need = max(_across(part) for part in parts)
    length, widths = 0, list[tuple[Length, str]]()
    for board in boards:
        strip = Strip(parts, line, 1)
        length = strip.length(board, shop)
        at_most = _widest(strip, board, low, high, shop)
        if at_most is not None:
            own = [
                width
                for width in _strips(board, length, low, at_most, shop)
                for _ in range(board.count)
            ]
            widths += [(width, board.id) for width in own[:MOST]]
    widths.sort(key=lambda pair: (-pair[0], pair[1]))
    made, strips = 0, None
    for count, (width, _) in enumerate(widths[:most], start=1):
        made += width - each
        if count > 1 and made >= need:
            strips = count
            break
    if not boards:
        return None
    widest, board_id = widths[0] if widths else (None, None)
    counted = strips if strips is not None else min(most, len(widths))
    return GlueRow(name, length, need, (low, high), widest, board_id, strips, max(made, 0), counted)


def _across(part: Part) -> Length:
    if part.grain is Grain.WIDTH:
        return part.length + part.extra_length
    return part.width + part.extra_width


def _widest(strip: Strip, board: Board, low: Length, high: Length, shop: Shop) -> Length | None:
    """Return the widest strip that a board may give, on the grid; None where it gives none."""
    first, last = -(-low // shop.grid), high // shop.grid
    if first > last or not _gives(replace(strip, width=first), board, shop):
        return None
    while first < last:  # the wider a strip, the more it warps and the more room it takes
        middle = (first + last + 1) // 2
        if _gives(replace(strip, width=middle), board, shop):
            first = middle
        else:
            last = middle - 1
    return first * shop.grid


def _gives(strip: Strip, board: Board, shop: Shop) -> bool:
    return bool(strip.options(0, bare(board, shop)))


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
