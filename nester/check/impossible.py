"""What cannot work, found before planning: parts that no stock can give, too little wood."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from inventory.formatter import Formatter
from inventory.issue import Issue
from inventory.measure import area
from inventory.stock import Board, Sheet, Stock
from nester.blanks import (
    Refusal,
    end_trim,
    far_loss,
    longest_flat,
    near_loss,
    needed,
    refusal,
)
from nester.blanks.eligible import flat_thickness
from nester.check.candidates import Candidate, Suited, candidates
from nester.model import Part, Project, Shop

_FURTHEST = (
    Refusal.MATERIAL,
    Refusal.NOT_FROM,
    Refusal.SAWN,
    Refusal.TOO_THICK,
    Refusal.THICKNESS,
    Refusal.TOO_THIN,
    Refusal.TOO_SHORT,
    Refusal.TOO_NARROW,
)
"""Refusals, the nearest to a fit last: the reason given is that of the stock that comes nearest."""


def cannot_work(project: Project, stock: Sequence[Stock], sizes: Formatter) -> list[Issue]:
    """Return an error for each part that no stock can give, and for wood there is too little of.

    Flaws are not looked at, so what passes here may still turn out to be missing.
    """
    shop = project.shop
    suited = Suited(stock, shop)
    issues = []
    wanted: dict[frozenset[str], list[tuple[Part, Fraction]]] = {}
    for part in project.parts:
        items = suited.to(part)
        if not any(
            refusal(part, item, shop, way) is None
            for item in items
            for way in needed(part, item, shop)
        ):
            reason = _reason(part, candidates(part, stock, shop), stock, shop, sizes)
            issues.append(Issue("cannot-work", reason, subject=part.name, source=part.source))
            continue
        ids = frozenset(item.id for item in items)
        wanted.setdefault(ids, []).append((part, Fraction(part.copies * _least(part, items, shop))))
    return issues + _too_little(wanted, stock, sizes)


def _least(part: Part, items: Sequence[Stock], shop: Shop) -> int:
    """Return the smallest area that a blank takes of any of the stock."""
    kinds = {item.surface if isinstance(item, Board) else item.grain: item for item in items}
    return min(
        way.length * way.width for item in kinds.values() for way in needed(part, item, shop)
    )


def _reason(
    part: Part, laid: Sequence[Candidate], stock: Sequence[Stock], shop: Shop, sizes: Formatter
) -> str:
    named = " or ".join(part.materials)
    furthest = max((_rank(c) for c in laid), default=0)
    if furthest == 0:
        there = sorted({item.material for item in stock}, key=str.casefold)
        return f"there is no {named} in the stock; there is {', '.join(there) or 'nothing'}"
    near = [c for c in laid if _rank(c) == furthest]
    match near[0].refusal:
        case Refusal.NOT_FROM:
            return f"all {named} in the stock is ruled out by from or not_from"
        case Refusal.SAWN:
            assert part.sawn is not None
            return f"no {named} in the stock is said to be sawn {part.sawn.value}"
        case Refusal.TOO_THICK:
            return _too_thick(part, near, named, shop, sizes)
        case Refusal.THICKNESS:
            return _thickness(part, near, named, sizes)
        case Refusal.TOO_THIN:
            return _too_thin(part, near, named, shop, sizes)
        case Refusal.TOO_SHORT:
            return _too_short(part, near, named, shop, sizes)
    return _too_narrow(part, near, named, shop, sizes)


def _rank(candidate: Candidate) -> int:
    assert candidate.refusal is not None
    return _FURTHEST.index(candidate.refusal)


def _too_thick(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    board = min((c.stock for c in near), key=lambda item: item.thickness)
    return (
        f"all {named} is too thick to plane down to {sizes.full(part.thickness)}: the thinnest is "
        f"{board.id} with {sizes.full(board.thickness)}, and thick_spare allows "
        f"{sizes.full(shop.thick_spare)} to spare"
    )


def _thickness(part: Part, near: Sequence[Candidate], named: str, sizes: Formatter) -> str:
    there = sorted({c.stock.thickness for c in near if isinstance(c.stock, Sheet)})
    found = ", ".join(sizes.full(thickness) for thickness in there)
    return f"no sheet of {named} is {sizes.full(part.thickness)} thick; there is {found}"


def _too_thin(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    left, board, way = max(
        (
            (flat_thickness(part, c.stock, shop, c.way), c.stock, c.way)
            for c in near
            if isinstance(c.stock, Board)
        ),
        key=lambda found: found[0],
    )
    text = (
        f"no {named} leaves {sizes.full(part.thickness)} flat over a blank of "
        f"{sizes.size(way.length, way.width)}; the best is {board.id} with "
        f"{sizes.length(max(left, 0))}"
    )
    length, best = max(
        (longest_flat(c.stock, shop, part.thickness, c.way.width, shop.grid), c.stock.id)
        for c in near
        if isinstance(c.stock, Board)
    )
    if length > 0:
        text += f"; {best} gives it up to a blank {sizes.length(length)} long"
    return text


def _too_short(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    need = min(c.way.length for c in near)
    room, best = max((c.stock.length - 2 * end_trim(c.stock, shop), c.stock.id) for c in near)
    return (
        f"the blank is {sizes.length(need)} long, and no {named} that fits otherwise is; the "
        f"longest is {best} with {sizes.length(max(room, 0))} between its trims"
    )


def _too_narrow(
    part: Part, near: Sequence[Candidate], named: str, shop: Shop, sizes: Formatter
) -> str:
    need = min(c.way.width for c in near)
    room, best = max((_clear_width(c, shop), c.stock.id) for c in near)
    return (
        f"the blank is {sizes.length(need)} wide, and no {named} that fits otherwise is; the "
        f"widest is {best} with {sizes.length(max(room, 0))} between its edges"
    )


def _clear_width(candidate: Candidate, shop: Shop) -> int:
    item = candidate.stock
    length = min(candidate.way.length, item.length)
    return item.width - near_loss(item, shop, length) - far_loss(item, shop)


def _too_little(
    wanted: dict[frozenset[str], list[tuple[Part, Fraction]]],
    stock: Sequence[Stock],
    sizes: Formatter,
) -> list[Issue]:
    """Return an error for each set of stock that is smaller than the blanks it alone can give."""
    issues = []
    told: list[frozenset[str]] = []
    for ids in sorted(wanted, key=lambda ids: (len(ids), sorted(ids))):
        if any(smaller <= ids for smaller in told):
            continue  # would only say the same again
        parts = [entry for inner, entries in wanted.items() if inner <= ids for entry in entries]
        need = sum((size for _, size in parts), Fraction(0))
        have = sum((area(item) * item.count for item in stock if item.id in ids), Fraction(0))
        if need > have:
            issues.append(_short_of(parts, need, have, [i for i in stock if i.id in ids], sizes))
            told.append(ids)
    return issues


def _short_of(
    parts: Sequence[tuple[Part, Fraction]],
    need: Fraction,
    have: Fraction,
    items: Sequence[Stock],
    sizes: Formatter,
) -> Issue:
    names = listed([part.name for part, _ in parts])
    message = (
        f"there is too little wood for {names}: the blanks come to {sizes.area(ceil(need))}, and "
        f"the stock that can give them to {sizes.area(int(have))}"
    )
    return Issue("too-little-wood", message, source=parts[0][0].source)


def listed(names: Sequence[str], most: int = 6) -> str:
    """Return names in a row, the first few of a long list and how many more there are."""
    named = ", ".join(f'"{name[:40]}"' for name in names[:most])
    more = len(names) - most
    return f"{named} and {more} more" if more > 0 else named
