"""Why a plan could not give all copies of a part."""

from collections import Counter
from collections.abc import Sequence

from inventory.formatter import Formatter
from inventory.length import Length
from inventory.stock import Board, Stock
from nester.layout import Layout
from nester.model import Part, Quality, Shop
from nester.reasons.glued import as_strip
from nester.reasons.leaves import why_no_leaves
from nester.reasons.place import has_place, trim_meets_metal
from nester.reasons.span import clear_span
from nester.reasons.unfit import Candidate, candidates, on_s4s, why_unfit


def why_missing(
    part: Part,
    items: Sequence[Stock],
    shop: Shop,
    layouts: Sequence[Layout],
    required: str | None = None,
    leaves: tuple[Length, Length] | None = None,
) -> str:
    """Return one sentence on why ``part`` could not be cut from ``items``.

    ``required`` names a match that it must belong to whole, if there is one. ``leaves`` is the
    length and width of a blank that, flaws apart, a board gives and that is resawn into two leaves
    with the whole of its match.
    """
    if required is not None:
        return (
            f'the match "{required}" is required, and no place was found for all of it together; '
            "with required = false its parts may be cut apart"
        )
    if leaves is not None:
        reason = why_no_leaves(part, items, shop, layouts, leaves)
        if reason is not None:
            return reason
    if part.glue_up is None:
        return _why_in_one_piece(part, items, shop, layouts)
    boards = [item for item in items if isinstance(item, Board)]
    strips = [as_strip(part, item, shop) for item in boards]
    fit = any(
        candidate.refusal is None
        for strip, board in zip(strips, boards, strict=True)
        for candidate in candidates(strip, [board], shop)
    )
    if fit:
        named = " or ".join(part.materials)
        narrow = Formatter(shop.system.value, shop.tape).length(strips[0].width)
        return (
            f"too little {named} is left for it, in one piece or in strips from {narrow} wide, at "
            f"most {part.glue_up.max_strips} of them"
        )
    whole = _why_in_one_piece(part, items, shop, layouts)
    if not boards:
        return whole
    thinnest = min(strips, key=lambda strip: strip.plane_off or 0)
    narrow = _why_in_one_piece(thinnest, boards, shop, layouts)
    return f"{whole}; glued up, even its narrowest strip cannot be had: {narrow}"


def _why_in_one_piece(
    part: Part, items: Sequence[Stock], shop: Shop, layouts: Sequence[Layout]
) -> str:
    sizes = Formatter(shop.system.value, shop.tape)
    laid = candidates(part, items, shop)
    fitting = [candidate for candidate in laid if candidate.refusal is None]
    if not fitting:
        return why_unfit(part, laid, shop, sizes)
    return _flawed_or_used(part, fitting, shop, sizes, layouts)


def _flawed_or_used(
    part: Part,
    fitting: Sequence[Candidate],
    shop: Shop,
    sizes: Formatter,
    layouts: Sequence[Layout],
) -> str:
    named = " or ".join(part.materials)
    spans = [(clear_span(part, c.way, c.stock, shop), c.stock, c.way) for c in fitting]
    (start, end), item, way = max(spans, key=lambda s: s[0][1] - s[0][0])
    roomy = {item.id for (low, high), item, way in spans if high - low >= way.length}
    if part.cutaways:
        roomy |= {item.id for _, item, _ in spans if has_place(part, item, shop)}
    if roomy:
        used = Counter(layout.stock for layout in layouts)
        idle = sorted(
            {item.id for _, item, _ in spans if item.id in roomy and used[item.id] < item.count}
        )
        stopped = {
            item.id
            for _, item, _ in spans
            if item.id in idle and trim_meets_metal(part, item, shop)
        }
        if idle and len(stopped) == len(idle):
            return (
                f"nothing can be cut from {', '.join(idle[:3])}: the cuts that trim it would come "
                f"closer than {sizes.full(shop.metal_clear)} to metal; take the metal out, or cut "
                "that end or edge off first and measure again"
            )
        idle = [name for name in idle if name not in stopped]
        if idle:
            return (
                f"no place was found for it in the time given, though {', '.join(idle[:3])} "
                "is not used up; let the planning run longer"
            )
        return f"all {named} that could give it is used up by other parts"
    word = "sound" if part.quality in (Quality.SOUND, Quality.HIDDEN) else "clear"
    where = (
        f"; the longest is on {item.id} from {sizes.full(start)} to {sizes.full(end)}"
        if end > start
        else ""
    )
    return (
        f"no {word} {named} {sizes.full(part.thickness)} thick and {sizes.full(way.width)} wide"
        f"{on_s4s(part, item, shop)} is {sizes.full(way.length)} long{where}"
    )
