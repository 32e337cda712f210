"""Flaws in and near a blank, judged by the quality of its part.

A sound flaw, wane and a void count where they touch the blank's rectangle. Any other unsound flaw
is kept clear of: by ``flaw_margin`` on all sides, or, as checks, splits and shakes run on with
the grain, by ``split_margin`` along the grain.
"""

from collections.abc import Iterator

from nester.verify.blank import Blank
from nester.verify.cutaways import cut_away
from nester.verify.fault import Fault
from nester.verify.number import mm
from nester.verify.records import Flaw, Shop, Stock
from nester.verify.shapes import Rect, touches

_RUNNING = frozenset({"check", "split", "shake"})
_NO_MARGIN = frozenset({"wane", "void"})
_NEVER = frozenset({"metal", "void"})
_HIDDEN_MAY_HOLD = frozenset({"knot", "bark pocket", "worm hole"})


def check_quality(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """No flaw that the part's quality forbids touches the blank, margins included.

    What lies wholly inside a cutaway does not count.
    """
    for flaw in too_near(shop, blank):
        message = f'too near to a flaw for quality "{blank.part.quality}"'
        found = f"{flaw.kind} at {mm(flaw.x)}, {mm(flaw.y)}"
        yield Fault("quality", message, blank.place, found)


def too_near(shop: Shop, blank: Blank) -> Iterator[Flaw]:
    """Yield the flaws of the stock that a blank may not hold and does not keep clear of."""
    for flaw in blank.stock.flaws:
        if (
            forbids(blank, flaw)
            and touches(flaw, kept_clear(shop, blank, flaw))
            and not cut_away(blank, flaw)
        ):
            yield flaw


def forbids(blank: Blank, flaw: Flaw) -> bool:
    """Whether the blank may not hold a flaw, wherever it lies.

    Metal and voids are never allowed, whatever ``allow`` says: the one ruins the knives, the
    other is no wood. A flaw of a resawn board is on both faces of both leaves.
    """
    if flaw.kind in _NEVER:
        return True
    if flaw.kind in blank.part.allow:
        return False
    quality = blank.part.quality
    if quality == "clear":
        return True
    if quality == "clear face":
        shows = "b" if blank.use.flipped else "a"
        return not flaw.sound or blank.resawn or flaw.face in (shows, "both")
    if quality == "sound" or flaw.sound:
        return not flaw.sound
    small = flaw.kind in _HIDDEN_MAY_HOLD and 3 * flaw.width <= blank.own_width
    return not small


def kept_clear(shop: Shop, blank: Blank, flaw: Flaw) -> Rect:
    """Return the blank's rectangle with the margin that this flaw asks for."""
    x0, x1 = blank.node.span("x")
    y0, y1 = blank.node.span("y")
    rect = Rect(x0, y0, x1, y1)
    if flaw.sound or flaw.kind in _NO_MARGIN:
        return rect
    if flaw.kind in _RUNNING:
        along, across = _with_grain(blank.stock)
        return rect.grown(shop.split_margin * along, shop.split_margin * across)
    return rect.grown(shop.flaw_margin, shop.flaw_margin)


def _with_grain(stock: Stock) -> tuple[int, int]:
    """Return 1 for each of x and y along which a split may run on.

    A sheet without a face grain may split either way.
    """
    if stock.board or stock.grain == "length":
        return 1, 0
    return (0, 1) if stock.grain == "width" else (1, 1)
