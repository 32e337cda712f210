"""From the beam search's placements to layouts in rows."""

from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.kernels import columns as k
from nester.solve.rows import Blank, Rect, Row, blanks, clear_of_metal, sawable, shown, usable

Known: TypeAlias = dict[tuple[tuple[int, ...], ...], tuple[int, Row] | None]
"""What placements in one stock item came to: class and layout, or none."""


class _Segment:
    def __init__(self, u1: int, u2: int, v1: int, option: int) -> None:
        self.u1, self.u2 = u1, u2
        self.stack: list[tuple[int, int]] = [(v1, option)]  # start across v, option row


class _Strip:
    def __init__(self, v1: int, v2: int, segment: _Segment) -> None:
        self.v1, self.v2 = v1, v2
        self.segments = [segment]


class _Section:
    def __init__(self, start: int, near: int, strip: _Strip) -> None:
        self.start, self.near = start, near
        self.strips = [strip]

    @property
    def end(self) -> int:
        return max(s.u2 for strip in self.strips for s in strip.segments)


def decode(
    record: NDArray[np.int32],
    row: int,
    found: Arrays,
    stock: Sequence[StockItem],
    known: Known | None = None,
) -> list[tuple[int, Row]]:
    """Return (class, layout) for every stock item opened on the way to a row of the record.

    A layout that breaks a rule the search only approximates comes back as none at all: its blanks
    are then missing from the result, and the caller places them anew. Ends of one search have many
    layouts in common; ``known`` keeps them from one call to the next.
    """
    known = {} if known is None else known
    chain = []
    while row > 0:
        chain.append(row)
        row = int(record[row, k.P_PARENT])
    places = [tuple(place) for place in record[chain[::-1]].tolist()]
    opened = [i for i, place in enumerate(places) if place[k.P_MODE] == k.OPENED]
    out = []
    for start, end in pairwise([*opened, len(places)]):
        # What came before is no part of a layout.
        key = tuple(place[k.P_PARENT + 1 :] for place in places[start:end])
        if key not in known:
            known[key] = _layout(places[start:end], found, stock)
        layout = known[key]
        if layout is not None:
            out.append(layout)
    return out


def _layout(
    places: Sequence[tuple[int, ...]], found: Arrays, stock: Sequence[StockItem]
) -> tuple[int, Row] | None:
    sections: list[_Section] = []
    for place in places:
        _add(sections, place)
    cls = places[0][k.P_CLASS]
    made = _row(sections, found, cls, stock[found.directions[cls].stock])
    return None if made is None else (cls, made)


def _add(sections: list[_Section], place: tuple[int, ...]) -> None:
    u1, u2 = place[k.P_U1], place[k.P_U2]
    v1, v2 = place[k.P_V1], place[k.P_V2]
    option, mode = place[k.P_OPTION], place[k.P_MODE]
    if mode == k.STACKED:
        segment = sections[-1].strips[-1].segments[-1]
        segment.stack.append((v1, option))
        return
    segment = _Segment(u1, u2, v1, option)
    if mode == k.BESIDE:
        sections[-1].strips[-1].segments.append(segment)
    elif mode == k.STRIP:
        sections[-1].strips.append(_Strip(v1, v2, segment))
    else:
        sections.append(_Section(place[k.P_US], place[k.P_NEAR], _Strip(v1, v2, segment)))


def _row(sections: list[_Section], found: Arrays, cls: int, item: StockItem) -> Row | None:
    rip_first = found.directions[cls].rip_first
    outer, inner = ("y", "x") if rip_first else ("x", "y")
    kerf = item.kx if rip_first else item.ky
    pieces: list[tuple[int, int, Row | Blank]] = []
    for section in sections:
        start, end = section.start, section.end
        lost = item.x0 if rip_first else int(item.near[end - start])
        if not rip_first and item.rip_min >= 0 and not _unripped(section, lost, item):
            end = max(end, start + max(item.rip_min, item.rip_width - lost))
            lost = int(item.near[end - start])
            if end > item.x1:
                return None
        if len(item.metal):
            further = _past_metal(end, item, rip_first)
            if rip_first or int(item.near[further - start]) <= section.near:
                end = further
                lost = item.x0 if rip_first else int(item.near[end - start])
        if item.stages == 1 and not _one_stage(section, lost, item, rip_first):
            return None
        strips = tuple(
            _strip(strip, section, i, end, lost, kerf, found, item, rip_first)
            for i, strip in enumerate(section.strips)
        )
        row = Row(inner, strips)
        if section.near > lost and item.stages != 1:
            # Room was left for a longer section: the strips come down to the straightened edge.
            lowered = _lowered(row, inner, section.near - lost)
            if _clear(lowered, (start, 0, end, item.ny), item):
                row = lowered
        pieces.append((start, end, row))
    row = Row(outer, tuple(pieces))
    if not sawable(row, usable(item), item) or not _clear(row, usable(item), item):
        return None
    return row if clear_of_metal(row, item) else None


def _past_metal(end: int, item: StockItem, rip_first: bool) -> int:
    """Return where a section that ends at ``end`` is cut off: its waste may reach past metal."""
    axis, kerf, most = (1, item.ky, usable(item)[3]) if rip_first else (0, item.kx, item.x1)
    moved = True
    while moved and end < most:
        moved = False
        for block in item.metal:
            if block[axis] < end + kerf and block[axis + 2] > end:
                end, moved = int(block[axis + 2]), True
    return min(end, most)


def _lowered(row: Row, axis: str, cells: int) -> Row:
    """Return a row moved towards the near edge, with all rows in it."""
    drop = cells if row.axis == axis else 0
    return Row(
        row.axis,
        tuple(
            (a - drop, b - drop, _lowered(p, axis, cells) if isinstance(p, Row) else p)
            for a, b, p in row.pieces
        ),
    )


def _clear(row: Row, rect: Rect, item: StockItem) -> bool:
    return all(
        shown(item.options[option], box, item) is not None for option, box in blanks(row, rect)
    )


def _unripped(section: _Section, lost: int, item: StockItem) -> bool:
    """Whether a section's one strip takes the whole width, trims apart, so that none is ripped."""
    strip = section.strips[0]
    return len(section.strips) == 1 and strip.v1 == lost and strip.v2 == item.far


def _one_stage(section: _Section, lost: int, item: StockItem, rip_first: bool) -> bool:
    """Let a section's lone blank take its whole width; False where trims alone do not free it."""
    strip = section.strips[0]
    high = item.x1 if rip_first else item.far
    if len(section.strips) > 1 or high < strip.v2 or not item.square:
        return False
    strip.v1, strip.v2 = lost, high
    return True


def _strip(
    strip: _Strip,
    section: _Section,
    index: int,
    end: int,
    lost: int,
    kerf: int,
    found: Arrays,
    item: StockItem,
    rip_first: bool,
) -> tuple[int, int, Row | Blank]:
    axis = "y" if rip_first else "x"
    v1, v2 = strip.v1, strip.v2
    if index == 0 and 0 < v1 - lost < kerf:
        v1 = lost  # too little to saw off: it stays on the blank
    pieces = []
    for segment in strip.segments:
        stack = segment.stack
        if len(stack) == 1:
            content: Row | Blank = Blank(_option(stack[0][1], found))
        else:
            starts = [v1, *(start for start, _ in stack[1:])]
            content = Row(
                "x" if rip_first else "y",
                tuple(
                    (start, start + _across(option, found), Blank(_option(option, found)))
                    for start, (_, option) in zip(starts, stack, strict=True)
                ),
            )
        pieces.append((segment.u1, segment.u2, content))
    alone = pieces[0][2] if len(pieces) == 1 else None
    if alone is not None and _fills(pieces[0], section.start, end, v2 - v1, item, rip_first):
        return v1, v2, alone
    return v1, v2, Row(axis, tuple(pieces))


def _fills(
    piece: tuple[int, int, Row | Blank],
    start: int,
    end: int,
    width: int,
    item: StockItem,
    rip_first: bool,
) -> bool:
    """Whether a lone piece takes its whole strip, or must for want of stages or of a safe rip."""
    if piece[0] == start and piece[1] == end:
        return True
    if 0 < item.stages <= 2:
        return True
    return rip_first and item.rip_min >= 0 and width < max(item.rip_min, end - start)


def _option(row: int, found: Arrays) -> int:
    return int(found.option_of[row, 1])


def _across(row: int, found: Arrays) -> int:
    return int(found.options[row, 2])
