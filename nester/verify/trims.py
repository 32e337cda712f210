"""Trims: cut only where an edge is lost, and of exactly what it loses; and no use of lost wood."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.laid import Laid, trim_places
from nester.verify.losses import end_loss, last_of_length, sheet_loss
from nester.verify.number import mm
from nester.verify.records import Node, Shop


def check_trims(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Each trim lies along an edge of the stock that is lost, and takes just that loss."""
    for node, cut in laid.cuts():
        side = laid.trims.get(node.index)
        if side is None:
            continue
        full = node.index in laid.full
        places = trim_places(shop, laid.stock, node, cut.axis, side, full)
        found = cut.at + cut.kerf if side == "start" else cut.at
        place = laid.layout.cut_place(cut)
        if not places:
            yield Fault("trim-place", "a trim where nothing is lost", place, mm(cut.at))
        elif found not in places:
            wanted = " or ".join(mm(p) for p in sorted(places))
            yield Fault("trim-size", f"the trim must reach to {wanted}", place, mm(found))


def check_trim_labels(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Only a piece that a trim cut off may be called a trim, and only one piece of a cut."""
    cut_off = {
        laid.layout.tree[index].first if side == "start" else laid.layout.tree[index].second
        for index, side in laid.trims.items()
    }
    for node in laid.leaves("waste"):
        if node.use is not None and node.use.trim and node.index not in cut_off:
            place = laid.layout.leaf_place(node)
            yield Fault("trim-place", "a trim that no trim cut took off", place)


def check_ends(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A board with rough ends is trimmed at both, and nothing else lies in what they lose.

    An edge that was trimmed, or a strip of waste that was ripped off, before the ends were trimmed
    still runs over the ends.
    """
    loss = end_loss(shop, laid.stock)
    if not loss:
        return
    last = last_of_length(shop, laid.stock)
    for node in laid.leaves("blank", "strip", "offcut", "waste"):
        x0, x1 = node.span("x")
        for side, lies_in in (("start", x0 < loss), ("end", x1 > last)):
            if lies_in and not _goes_with_end(laid, node, side):
                message = f"the rough end {'A' if side == 'start' else 'B'} is not trimmed off"
                yield Fault("end-trim", message, laid.layout.leaf_place(node), mm(x1 - x0))


def _goes_with_end(laid: Laid, node: Node, side: str) -> bool:
    """Whether a leaf over a rough end is a trim, or waste over the whole length."""
    use = node.use
    if use is None or use.kind != "waste" or node.parent is None:
        return False
    above = laid.layout.tree[node.parent]
    if use.trim and above.cut is not None:
        return above.cut.axis == "y" or laid.trims.get(above.index) == side
    return node.span("x") == (0, laid.stock.length)


def check_sheet_edges(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """No blank and no offcut lies in what a sheet loses along its edges."""
    for node in laid.leaves("blank", "strip", "offcut"):
        for axis, whole in (("x", laid.stock.length), ("y", laid.stock.width)):
            loss = sheet_loss(shop, laid.stock, axis)
            start, end = node.span(axis)
            if loss and (start < loss or end > whole - loss):
                place = laid.layout.leaf_place(node)
                message = f"lies within {mm(loss)} of the sheet's edge, which is lost"
                yield Fault("sheet-trim", message, place, f"{mm(start)} to {mm(end)}")
