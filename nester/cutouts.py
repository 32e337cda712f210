"""What a plan's cutaways mean at the bench: what to knock out of them, what they may still give."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from inventory.formatter import Formatter
from inventory.length import Length
from inventory.stock import Board, Face, Flaw, Stock
from nester.blanks import Needed, needed, obstacles, rip_kerf, round_up
from nester.blanks.cutaways import Lie, extent, inside_between
from nester.blanks.eligible import SHEET_TOLERANCE, plain
from nester.blanks.seat import Seat
from nester.layout import BlankUse, Layout, Node
from nester.model import Cutaway, Part, Quality, Shop
from nester.plan import Plan

Span: TypeAlias = tuple[Length, Length]

TRIED = 96
"""Into so many steps a cutaway is divided to look for room in it."""


@dataclass(frozen=True, slots=True)
class Loose:
    """Something in a cutaway of ``use`` that is to be knocked out or filled before milling."""

    use: BlankUse
    flaw: Flaw


@dataclass(frozen=True, slots=True)
class Second:
    """``count`` of a small hidden part, for which the cutaways of one blank have room."""

    use: BlankUse
    part: Part
    count: int


def seats(tree: Node, parts: Mapping[str, Part], grid: Length) -> Iterator[tuple[Node, Seat]]:
    """Yield the blanks of a tree that have cutaways, each with how its part lies in it."""
    waiting: list[tuple[Node, Node | None]] = [(tree, None)]
    while waiting:
        node, run = waiting.pop()
        if run is None and node.run:
            run = node
        waiting.extend((piece, run) for piece in reversed(node.pieces))
        if isinstance(node.use, BlankUse) and node.use.part in parts:
            part = parts[node.use.part]
            if part.cutaways:
                yield node, _seat(node, node.use, part, run, grid)


def loose_in(layout: Layout, stock: Stock, parts: Mapping[str, Part], grid: Length) -> list[Loose]:
    """Return what lies loose in the cutaways of a layout, blank by blank."""
    return [
        Loose(node.use, flaw)
        for node, seat in seats(layout.tree, parts, grid)
        if isinstance(node.use, BlankUse)
        for flaw in seat.loose(stock)
    ]


def seconds_of(layout: Layout, stock: Stock, parts: Mapping[str, Part], shop: Shop) -> list[Second]:
    """Return which small hidden parts the cutaways of a layout have room for.

    They are sawn from the wood that is cut out, so nothing is milled again. Where the shop does not
    ask for it (``use_cutaways``) there are none.
    """
    if not shop.use_cutaways:
        return []
    found = []
    for node, seat in seats(layout.tree, parts, shop.grid):
        for part in parts.values():
            if isinstance(node.use, BlankUse) and _may_give(seat.part, part, stock, shop):
                count = sum(_room(seat, cut, part, stock, shop) for cut in seat.part.cutaways)
                if count:
                    found.append(Second(node.use, part, min(count, part.copies)))
    return found


def _seat(node: Node, use: BlankUse, part: Part, run: Node | None, grid: Length) -> Seat:
    """Return how a part lies in its blank; in a run against its joint, what is more outside."""
    lie = Lie(use.turned, use.reversed, use.flipped)
    along, across = part.length + part.extra_length, part.width + part.extra_width
    if use.turned:
        along, across = across, along
    x, y = (node.x, node.length), (node.y, node.width)
    if run is not None:
        x = _by_joint(x, (run.x, run.length), round_up(along, grid))
        y = _by_joint(y, (run.y, run.width), round_up(across, grid))
    return Seat(part, lie, x[0], y[0], x[1], y[1])


def _by_joint(piece: Span, run: Span, size: Length) -> Span:
    """Return where in a piece of a run a part lies, each as start and size."""
    first, last = piece[0] == run[0], sum(piece) == sum(run)
    if first == last:
        return piece
    return (sum(piece) - size, size) if first else (piece[0], size)


def _may_give(large: Part, small: Part, stock: Stock, shop: Shop) -> bool:
    """Whether wood of one part, milled to its thickness, is what another part asks for."""
    if small.quality is not Quality.HIDDEN or small.cutaways or small.name == large.name:
        return False
    if plain(stock.material) not in {plain(name) for name in small.materials}:
        return False
    if stock.id in small.not_from or (small.from_stock and stock.id not in small.from_stock):
        return False
    more = large.thickness - small.thickness
    if isinstance(stock, Board):
        return 0 <= more <= shop.thick_spare and small.sawn in (None, stock.sawn)
    return abs(more) <= SHEET_TOLERANCE and small.sawn is None


def _room(seat: Seat, cutaway: Cutaway, part: Part, stock: Stock, shop: Shop) -> int:
    """Return how many of a part lie side by side in a cutaway, a kerf round each."""
    return max(_row(seat, cutaway, part, way, stock, shop) for way in needed(part, stock, shop))


def _row(seat: Seat, cutaway: Cutaway, part: Part, way: Needed, stock: Stock, shop: Shop) -> int:
    kerf = rip_kerf(stock, shop)
    along, across = part.length + part.extra_length, part.width + part.extra_width
    if way.turned != seat.lie.turned:
        along, across = across, along
    along, across = along + 2 * kerf, across + 2 * kerf
    bad = obstacles(part, way, stock, shop)[Face.BOTH]
    low, high = extent(cutaway)
    step = max(1, (high - low) // TRIED)
    count, p = 0, low
    while p + along <= high:
        ranges = inside_between(cutaway, seat.part.width, 2 * p, 2 * (p + along))
        clear = [
            (a, a + across)
            for a, b in ranges
            if b - a >= across
            and not any(
                _meets(seat, (p, p + along), (a, a + across), o.flaw, o.margin_x, o.margin_y)
                for o in bad
            )
        ]
        count += bool(clear)
        p += along if clear else step
    return count


def _meets(seat: Seat, ps: Span, qs: Span, flaw: Flaw, margin_x: Length, margin_y: Length) -> bool:
    """Whether a piece of a part comes too near to a flaw, which counts as its bounding box."""
    corners = [seat.on_stock(p, q) for p in ps for q in qs]
    xs, ys = sorted(x for x, _ in corners), sorted(y for _, y in corners)
    return (
        xs[0] - margin_x < flaw.x + flaw.length
        and xs[-1] + margin_x > flaw.x
        and ys[0] - margin_y < flaw.y + flaw.width
        and ys[-1] + margin_y > flaw.y
    )


def named(use: BlankUse, parts: Mapping[str, Part]) -> str:
    """Return what a blank is called: its part, and which copy where there are several."""
    part = parts.get(use.part)
    return f"{use.part} {use.copy}" if part is not None and part.copies > 1 else use.part


def cutaway_notes(layout: Layout, stock: Stock, plan: Plan, sizes: Formatter) -> list[str]:
    """Return what is to be said of the cutaways of a layout, a sentence each."""
    return [
        *loose_notes(layout, stock, plan, sizes),
        *second_notes(layout, stock, plan, sizes),
    ]


def loose_notes(layout: Layout, stock: Stock, plan: Plan, sizes: Formatter) -> list[str]:
    """Return a caution for each loose knot, bark pocket or rot in a cutaway."""
    parts = {part.name: part for part in plan.parts}
    notes = []
    for loose in loose_in(layout, stock, parts, plan.shop.grid):
        x, y = sizes.with_unit(loose.flaw.x), sizes.with_unit(loose.flaw.y)
        notes.append(
            f"In the cutaway of {named(loose.use, parts)}, {x} from end A and {y} from the near "
            f"edge: {loose.flaw.kind.value}. Knock it out or fill it before milling."
        )
    return notes


def second_notes(layout: Layout, stock: Stock, plan: Plan, sizes: Formatter) -> list[str]:
    """Return which small parts the cutaways have room for; the plan does not count on it."""
    parts = {part.name: part for part in plan.parts}
    return [
        f"The cutaway of {named(second.use, parts)}, once sawn out, has room for {second.count} of "
        f"{second.part.name} ({sizes.size(second.part.length, second.part.width)}); not counted."
        for second in seconds_of(layout, stock, parts, plan.shop)
    ]
