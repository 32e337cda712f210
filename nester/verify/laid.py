"""A layout with its stock item, and which of its cuts are trims.

A cut is a trim where its small piece says so. Where the kerf takes the whole trim there is no small
piece to say it: then a cut along the edge of the stock that takes just what that edge loses is one.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from nester.verify.deal import Dealt, deal
from nester.verify.losses import (
    end_loss,
    far_limit,
    far_loss,
    last_of_length,
    near_loss,
    sheet_loss,
)
from nester.verify.records import Cut, Layout, Node, Panel, Part, Plan, Shop, Stock
from nester.verify.runs import Runs, find_runs


@dataclass(frozen=True, slots=True)
class Laid:
    """A layout whose stock item is known, or a glued-up panel as if it were a piece of stock.

    ``trims`` holds, by the index of a node, "start" or "end": the side on which its cut is a trim.
    ``full`` holds the nodes above which no cut but trims goes across the length. ``depths`` holds
    for each node from where to where in the thickness of the stock it reaches, face A first.
    ``needs`` keeps sizes of runs that were worked out.
    """

    layout: Layout
    stock: Stock
    parts: Mapping[str, Part]
    trims: Mapping[int, str]
    full: frozenset[int]
    runs: Runs
    depths: Mapping[int, tuple[int, int]]
    panel: Panel | None = None
    needs: dict[tuple[int, str], int | Fraction] = field(default_factory=dict, compare=False)

    def leaves(self, *kinds: str) -> Iterator[Node]:
        """Yield the leaves whose use is one of ``kinds``."""
        for node in self.layout.tree:
            if node.use is not None and node.use.kind in kinds:
                yield node

    def cuts(self) -> Iterator[tuple[Node, Cut]]:
        """Yield the nodes that are cut, with their cuts."""
        for node in self.layout.tree:
            if node.cut is not None:
                yield node, node.cut


def lay(plan: Plan) -> list[Laid]:
    """Return the layouts whose stock item is in the plan and of the layout's kind."""
    laid = []
    dealt = deal(plan.matches, plan.parts)
    for layout in plan.layouts:
        stock = plan.stock.get(layout.stock)
        if stock is not None and stock.kind == layout.kind:
            laid.append(_laid(plan, layout, stock, dealt))
    return laid


def lay_panels(plan: Plan) -> list[Laid]:
    """Return the panels, each as a board that loses nothing on its ends and edges.

    It is as S4S stock where all the boards its strips come from are.
    """
    dealt = deal(plan.matches, plan.parts)
    surfaces: dict[str, set[str]] = {}
    for layout in plan.layouts:
        stock = plan.stock.get(layout.stock)
        for node in layout.tree:
            if stock is not None and node.use is not None and node.use.kind == "strip":
                surfaces.setdefault(node.use.panel, set()).add(stock.surface)
    laid = []
    for panel in plan.panels:
        found = surfaces.get(panel.id, set())
        stock = _panel_stock(panel, "S4S" if found == {"S4S"} else "rough")
        laid.append(_laid(plan, panel.layout, stock, dealt, panel))
    return laid


def _panel_stock(panel: Panel, surface: str) -> Stock:
    """Return a panel as if it were a board."""
    return Stock(
        id=panel.id,
        board=True,
        material="",
        length=panel.layout.length,
        width_a=panel.layout.width,
        width_b=panel.layout.width,
        thickness=0,
        sold=0,
        nominal=0,
        rough_ends=False,
        rough_edges=False,
        surface=surface,
        sawn="",
        grain="",
        count=1,
        bow=0,
        crook=0,
        cup=0,
        twist=0,
        price=Fraction(0),
        per="piece",
        flaws=(),
    )


def trim_places(shop: Shop, stock: Stock, node: Node, axis: str, side: str, full: bool) -> set[int]:
    """Return where the sound side of a trim of this node may lie; empty where none is to be cut.

    A near edge that is straightened before any crosscut may give up the crook of the whole board,
    or only that of the length between the trimmed ends.
    """
    start, end = node.span(axis)
    whole = stock.length if axis == "x" else stock.width
    if side == "start":
        if start != 0:
            return set()
        if not stock.board:
            losses = {sheet_loss(shop, stock, axis)}
        elif axis == "x":
            losses = {end_loss(shop, stock)}
        else:
            losses = {near_loss(shop, stock, node.length)}
            if full:
                losses.add(near_loss(shop, stock, stock.length))
        return {loss for loss in losses if loss > 0}
    if end != whole:
        return set()
    if axis == "x":
        place = last_of_length(shop, stock)
        lost = end_loss(shop, stock) if stock.board else sheet_loss(shop, stock, "x")
        return {place} if lost else set()
    lost = far_loss(shop, stock) if stock.board else sheet_loss(shop, stock, "y")
    return {int(far_limit(shop, stock, node))} if lost else set()


def _laid(
    plan: Plan,
    layout: Layout,
    stock: Stock,
    dealt: Mapping[str, Dealt],
    panel: Panel | None = None,
) -> Laid:
    """Return a layout with its trims, its runs and its leaves of wood found."""
    trims: dict[int, str] = {}
    full = {0}
    depths = {0: (0, stock.thickness)}
    runs = find_runs(layout, dealt)
    for node in layout.tree:
        cut = node.cut
        if cut is None:
            continue
        _split(depths, node, cut)
        if cut.axis == "z" or node.index in runs.inside:
            continue
        is_full = node.index in full
        side = _trim_side(plan.shop, layout, stock, node, cut, is_full)
        if side is not None:
            trims[node.index] = side
        if is_full and (side is not None or cut.axis == "y"):
            full.update(i for i in (node.first, node.second) if i is not None)
    return Laid(layout, stock, plan.parts, trims, frozenset(full), runs, depths, panel)


def _split(depths: dict[int, tuple[int, int]], node: Node, cut: Cut) -> None:
    """Note how deep the pieces of a node lie in the thickness of the stock."""
    low, high = depths[node.index]
    first, second = ((low, low + cut.at), (low + cut.at + cut.kerf, high))
    if cut.axis != "z":
        first = second = (low, high)
    for index, depth in ((node.first, first), (node.second, second)):
        if index is not None:
            depths[index] = depth


def _trim_side(
    shop: Shop, layout: Layout, stock: Stock, node: Node, cut: Cut, full: bool
) -> str | None:
    """Return the side on which a cut is a trim, None where it is none."""
    for side, index in (("start", node.first), ("end", node.second)):
        if index is None:
            place = cut.at + cut.kerf if side == "start" else cut.at
            if place in trim_places(shop, stock, node, cut.axis, side, full):
                return side
        else:
            use = layout.tree[index].use
            if use is not None and use.trim:
                return side
    return None
