"""Straightening: what a board piece loses on its edges before it is ripped or taken as a blank."""

from collections.abc import Iterator
from fractions import Fraction

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.losses import far_limit, near_loss
from nester.verify.number import mm
from nester.verify.outline import widest
from nester.verify.records import Cut, Node, Shop


def check_near_edge(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A board piece is straightened on its near edge before any other rip or its use as blank.

    A run is one blank, and so is a piece that is resawn. A piece that is only crosscut on, kept as
    an offcut or thrown away loses nothing.
    """
    straight: set[int] = set()
    for node in laid.layout.tree:
        is_straight = node.index in straight
        if _needs_straightening(laid, node) and not is_straight:
            loss = near_loss(shop, laid.stock, node.length)
            if loss:
                yield Fault(
                    "straighten",
                    f"the near edge is not straightened first; over {mm(node.length)} of length "
                    f"it loses {mm(loss)}",
                    _place(laid, node),
                )
            is_straight = True
        after = [i for i in (node.first, node.second) if i is not None]
        if is_straight:
            straight.update(after)
        elif _is_near_trim(laid, node) and node.second is not None:
            straight.add(node.second)


def _needs_straightening(laid: Laid, node: Node) -> bool:
    """Whether a node is ripped, trims apart, or is a blank, a run or a strip as it is."""
    if node.index in laid.runs.tops:
        return True
    if node.cut is not None:
        return node.cut.axis == "z" or (node.cut.axis == "y" and node.index not in laid.trims)
    return node.use is not None and node.use.kind in {"blank", "strip"}


def _is_near_trim(laid: Laid, node: Node) -> bool:
    cut = node.cut
    return cut is not None and cut.axis == "y" and laid.trims.get(node.index) == "start"


def _place(laid: Laid, node: Node) -> str:
    if node.cut is not None:
        return laid.layout.cut_place(node.cut)
    return laid.layout.leaf_place(node)


def check_far_edge(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A blank ends within the narrowest width over its own length, less the trim there."""
    if not laid.stock.board:
        return
    for node in laid.leaves("blank", "strip"):
        limit = far_limit(shop, laid.stock, node)
        _, end = node.span("y")
        if end > limit:
            place = laid.layout.leaf_place(node)
            message = f"over this length the wood that is left ends at {mm(limit)}"
            yield Fault("far-edge", message, place, mm(end))


def check_short_rips(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """No board piece too short for the saw, or shorter than it is wide, is ripped."""
    if not laid.stock.board or not shop.shortest_rip:
        return
    for node, cut in laid.cuts():
        if cut.axis != "y" or node.index in laid.trims:
            continue
        yield from _short_rip(shop, laid, node, cut)


def _short_rip(shop: Shop, laid: Laid, node: Node, cut: Cut) -> Iterator[Fault]:
    x0, x1 = node.span("x")
    y0, y1 = node.span("y")
    wide = min(Fraction(y1), widest(laid.stock, x0, x1)) - y0
    place = laid.layout.cut_place(cut)
    if node.length < shop.shortest_rip:
        message = f"a piece shorter than {mm(shop.shortest_rip)} is ripped"
        yield Fault("shortest-rip", message, place, mm(node.length))
    elif node.length < wide:
        message = f"a piece shorter than it is wide ({mm(wide)}) is ripped"
        yield Fault("shortest-rip", message, place, mm(node.length))
