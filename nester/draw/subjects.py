"""What the drawings show: stock, the leaves that are resawn from it, and glued-up panels.

Leaves and panels are drawn like boards of their own, from their own end A and near edge.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from inventory.formatter import Formatter
from inventory.length import Length
from inventory.stock import Board, Edges, Ends, Face, Flaw, Stock
from nester.draw.cutting import is_resawn
from nester.glued import Glued, materials_of
from nester.joints import place_words
from nester.layout import BlankUse, Layout, Node
from nester.model import How
from nester.plan import Plan
from nester.sawing import walk


@dataclass(frozen=True, slots=True)
class Subject:
    """What one sheet shows: a piece of stock, or what is drawn like one, and its cuts.

    ``name`` is what it is called, ``up`` the face that is seen; ``leaf``: it was resawn;
    ``opened``: it was turned over about the seam of a book.
    """

    stock: Stock
    layout: Layout
    name: str
    notes: tuple[str, ...]
    glued: Glued | None = None
    leaf: bool = False
    up: str = "face A up"
    opened: bool = False


def leaves_of(layout: Layout, plan: Plan) -> Iterator[Subject]:
    """Yield a sheet for each leaf that is resawn in a layout, the one of face A first.

    That of a book is turned over, so that both show their sawn faces and meet at the seam.
    """
    books = {match.name for match in plan.matches if match.how is How.BOOK}
    stock = plan.stock_by_id(layout.stock)
    place = place_words(layout.stock, layout.copy, plan)
    if not isinstance(stock, Board):
        return
    for node in walk(layout.tree):
        if not is_resawn(node) or node.cut is None:
            continue
        thick = node.cut.at, layout.thickness - node.cut.at - node.cut.kerf
        sides = ("the face A side", "the face B side")
        for number, (piece, thickness, side) in enumerate(
            zip(node.pieces, thick, sides, strict=False), start=1
        ):
            opened = number == 1 and node.run in books and isinstance(piece.use, BlankUse)
            sawn = "down" if number == 1 and not opened else "up"
            board = replace(
                stock,
                length=piece.length,
                width_a=piece.width,
                width_b=piece.width,
                thickness=thickness,
                flaws=tuple(shifted(flaw, piece) for flaw in stock.flaws if meets(flaw, piece)),
            )
            over = ", turned over about the seam" if opened else ""
            edge = "the seam" if opened else "near edge"
            note = (
                f"Leaf {number} of 2 of “{node.run or 'pair'}”, {side}, after cut {node.cut.order}"
                f" on {place}{over}: the sawn face lies {sawn} here and is the"
                f" outside. Measures run from this leaf's own end A and {edge}."
            )
            own = moved(piece, piece.x, piece.y)
            if opened:
                board = replace(board, flaws=tuple(turned_over(f, piece) for f in board.flaws))
                own = unflipped(own)
            yield Subject(
                board,
                replace(
                    layout,
                    length=piece.length,
                    width=piece.width,
                    thickness=thickness,
                    tree=own,
                ),
                f"{place}, leaf {number}",
                (note,),
                leaf=True,
                up=f"{'face A' if sawn == 'down' else 'sawn face'} up",
                opened=opened,
            )


def panel_sheet(glued: Glued, plan: Plan, sizes: Formatter) -> Subject:
    """Return the sheet of a glued-up panel: its strips, glue lines, and its own cuts."""
    panel = glued.panel
    materials = materials_of(glued, plan)
    parts = {part.name: part for part in plan.parts}
    thickness = max((parts[name].thickness for name, _ in panel.parts), default=0)
    board = Board(
        id=panel.id,
        species=", ".join(materials),
        length=panel.length,
        width_a=panel.width,
        width_b=panel.width,
        thickness=thickness,
        sold_as=thickness,
        ends=Ends.SQUARE,
        edges=Edges.STRAIGHT,
    )
    sign = "″" if sizes.units == "in" else " mm"
    lost = sizes.near(glued.each_loses)
    note = (
        f"Joint the strips (each loses {lost}{sign} of its width to the glue lines), glue them up"
        " in this order and flatten the panel. Cuts are made in the panel, once the glue is dry."
    )
    return Subject(board, glued.layout(thickness), f"panel {panel.id}", (note,), glued, up="")


def moved(node: Node, x: Length, y: Length) -> Node:
    """Return a tree counted from (``x``, ``y``)."""
    cut = node.cut
    if cut is not None:
        by = {"x": x, "y": y, "z": 0}[cut.axis.value]
        cut = replace(cut, at=cut.at - by)
    return replace(
        node,
        x=node.x - x,
        y=node.y - y,
        cut=cut,
        pieces=tuple(moved(piece, x, y) for piece in node.pieces),
    )


def meets(flaw: Flaw, piece: Node) -> bool:
    """Return whether a flaw's box and a piece share an inside."""
    return (
        flaw.x < piece.x + piece.length
        and piece.x < flaw.x + flaw.length
        and flaw.y < piece.y + piece.width
        and piece.y < flaw.y + flaw.width
    )


def shifted(flaw: Flaw, piece: Node) -> Flaw:
    """Return a flaw counted from a leaf's own corner; in a leaf it counts on both faces."""
    outline = flaw.outline
    if outline is not None:
        outline = tuple((x - piece.x, y - piece.y) for x, y in outline)
    return replace(flaw, x=flaw.x - piece.x, y=flaw.y - piece.y, outline=outline, face=Face.BOTH)


def turned_over(flaw: Flaw, piece: Node) -> Flaw:
    """Return a flaw of a leaf as it lies when the leaf is turned over about its far edge."""
    outline = flaw.outline
    if outline is not None:
        outline = tuple((x, piece.width - y) for x, y in outline)
    return replace(flaw, y=piece.width - flaw.y - flaw.width, outline=outline)


def unflipped(leaf: Node) -> Node:
    """Return a blank that fills a leaf as it lies when the leaf is turned over."""
    assert isinstance(leaf.use, BlankUse)
    return replace(leaf, use=replace(leaf.use, flipped=not leaf.use.flipped))
