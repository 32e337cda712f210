"""The cuts that part a blank of several parts, once it is milled."""

from collections.abc import Sequence
from typing import TypeAlias

from inventory.length import Length
from nester.layout import Axis, BlankUse, Cut, Node
from nester.problem.inner import Inner, Slot

Rect: TypeAlias = tuple[Length, Length, Length, Length]
"""x1, y1, x2, y2 [1/320 mm]."""


def parted(
    inner: Inner | Slot,
    parts: Sequence[tuple[str, int]],
    rect: Rect,
    grid: Length,
    flipped: bool,
    run: str = "",
) -> Node:
    """Return the node of a blank with the cuts that part it.

    ``parts`` are the parts in it with their copies. ``flipped``: the blank shows face B. ``run``
    names the match on a leaf that was resawn.
    """
    x1, y1, x2, y2 = rect
    if isinstance(inner, Slot):
        part, copy = parts[inner.index]
        face_b = flipped if inner.flipped is None else inner.flipped
        use = BlankUse(part, copy, turned=inner.turned, reversed=inner.reversed, flipped=face_b)
        return Node(x1, y1, x2 - x1, y2 - y1, use=use, run=run)
    kerf = inner.kerf * grid
    if inner.axis == "z":
        leaves = (parted(piece, parts, rect, grid, flipped, inner.run) for piece in inner.pieces)
        cut = Cut(Axis.Z, inner.ends[0] * grid, kerf, inner.saw, 0)
        return Node(x1, y1, x2 - x1, y2 - y1, cut, tuple(leaves), run=inner.run)
    along_x = inner.axis == "x"
    low = x1 if along_x else y1
    node: Node | None = None
    end = x2 if along_x else y2
    for i in range(len(inner.pieces) - 1, -1, -1):
        start = low + inner.starts[i] * grid
        at = low + inner.ends[i] * grid
        own = (start, end if node is None else at)
        box = (own[0], y1, own[1], y2) if along_x else (x1, own[0], x2, own[1])
        piece = parted(inner.pieces[i], parts, box, grid, flipped)
        if node is None:
            node = piece
            continue
        whole = (start, y1, end, y2) if along_x else (x1, start, x2, end)
        cut = Cut(Axis.X if along_x else Axis.Y, at, kerf, inner.saw, 0)
        size = (whole[2] - whole[0], whole[3] - whole[1])
        name = inner.run if i == 0 else ""
        node = Node(whole[0], whole[1], *size, cut, (piece, node), run=name)
    assert node is not None
    return node
