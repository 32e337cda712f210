"""What cannot work, found before planning: parts that no stock can give, too little wood."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from inventory.formatter import Formatter
from inventory.issue import Issue
from inventory.measure import area
from inventory.stock import Board, Stock
from nester.blanks import needed, refusal
from nester.check.candidates import Suited
from nester.model import How, Part, Project, Shop
from nester.reasons.glued import as_strip
from nester.reasons.unfit import candidates, why_unfit


def cannot_work(project: Project, stock: Sequence[Stock], sizes: Formatter) -> list[Issue]:
    """Return an error for each part that no stock can give, and for wood there is too little of.

    Flaws are not looked at, so what passes here may still turn out to be missing.
    """
    shop = project.shop
    suited = Suited(stock, shop)
    issues = []
    wanted: dict[frozenset[str], list[tuple[Part, Fraction]]] = {}
    together = {name: match.how for match in project.matches for name in match.parts}
    thick = _by_resawing(project, stock)

    def least(part: Part, items: Sequence[Stock]) -> Fraction:
        how = together.get(part.name)
        if how is None and part.glue_up is None:
            return Fraction(_least(part, items, shop))
        # Runs and panels share what is added to a blank, and two leaves come from one.
        resawn = how in (How.WRAP, How.BOOK)
        return Fraction(part.length * part.width, 2 if resawn else 1)

    for part in project.parts:
        if not part.materials:
            continue  # that it names none is told already
        items = suited.to(part)
        if not any(_gives(part, item, shop) for item in items):
            if part.name in thick:
                continue  # no board gives it whole, but a thick one a leaf with it
            reason = why_unfit(part, candidates(part, stock, shop), shop, sizes)
            issues.append(Issue("cannot-work", reason, subject=part.name, source=part.source))
            continue
        ids = frozenset(item.id for item in items)
        wanted.setdefault(ids, []).append((part, Fraction(part.copies * least(part, items))))
    return issues + _too_little(wanted, stock, sizes)


def _by_resawing(project: Project, stock: Sequence[Stock]) -> set[str]:
    """Return the parts whose whole match some board may give as two leaves, flaws apart."""
    if all(match.how not in (How.WRAP, How.BOOK) for match in project.matches):
        return set()
    from nester.check.runs import resawn  # loaded for matches only, as it takes a while

    found = {row.match for row in resawn(project, stock)}
    return {name for match in project.matches if match.name in found for name in match.parts}


def _gives(part: Part, item: Stock, shop: Shop) -> bool:
    """Whether a stock item may give a part, or a strip of one that may be glued up."""
    ways = [part]
    if part.glue_up is not None and isinstance(item, Board):
        ways.append(as_strip(part, item, shop))
    return any(
        refusal(one, item, shop, way) is None for one in ways for way in needed(one, item, shop)
    )


def _least(part: Part, items: Sequence[Stock], shop: Shop) -> int:
    """Return the smallest area that a blank takes of any of the stock."""
    kinds = {item.surface if isinstance(item, Board) else item.grain: item for item in items}
    return min(
        way.length * way.width for item in kinds.values() for way in needed(part, item, shop)
    )


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
