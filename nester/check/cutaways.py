"""Cautions about cutaways: what may lie loose in them when they are laid over flaws."""

from collections.abc import Sequence

from inventory.issue import Issue, Severity
from inventory.length import Length
from inventory.stock import Stock
from nester.blanks import needed
from nester.blanks.cutaways import extent, height_of, is_caution
from nester.check.candidates import Suited
from nester.check.impossible import listed
from nester.model import Arch, Cutaway, Part, Project, Shop


def loose_in_cutaways(project: Project, stock: Sequence[Stock]) -> list[Issue]:
    """Return a caution for each part whose cutaways a plan may lay over something loose."""
    suited = Suited(stock, project.shop)
    issues = []
    for part in project.parts:
        if not part.cutaways:
            continue
        ids = [item.id for item in suited.to(part) if _may_hold(part, item, project.shop)]
        if ids:
            message = (
                "its cutaway may be laid over a loose knot, bark pocket or rot of "
                f"{listed(ids)}: knock it out or fill it before milling"
            )
            issues.append(
                Issue(
                    "loose-in-cutaway",
                    message,
                    subject=part.name,
                    source=part.source,
                    severity=Severity.CAUTION,
                )
            )
    return issues


def _may_hold(part: Part, item: Stock, shop: Shop) -> bool:
    turns = {way.turned for way in needed(part, item, shop)}
    loose = [flaw for flaw in item.flaws if is_caution(flaw)]
    sizes = [(flaw.length, flaw.width) for flaw in loose if False in turns]
    sizes += [(flaw.width, flaw.length) for flaw in loose if True in turns]
    return any(_large_enough(cutaway, *size) for size in sizes for cutaway in part.cutaways)


def _large_enough(cutaway: Cutaway, along: Length, across: Length) -> bool:
    """Whether a cutaway is as large as a flaw; of an outline no more than its box is asked."""
    if isinstance(cutaway, Arch):
        return along <= cutaway.span and height_of(cutaway, along) >= across
    low, high = extent(cutaway)
    ys = [y for _, y in cutaway.points]
    return along <= high - low and across <= max(ys) - min(ys)
