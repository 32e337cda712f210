"""What a layout asks of the saw and what comes off it, read from the cut tree for drawing.

All in stock coordinates, 1/320 mm: x from end A, y from the near edge.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from inventory.stock import Board, Point, Stock
from nester.layout import Axis, BlankUse, Layout, Node, OffcutUse, StripUse
from nester.sawing import SawLine, is_waste, saw_line


@dataclass(frozen=True, slots=True)
class Cutting:
    """A layout taken apart: cuts in their order, pieces as they lie from the root down."""

    cuts: tuple[SawLine, ...]
    leaves: tuple[Node, ...]

    @property
    def pieces(self) -> tuple[Node, ...]:
        """The leaves that become parts or strips of a panel."""
        return tuple(n for n in self.leaves if is_piece(n))


def taken_apart(layout: Layout) -> Cutting:
    """Return the cuts and the pieces of ``layout``.

    What is resawn is one piece here: its leaves lie over one another and have their own sheets.
    """
    nodes = list(seen_nodes(layout.tree))
    leaves = tuple(node for node in nodes if node.cut is None or is_resawn(node))
    cuts = [
        SawLine(node.cut, node, True, False) if is_resawn(node) else saw
        for node in nodes
        if node.cut is not None and (saw := saw_line(node)) is not None
    ]
    return Cutting(tuple(sorted(cuts, key=lambda saw: saw.cut.order)), leaves)


def seen_nodes(root: Node) -> Iterator[Node]:
    """Yield the nodes of a tree, each before its pieces, those under a resaw cut left out."""
    waiting = [root]
    while waiting:
        node = waiting.pop()
        yield node
        if not is_resawn(node):
            waiting.extend(reversed(node.pieces))


def is_resawn(node: Node) -> bool:
    """Return whether a piece is sawn into two leaves through its thickness."""
    return node.cut is not None and node.cut.axis is Axis.Z


def is_piece(node: Node) -> bool:
    """Return whether a leaf becomes parts or a strip of a panel."""
    return is_resawn(node) or isinstance(node.use, BlankUse | StripUse)


def is_kept(node: Node) -> bool:
    """Return whether a leaf becomes something: parts, a strip, or an offcut."""
    return is_piece(node) or isinstance(node.use, OffcutUse)


def along_edge(cutting: Cutting, axis: Axis) -> list[SawLine]:
    """Return the cuts of direction ``axis`` that reach the ruler, in order of their place.

    The ruler for crosscuts lies at the near edge, the one for rips at end A. A cut of the other
    direction hides what is behind it, so only the piece next to the ruler is looked into; a piece
    that is waste hides nothing.
    """
    by_node = {id(saw.node): saw for saw in cutting.cuts}
    found: list[SawLine] = []
    stack = [root] if (root := root_of(cutting)) is not None else []
    while stack:
        node = stack.pop()
        if node.cut is None or is_resawn(node):
            continue
        if node.cut.axis is axis:
            found.append(by_node[id(node)])
            stack.extend(node.pieces)
        else:
            stack.extend([piece for piece in node.pieces if not is_waste(piece)][:1])
    return sorted(found, key=lambda saw: saw.line)


def root_of(cutting: Cutting) -> Node | None:
    """Return the whole stock item's node, None where nothing is cut."""
    return cutting.cuts[0].node if cutting.cuts else None


def outline_of(stock: Stock) -> tuple[Point, ...]:
    """Return the corners of the stock, from end A at the near edge round by end B."""
    if isinstance(stock, Board):
        return (0, 0), (stock.length, 0), (stock.length, stock.width_b), (0, stock.width_a)
    return (0, 0), (stock.length, 0), (stock.length, stock.width), (0, stock.width)
