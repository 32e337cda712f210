"""What a layout asks of the saw and what comes off it, read from the cut tree for drawing.

All in stock coordinates, 1/320 mm: x from end A, y from the near edge.
"""

from dataclasses import dataclass

from inventory.stock import Board, Point, Stock
from nester.layout import Axis, BlankUse, Layout, Node, StripUse
from nester.sawing import SawLine, is_waste, saw_lines, walk


@dataclass(frozen=True, slots=True)
class Cutting:
    """A layout taken apart: cuts in their order, pieces as they lie from the root down."""

    cuts: tuple[SawLine, ...]
    leaves: tuple[Node, ...]

    @property
    def pieces(self) -> tuple[Node, ...]:
        """The leaves that become parts or strips of a panel."""
        return tuple(n for n in self.leaves if isinstance(n.use, BlankUse | StripUse))


def taken_apart(layout: Layout) -> Cutting:
    """Return the cuts and the pieces of ``layout``."""
    leaves = tuple(node for node in walk(layout.tree) if node.cut is None)
    return Cutting(tuple(saw_lines(layout)), leaves)


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
        if node.cut is None:
            continue
        if node.cut.axis is axis:
            found.append(by_node[id(node)])
            stack.extend(node.pieces)
        elif node.cut.axis is Axis.Z:
            stack.extend(node.pieces[:1])
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
