"""What saws and trims take from a stock item. Lengths are in 1/320 mm, on the grid."""

from fractions import Fraction

from nester.verify.miter import joint_loss
from nester.verify.number import down, up
from nester.verify.outline import narrowest
from nester.verify.records import Node, Shop, Stock
from nester.verify.runs import Run

_ROUGH = frozenset({"rough", "skip planed"})


def saw_for(stock: Stock, axis: str) -> str:
    """Return the saw for a cut; boards are ripped rough until two sides are planed."""
    if not stock.board:
        return "sheet"
    if axis == "x":
        return "crosscut"
    return "rough_rip" if stock.surface in _ROUGH else "rip"


def kerf_for(shop: Shop, stock: Stock, axis: str) -> int:
    """Return the kerf of a cut, rounded up to the grid."""
    return up(shop.kerf[saw_for(stock, axis)], shop.grid)


def run_saw(stock: Stock, run: Run) -> str:
    """Return what saws the parts of a run apart, as the document names it.

    A stack is ripped: it is milled by then, so at the fence.
    """
    if run.how != "stack":
        return "miter"
    return "rip" if stock.board else "sheet"


def run_loss(shop: Shop, stock: Stock, run: Run) -> int | None:
    """Return what is lost between neighbours of a run, on the grid, None without such a match.

    A wrap loses the kerf over the cosine of its miter, a sequence a crosscut, a stack a rip.
    """
    if run.dealt is None:
        return None
    match = run.dealt.match
    if not stock.board:
        saw = "sheet"
    else:
        saw = "rip" if match.how == "stack" else "crosscut"
    miter = match.miter if match.how == "wrap" else Fraction(0)
    return joint_loss(shop.kerf[saw], miter, match.joint_trim, shop.grid)


def end_loss(shop: Shop, stock: Stock) -> int:
    """Return what each end of a board loses: nothing where its ends are square."""
    if not stock.rough_ends:
        return 0
    return _trimmed(shop, stock, "x", Fraction(shop.end_trim))


def near_loss(shop: Shop, stock: Stock, length: int) -> int:
    """Return what a board piece of ``length`` loses on its near edge.

    The trim of a rough edge and the piece's share of the crook, which goes with the square of its
    length, together.
    """
    if not stock.board:
        return 0
    trim = shop.edge_trim if stock.rough_edges else 0
    crook = Fraction(stock.crook * length * length, stock.length * stock.length)
    return _trimmed(shop, stock, "y", trim + crook)


def far_loss(shop: Shop, stock: Stock) -> int:
    """Return what a board's far edge loses below its narrowest width."""
    if not stock.rough_edges:
        return 0
    return _trimmed(shop, stock, "y", Fraction(shop.edge_trim))


def sheet_loss(shop: Shop, stock: Stock, axis: str) -> int:
    """Return what a sheet loses along each edge that a cut along ``axis`` trims."""
    return 0 if stock.board else _trimmed(shop, stock, axis, Fraction(shop.sheet_trim))


def last_of_length(shop: Shop, stock: Stock) -> int:
    """Return where the usable length ends, at end B."""
    loss = end_loss(shop, stock) if stock.board else sheet_loss(shop, stock, "x")
    return down(stock.length - loss, shop.grid) if loss else stock.length


def far_limit(shop: Shop, stock: Stock, node: Node) -> int | Fraction:
    """Return how far across a blank, or a far trim, of this node's own length may lie.

    On the grid wherever something is trimmed there; the true edge where nothing is.
    """
    x0, x1 = node.span("x")
    least = narrowest(stock, x0, x1)
    loss = far_loss(shop, stock) if stock.board else sheet_loss(shop, stock, "y")
    return down(least - loss, shop.grid) if loss else least


def _trimmed(shop: Shop, stock: Stock, axis: str, loss: Fraction) -> int:
    """Return a loss on the grid: none, or at least the kerf of the saw that takes it off."""
    return max(up(loss, shop.grid), kerf_for(shop, stock, axis)) if loss > 0 else 0
