"""First plans for plain stock from a rectangle packer, taken apart into saw cuts.

``rectpack`` places rectangles by rules of thumb (Jylänki 2010, "A thousand ways to pack the bin").
What it returns is only positions; a layout comes of them where straight cuts, edge to edge, part
all the pieces within the stages allowed, and where no flaw is met.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import rectpack

from nester.problem import Option, Problem, StockItem
from nester.solve.columns import Column, column
from nester.solve.rows import Blank, Rect, Row, blanks, clear_of_metal, sawable, shown, usable

ALGORITHMS = (
    rectpack.GuillotineBssfSas,
    rectpack.GuillotineBafLas,
    rectpack.GuillotineBlsfLlas,
)


@dataclass(frozen=True, slots=True)
class _Placed:
    rect: Rect
    option: int


def starts(problem: Problem) -> list[list[Column]]:
    """Return whole sets of layouts, one a rule of thumb; they may leave demands out."""
    sheets = [s for s, item in enumerate(problem.stock) if not item.board]
    if not sheets:
        return []
    return [_start(problem, sheets, algorithm) for algorithm in ALGORITHMS]


def _start(problem: Problem, sheets: Sequence[int], algorithm: type) -> list[Column]:
    left = [d.copies for d in problem.demands]
    made: list[Column] = []
    for s in sorted(sheets, key=lambda s: (problem.stock[s].value, s)):
        item = problem.stock[s]
        for _ in range(item.count):
            if not any(left):
                return made
            row = _one(item, left, algorithm)
            if row is None:
                break
            found = column(problem, s, row)
            for d, count in enumerate(found.counts):
                left[d] -= count
            made.append(found)
    return made


def _one(item: StockItem, left: Sequence[int], algorithm: type) -> Row | None:
    """Return a layout of one copy of a sheet for some of what is left, or None."""
    ways: dict[int, list[int]] = {}
    for o, option in enumerate(item.options):
        ways.setdefault(option.demand, []).append(o)
    x1, y1, x2, y2 = usable(item)
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline, pack_algo=algorithm, rotation=False
    )
    packer.add_bin(x2 - x1 + item.kx, y2 - y1 + item.ky)
    for d, copies in enumerate(left):
        for i in range(copies if d in ways else 0):
            option = item.options[ways[d][i % len(ways[d])]]
            packer.add_rect(option.length + item.kx, option.width + item.ky, rid=(d, i))
    packer.pack()
    placed = []
    for _, x, y, width, height, (d, i) in packer.rect_list():
        rect = (x1 + x, y1 + y, x1 + x + width - item.kx, y1 + y + height - item.ky)
        placed.append(_Placed(rect, ways[d][i % len(ways[d])]))
    clear = [p for p in placed if shown(item.options[p.option], p.rect, item) is not None]
    if not clear:
        return None
    for axis in ("x", "y"):
        if (item.first_x if axis == "x" else item.first_y) is False:
            continue
        row = _sawn(clear, axis, item, item.stages or 99)
        if isinstance(row, Row) and _whole(row, item):
            return row
    return None


def _whole(row: Row, item: StockItem) -> bool:
    """Whether every blank of a layout is as large as it must be, and clear."""
    if not sawable(row, usable(item), item) or not clear_of_metal(row, item):
        return False
    for o, rect in blanks(row, usable(item)):
        option: Option = item.options[o]
        if rect[2] - rect[0] < option.length or rect[3] - rect[1] < option.width:
            return False
        if shown(option, rect, item) is None:
            return False
    return True


def _sawn(placed: Sequence[_Placed], axis: str, item: StockItem, stages: int) -> Row | None:
    """Return the placed blanks as a row of cuts across ``axis`` first, None where none will do."""
    if stages <= 0:
        return None
    low, high, kerf = (0, 2, item.kx) if axis == "x" else (1, 3, item.ky)
    across = 1 if axis == "x" else 0
    pieces: list[tuple[int, int, Row | Blank]] = []
    for group in _parted(placed, low, high, kerf):
        start = min(p.rect[low] for p in group)
        end = max(p.rect[high] for p in group)
        inner: Row | Blank | None
        if len(group) == 1 and stages == 1:
            inner = Blank(group[0].option)
        elif len(group) == 1:
            only = group[0]
            side = (only.rect[across], only.rect[across + 2], Blank(only.option))
            inner = Row("y" if axis == "x" else "x", (side,))
        else:
            inner = _sawn(group, "y" if axis == "x" else "x", item, stages - 1)
        if inner is None:
            return None
        pieces.append((start, end, inner))
    if len(pieces) == 1 and len(placed) > 1 and stages <= 1:
        return None
    return Row(axis, tuple(pieces))


def _parted(placed: Sequence[_Placed], low: int, high: int, kerf: int) -> list[list[_Placed]]:
    """Return the blanks in groups that cuts across one axis part, in order."""
    groups: list[list[_Placed]] = []
    reach = 0
    for p in sorted(placed, key=lambda p: (p.rect[low], p.rect[high])):
        if groups and p.rect[low] < reach + kerf:
            groups[-1].append(p)
            reach = max(reach, p.rect[high])
        else:
            groups.append([p])
            reach = p.rect[high]
    return groups
