"""Why a match that only a thick board gives, resawn into two leaves, could not be had."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from inventory.formatter import Formatter
from inventory.length import Length
from inventory.stock import Board, Face, Stock
from nester.blanks import Needed
from nester.blanks.eligible import Refusal
from nester.layout import Layout
from nester.model import Part, Shop
from nester.reasons.span import clear_span
from nester.reasons.unfit import candidates


def why_no_leaves(
    part: Part,
    items: Sequence[Stock],
    shop: Shop,
    layouts: Sequence[Layout],
    size: tuple[Length, Length],
) -> str | None:
    """Return one sentence on why ``part`` was not resawn with its match; None where it is no case.

    ``size`` is the length and width of the blank that both leaves come from. A flaw counts on both
    faces of both leaves.
    """
    laid = candidates(part, items, shop)
    boards = {
        c.stock.id: c.stock
        for c in laid
        if isinstance(c.stock, Board) and c.refusal is Refusal.TOO_THICK
    }
    if not boards or any(candidate.refusal is None for candidate in laid):
        return None
    sizes = Formatter(shop.system.value, shop.tape)
    length, width = size
    way = Needed(length, width, False, length, width, length)
    spans = [(clear_span(part, way, _on_both_faces(b), shop), b) for b in boards.values()]
    (start, end), board = max(spans, key=lambda span: span[0][1] - span[0][0])
    named = " or ".join(part.materials)
    opening = (
        f"{named} at hand gives it only with its whole match, as two leaves resawn from one blank "
        f"of {sizes.size(length, width)}"
    )
    if end - start < length:
        where = f"; the longest is on {board.id} from {sizes.full(start)} to {sizes.full(end)}"
        return (
            f"{opening}, and flaws leave no stretch of that length clear"
            f"{where if end > start else ''}"
        )
    used = Counter(layout.stock for layout in layouts)
    roomy = [b for (low, high), b in spans if high - low >= length]
    idle = sorted(b.id for b in roomy if used[b.id] < b.count)
    if idle:
        return (
            f"{opening}, and no place was found for that in the time given, though "
            f"{', '.join(idle[:3])} is not used up; let the planning run longer"
        )
    return f"{opening}, and all that could give that is used up by other parts"


def _on_both_faces(board: Board) -> Board:
    return replace(board, flaws=tuple(replace(flaw, face=Face.BOTH) for flaw in board.flaws))
