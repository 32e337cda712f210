"""A layout in whole cells: rows of pieces, rows within rows, down to blanks.

A row lies along x (made by crosscuts) or y (made by rips). Its pieces stand in order with a kerf,
or a kerf, a leftover and a kerf, between them; a piece is a blank or a row in the other direction.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from nester.problem import Option, StockItem
from nester.solve.kernels.met import meets

Rect: TypeAlias = tuple[int, int, int, int]
"""x1, y1, x2, y2 [cells]."""


@dataclass(frozen=True, slots=True)
class Blank:
    """A piece that becomes a blank: ``option`` is an index into the stock item's options."""

    option: int


@dataclass(frozen=True, slots=True)
class Row:
    """Pieces along ``axis`` ("x" or "y"), each from ``start`` to ``end`` of it [cells]."""

    axis: str
    pieces: tuple[tuple[int, int, "Row | Blank"], ...]


def blanks(row: Row, rect: Rect) -> Iterator[tuple[int, Rect]]:
    """Yield every blank's option and rectangle."""
    for start, end, piece in row.pieces:
        box = _part(rect, row.axis, start, end)
        if isinstance(piece, Blank):
            yield piece.option, box
        else:
            yield from blanks(piece, box)


def leftovers(row: Row, rect: Rect, item: StockItem) -> Iterator[Rect]:
    """Yield the rectangles left over in ``rect`` once the row is sawn from it."""
    kerf = item.kx if row.axis == "x" else item.ky
    low, high = (rect[0], rect[2]) if row.axis == "x" else (rect[1], rect[3])
    at = low
    for start, end, piece in row.pieces:
        if start - kerf > at:
            yield _part(rect, row.axis, at, start - kerf)
        if isinstance(piece, Row):
            yield from leftovers(piece, _part(rect, row.axis, start, end), item)
        at = end + kerf
    if not row.pieces:
        yield rect
    elif at < high:
        yield _part(rect, row.axis, at, high)


def sawable(row: Row, rect: Rect, item: StockItem) -> bool:
    """Whether the saw's kerf fits between all pieces: one kerf, or two and a leftover."""
    kerf = item.kx if row.axis == "x" else item.ky
    at = rect[0] if row.axis == "x" else rect[1]
    first = True
    for start, end, piece in row.pieces:
        if start != at and start - at < kerf:
            return False
        if isinstance(piece, Row) and not sawable(piece, _part(rect, row.axis, start, end), item):
            return False
        at, first = end + kerf, False
    return not first


def kerfs(row: Row, rect: Rect, item: StockItem) -> Iterator[Rect]:
    """Yield what the saw turns to dust, near-edge trims of board sections included."""
    kerf = item.kx if row.axis == "x" else item.ky
    low, high = (rect[0], rect[2]) if row.axis == "x" else (rect[1], rect[3])
    at = low
    if row.axis == "y" and low == 0:
        at = int(item.near[min(rect[2] - rect[0], item.nx)])
        if at:
            yield _part(rect, "y", at - kerf, at)
    for start, end, piece in row.pieces:
        if start > at:
            yield _part(rect, row.axis, start - kerf, start)
        if end < high:
            yield _part(rect, row.axis, end, min(end + kerf, high))
        if isinstance(piece, Row):
            yield from kerfs(piece, _part(rect, row.axis, start, end), item)
        at = end + kerf


def clear_of_metal(row: Row, item: StockItem) -> bool:
    """Whether no cut of a layout comes too close to metal."""
    if not len(item.metal):
        return True
    return not any(
        x1 < c and x2 > a and y1 < d and y2 > b
        for x1, y1, x2, y2 in kerfs(row, usable(item), item)
        for a, b, c, d in item.metal
    )


def usable(item: StockItem) -> Rect:
    """Return the rectangle that is sawn up: between a board's end trims, within a sheet's trims."""
    edge = 0 if item.board else int(item.near[0])
    return (item.x0, edge, item.x1, item.ny - edge)


def is_offcut(rect: Rect, item: StockItem) -> bool:
    """Whether a leftover is big enough to keep."""
    length, width = rect[2] - rect[0], rect[3] - rect[1]
    if length >= item.off_length and width >= item.off_width:
        return True
    return item.off_either and width >= item.off_length and length >= item.off_width


def credit_cells(rect: Rect, item: StockItem) -> int:
    """Return the creditable cells in a rectangle."""
    x1, y1, x2, y2 = rect
    sums = item.credit
    return int(sums[y2, x2] - sums[y1, x2] - sums[y2, x1] + sums[y1, x1])


def cost(row: Row, item: StockItem) -> int:
    """Return what a layout costs [ticks]: the price less the credit of its offcuts."""
    cells = sum(
        credit_cells(rect, item)
        for rect in leftovers(row, usable(item), item)
        if is_offcut(rect, item)
    )
    return item.value - item.cell_credit * cells


def shown(option: Option, rect: Rect, item: StockItem) -> tuple[bool, bool] | None:
    """Return the first way the blank is clear, None where in none.

    It is told as whether face B shows and whether the part is turned end for end.
    """
    x1, y1, x2, y2 = rect
    if option.most and y2 - y1 > option.most:
        return None
    # Past the last whole cells a blank is larger than its cells say, so its cutaways lie elsewhere.
    loose = item.beyond and (x2 == item.nx or y2 == item.ny)
    for side, (index, flipped) in enumerate(option.shows):
        found = item.blocks[index]
        clear = not meets(found, x1, y1, x2, y2)
        if not clear and index < len(item.excuses) and not loose:
            hit = (found[:, 0] < x2) & (found[:, 2] > x1) & (found[:, 1] < y2) & (found[:, 3] > y1)
            for row, excuse in item.excuses[index]:
                if hit[row] and excuse.holds(x1, y1, x2, y2):
                    hit[row] = False
            clear = not hit.any()
        if clear:
            return flipped, bool(option.reversed) and option.reversed[side]
    return None


def _part(rect: Rect, axis: str, start: int, end: int) -> Rect:
    if axis == "x":
        return (start, rect[1], end, rect[3])
    return (rect[0], start, rect[2], end)
