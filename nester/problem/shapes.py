"""How the parts of a run, a stack or a resawn pair lie in their one blank."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from inventory.stock import Board, Stock
from nester.blanks import needed
from nester.blanks.runs import joint_loss, run_size, stack_size
from nester.layout import Saw
from nester.model import Match, Part, Shop
from nester.problem.inner import Inner, Slot


@dataclass(frozen=True, slots=True)
class Row:
    """Parts end to end as ``match`` asks; one part alone needs no match."""

    parts: tuple[Part, ...]
    match: Match | None = None


@dataclass(frozen=True, slots=True)
class Shape:
    """A blank in the direction of its parts: ``along`` their length, ``across`` it [cells].

    The parts ascend. ``bare`` is the width of all without the blank's own extra [1/320 mm].
    """

    inner: Inner | Slot
    along: int
    across: int
    bare: int


def row_shape(
    row: Row,
    stock: Stock,
    shop: Shop,
    first: int = 0,
    whole: Sequence[Part] = (),
) -> Shape:
    """Return the blank of a row; its parts are numbered from ``first``.

    ``whole`` are all parts in the blank, where the row is one of a stack.
    """
    grid = shop.grid
    joint = 0 if row.match is None else joint_loss(row.match, stock, shop)
    size = run_size(row.parts, whole or row.parts, stock, shop, joint)
    bare = max(part.width + part.extra_width for part in row.parts)
    if len(row.parts) == 1:
        return Shape(Slot(first), size.along // grid, size.across // grid, bare)
    inner = Inner(
        "x",
        Saw.MITER,
        joint // grid,
        tuple(start // grid for start, _ in size.ends),
        tuple(end // grid for _, end in size.ends),
        tuple(Slot(first + i) for i in range(len(row.parts))),
        row.match.name if row.match else "",
    )
    return Shape(inner, size.along // grid, size.across // grid, bare)


def stack_shape(rows: Sequence[Row], match: Match, stock: Stock, shop: Shop) -> Shape:
    """Return the blank of rows edge to edge, as ``match`` asks."""
    grid = shop.grid
    parts = [part for row in rows for part in row.parts]
    shapes, first = [], 0
    for row in rows:
        shapes.append(row_shape(row, stock, shop, first, parts))
        first += len(row.parts)
    joint = joint_loss(match, stock, shop)
    lengths = [shape.along * grid for shape in shapes]
    size = stack_size([s.bare for s in shapes], lengths, parts, stock, shop, joint)
    inner = Inner(
        "y",
        Saw.RIP if isinstance(stock, Board) else Saw.SHEET,
        joint // grid,
        tuple(start // grid for start, _ in size.ends),
        tuple(end // grid for _, end in size.ends),
        tuple(padded(shape.inner, size.across // grid) for shape in shapes),
        match.name,
    )
    bare = sum(s.bare for s in shapes) + joint * (len(shapes) - 1)
    return Shape(inner, size.across // grid, size.along // grid, bare)


def turns(parts: Sequence[Part], stock: Stock, shop: Shop) -> list[bool]:
    """Return whether parts that lie alike may lie along the stock, across it, or both."""
    # A square part may be turned as well, though that is no other way for it alone.
    oblong = [replace(part, width=part.length + part.extra_length + 1) for part in parts]
    if isinstance(stock, Board):
        oblong = list(parts)
    ways = [{way.turned for way in needed(part, stock, shop)} for part in oblong]
    return sorted(set.intersection(*ways))


def padded(inner: Inner | Slot, along: int) -> Inner | Slot:
    """Return a row whose last piece ends at ``along``."""
    if isinstance(inner, Slot):
        return inner
    if inner.axis == "x":
        return replace(inner, ends=(*inner.ends[:-1], along))
    return replace(inner, pieces=tuple(padded(piece, along) for piece in inner.pieces))


def milled(shape: Shape, least: int, turned: bool) -> Shape:
    """Return a blank that is at least ``least`` cells along the grain; its last part takes more."""
    if not turned:
        along = max(shape.along, least)
        return replace(shape, along=along, inner=padded(shape.inner, along))
    across, inner = max(shape.across, least), shape.inner
    if isinstance(inner, Inner) and inner.axis == "y":
        inner = replace(inner, ends=(*inner.ends[:-1], across))
    return replace(shape, across=across, inner=inner)


def posed(
    shape: Shape, turned: bool, back: bool, flipped: bool, leaf: bool = False
) -> Inner | Slot:
    """Return the blank as it lies on the stock.

    ``back``: its parts are turned end for end. Seen with the stock's face A up, parts that show
    face B (``flipped``) lie the other way round in one direction: nothing is mirrored. ``leaf``:
    its parts are told which face shows, whatever the blank does.
    """
    # Turned by a quarter, the near edge lies at end A and the part's own end A at the far edge.
    length_ascends = back == turned
    width_ascends = back == flipped
    made = shape.inner
    if not length_ascends:
        made = _backwards(made, "x", shape.along)
    if not width_ascends:
        made = _backwards(made, "y", shape.across)
    return _laid(made, turned, Slot(0, turned, back, flipped if leaf else None))


def _backwards(inner: Inner | Slot, axis: str, whole: int) -> Inner | Slot:
    if isinstance(inner, Slot):
        return inner
    pieces = tuple(_backwards(piece, axis, whole) for piece in inner.pieces)
    if inner.axis != axis:
        return replace(inner, pieces=pieces)
    return replace(
        inner,
        starts=tuple(whole - end for end in reversed(inner.ends)),
        ends=tuple(whole - start for start in reversed(inner.starts)),
        pieces=pieces[::-1],
    )


def _laid(inner: Inner | Slot, turned: bool, like: Slot) -> Inner | Slot:
    if isinstance(inner, Slot):
        return replace(like, index=inner.index)
    pieces = tuple(_laid(piece, turned, like) for piece in inner.pieces)
    axis = {"x": "y", "y": "x"}[inner.axis] if turned else inner.axis
    return replace(inner, axis=axis, pieces=pieces)


def numbers(inner: Inner | Slot) -> Iterator[int]:
    """Yield the numbers of the parts in a blank, in order."""
    if isinstance(inner, Slot):
        yield inner.index
        return
    for piece in inner.pieces:
        yield from numbers(piece)
