"""Why a plan could not give all copies of a part."""

from collections import Counter
from collections.abc import Sequence

from inventory.formatter import Formatter
from inventory.stock import Stock
from nester.layout import Layout
from nester.model import Part, Quality, Shop
from nester.reasons.span import clear_span
from nester.reasons.unfit import Candidate, candidates, on_s4s, why_unfit


def why_missing(part: Part, items: Sequence[Stock], shop: Shop, layouts: Sequence[Layout]) -> str:
    """Return one sentence on why ``part`` could not be cut from ``items``."""
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
    if end - start >= way.length:
        used = Counter(layout.stock for layout in layouts)
        idle = sorted(
            {
                item.id
                for (low, high), item, way in spans
                if high - low >= way.length and used[item.id] < item.count
            }
        )
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
