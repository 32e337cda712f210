"""Why a part could not be had, in words a maker understands."""

from collections.abc import Sequence

import numpy as np

from inventory.formatter import Formatter
from inventory.stock import Board, Stock
from nester.blanks import Needed, Refusal, needed, obstacles, refusal, thickness_left
from nester.blanks.needed import round_up
from nester.blanks.thickness import plane_off
from nester.blanks.trims import end_trim, far_loss, near_loss
from nester.layout import Layout
from nester.model import Part, Quality, Shop
from nester.problem.raster import Block, blocks_of, clipped, far_edge

ORDER = (
    Refusal.TOO_NARROW,
    Refusal.TOO_SHORT,
    Refusal.TOO_THIN,
    Refusal.TOO_THICK,
    Refusal.THICKNESS,
    Refusal.SAWN,
    Refusal.NOT_FROM,
    Refusal.MATERIAL,
)
"""From nearly right to wholly wrong: the nearest miss is the one worth telling."""


def reason(part: Part, items: Sequence[Stock], shop: Shop, layouts: Sequence[Layout]) -> str:
    """Return one sentence on why ``part`` could not be cut from ``items``."""
    show = Formatter(shop.system.value, shop.tape)
    what = " or ".join(part.materials)
    found = [
        (refusal(part, item, shop, way), item, way)
        for item in items
        for way in needed(part, item, shop)
    ]
    fitting = [(item, way) for why, item, way in found if why is None]
    if fitting:
        return _flawed_or_used(part, fitting, shop, show, what, layouts)
    near = min((ORDER.index(why) for why, _, _ in found if why is not None), default=len(ORDER) - 1)
    why = ORDER[near]
    misses = [(item, way) for w, item, way in found if w is why]
    thickness = show.full(part.thickness)
    if why is Refusal.MATERIAL or not misses:
        return f"there is no {what} in the stock"
    if why is Refusal.NOT_FROM:
        return f"the {what} in the stock is kept for other parts or ruled out by from and not_from"
    if why is Refusal.SAWN:
        sawn = part.sawn.value if part.sawn else ""
        return f"no {what} of the right thickness is {sawn} sawn"
    if why is Refusal.THICKNESS:
        have = sorted({item.thickness for item, _ in misses})
        return f"no {what} is {thickness} thick; there is {', '.join(map(show.full, have))}"
    if why is Refusal.TOO_THICK:
        return f"all {what} thick enough for {thickness} is over the limit of thick_spare"
    if why is Refusal.TOO_THIN:
        return _too_thin(part, misses, shop, show, what)
    if why is Refusal.TOO_NARROW:
        item, way = max(misses, key=lambda m: m[0].width)
        return (
            f"the blank needs {show.full(way.width)} of width; the widest {what} that is thick "
            f"enough, {item.id}, is {show.full(item.width)} before its edges are trimmed"
        )
    item, way = max(misses, key=lambda m: m[0].length)
    return (
        f"the blank needs {show.full(way.length)} of length; the longest {what} that is thick "
        f"enough, {item.id}, is {show.full(item.length)} before its ends are trimmed"
    )


def _too_thin(
    part: Part, misses: Sequence[tuple[Stock, Needed]], shop: Shop, show: Formatter, what: str
) -> str:
    left = [
        (thickness_left(item, plane_off(part, item, shop), way.length, way.width), item, way)
        for item, way in misses
        if isinstance(item, Board)
    ]
    best, item, way = max(left, key=lambda entry: entry[0])
    return (
        f"no {what} gives {show.full(part.thickness)} flat over {show.full(way.length)}; "
        f"{item.id} comes nearest with {show.full(max(0, int(best)))}"
    )


def _flawed_or_used(
    part: Part,
    fitting: Sequence[tuple[Stock, Needed]],
    shop: Shop,
    show: Formatter,
    what: str,
    layouts: Sequence[Layout],
) -> str:
    spans = [(clear_span(part, way, item, shop), item, way) for item, way in fitting]
    (start, end), item, way = max(spans, key=lambda s: s[0][1] - s[0][0])
    if end - start >= way.length:
        used = {layout.stock for layout in layouts}
        idle = sorted({i.id for i, _ in fitting} - used)
        if idle:
            return (
                f"no place was found for it in the time given, though {', '.join(idle[:3])} "
                "is not used up; let the planning run longer"
            )
        return f"all {what} that could give it is used up by other parts"
    word = "sound " if part.quality in (Quality.SOUND, Quality.HIDDEN) else "clear "
    where = (
        f"; the longest is on {item.id} from {show.full(start)} to {show.full(end)}"
        if end > start
        else ""
    )
    return (
        f"no {word}{what} {show.full(part.thickness)} thick and {show.full(way.width)} wide is "
        f"{show.full(way.length)} long{where}"
    )


def clear_span(part: Part, way: Needed, item: Stock, shop: Shop) -> tuple[int, int]:
    """Return the longest stretch [1/320 mm] of ``item`` that is clear at the blank's width."""
    grid = shop.grid
    nx, ny = item.length // grid, item.width // grid
    trim, loss = end_trim(item, shop), far_loss(item, shop)
    near = near_loss(item, shop, min(way.length, item.length)) // grid
    edge: list[Block] = (
        far_edge(item, loss, grid, nx, ny)
        if isinstance(item, Board)
        else clipped([(0, (item.width - loss) // grid, nx, ny)], nx, ny)
    )
    wide = round_up(way.width, grid) // grid
    first, last = trim // grid, (item.length - trim) // grid
    best = (0, 0)
    for found in obstacles(part, way, item, shop).values():
        blocks = edge + [b for o in found for b in blocks_of(o, grid, nx, ny)]
        for y in range(near, ny - wide + 1):
            free = np.ones(nx + 1, bool)
            free[:first] = free[last:] = False
            for x1, y1, x2, y2 in blocks:
                if y1 < y + wide and y2 > y:
                    free[x1:x2] = False
            ends = np.flatnonzero(np.diff(np.concatenate([[0], free[:nx].astype(np.int8), [0]])))
            for a, b in zip(ends[::2], ends[1::2], strict=True):
                if b - a > best[1] - best[0]:
                    best = (int(a), int(b))
    return best[0] * grid, best[1] * grid
