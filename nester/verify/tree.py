"""The cut tree as geometry: pieces and kerfs fill the stock's bounding box exactly, on the grid."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.losses import kerf_for, run_loss, run_saw, saw_for
from nester.verify.number import mm, up
from nester.verify.records import Cut, Layout, Node, Shop


def check_root(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """The root is the bounding box of the stock, from end A and the near edge."""
    root, stock = laid.layout.tree[0], laid.stock
    box = (root.x, root.y, root.length, root.width)
    if box != (0, 0, stock.length, stock.width):
        size = f"{mm(stock.length)} x {mm(stock.width)}"
        message = f"the tree must begin with the whole of the stock, {size}"
        found = f"{mm(root.length)} x {mm(root.width)} at {mm(root.x)}, {mm(root.y)}"
        yield Fault("root", message, laid.layout.place, found)


def check_cuts(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Each cut lies inside its node, and its pieces and its kerf fill the node exactly."""
    for node, cut in laid.cuts():
        place = laid.layout.cut_place(cut)
        if cut.axis == "z":
            yield from _check_leaves(laid, node, cut)
            continue
        start, end = node.span(cut.axis)
        if not start <= cut.at < end:
            message = f"the cut does not lie inside its piece, {mm(start)} to {mm(end)}"
            yield Fault("cut-inside", message, place, mm(cut.at))
            continue
        yield from _check_piece(laid.layout, node, cut, "first", start, cut.at)
        yield from _check_piece(laid.layout, node, cut, "second", cut.at + cut.kerf, end)


def _check_leaves(laid: Laid, node: Node, cut: Cut) -> Iterator[Fault]:
    """A resaw cut leaves wood on both sides, and both leaves are as large as what it splits."""
    place = laid.layout.cut_place(cut)
    low, high = laid.depths[node.index]
    if not 0 < cut.at < cut.at + cut.kerf < high - low:
        message = f"the resaw cut does not lie inside its piece, {mm(high - low)} thick"
        yield Fault("cut-inside", message, place, mm(cut.at))
    for index in (node.first, node.second):
        if index is None:
            continue
        leaf = laid.layout.tree[index]
        if (leaf.span("x"), leaf.span("y")) != (node.span("x"), node.span("y")):
            message = "a leaf must be as long and as wide as what it is resawn from"
            yield Fault("fill", message, place, f"{mm(leaf.length)} x {mm(leaf.width)}")


def _check_piece(
    layout: Layout, node: Node, cut: Cut, which: str, start: int, end: int
) -> Iterator[Fault]:
    """One piece of a cut is where it must be, and is there unless the kerf leaves nothing of it."""
    index = node.first if which == "first" else node.second
    place = layout.cut_place(cut)
    if index is None:
        if start < end:
            message = f"the {which} piece, {mm(start)} to {mm(end)}, is missing"
            yield Fault("fill", message, place)
        return
    piece = layout.tree[index]
    across = "y" if cut.axis == "x" else "x"
    if start >= end:
        yield Fault("fill", f"the kerf leaves no {which} piece", place)
    elif piece.span(cut.axis) != (start, end):
        low, high = piece.span(cut.axis)
        message = f"the {which} piece must run from {mm(start)} to {mm(end)}"
        yield Fault("fill", message, place, f"{mm(low)} to {mm(high)}")
    elif piece.span(across) != node.span(across):
        low, high = piece.span(across)
        message = f"the {which} piece must be as wide as what it is cut from"
        yield Fault("fill", message, place, f"{mm(low)} to {mm(high)}")


def check_grid(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Both sides of each kerf lie on the grid, from end A or the near edge."""
    for _, cut in laid.cuts():
        # The second leaf of a resaw cut is what is left, whatever that is.
        for side in sorted({cut.at, cut.at + cut.kerf}):
            if side % shop.grid:
                message = f"the cut is off the grid of {mm(shop.grid)}"
                yield Fault("grid", message, laid.layout.cut_place(cut), mm(side))


def check_saws(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Each cut is made with the saw for it, and loses that saw's kerf."""
    for node, cut in laid.cuts():
        saw, kerf = _saw(shop, laid, node, cut)
        place = laid.layout.cut_place(cut)
        if cut.saw != saw:
            yield Fault("saw", f'the saw must be "{saw}"', place, cut.saw)
        if kerf is not None and cut.kerf != kerf:
            yield Fault("kerf", f"the kerf must be {mm(kerf)}", place, mm(cut.kerf))


def _saw(shop: Shop, laid: Laid, node: Node, cut: Cut) -> tuple[str, int | None]:
    """Return the saw for a cut and its kerf; None where no match says what a joint loses."""
    if cut.axis == "z":
        return "resaw", up(shop.kerf["resaw"], shop.grid)
    if node.index in laid.runs.inside:
        run = laid.runs.tops[laid.runs.inside[node.index]]
        return run_saw(laid.stock, run), run_loss(shop, laid.stock, run)
    return saw_for(laid.stock, cut.axis), kerf_for(shop, laid.stock, cut.axis)


def check_order(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """The cuts of a layout are numbered 1 to n, each before the cuts in its pieces."""
    orders: dict[int, int] = {}
    for node, cut in laid.cuts():
        orders[node.index] = cut.order
        if node.parent is not None and cut.order <= orders[node.parent]:
            message = f"the cut comes before cut {orders[node.parent]}, which frees its piece"
            yield Fault("order", message, laid.layout.cut_place(cut))
    if sorted(orders.values()) != list(range(1, len(orders) + 1)):
        message = f"the cuts must be numbered 1 to {len(orders)}, each once"
        found = ", ".join(str(order) for order in sorted(orders.values()))
        yield Fault("order", message, laid.layout.place, found)
