"""Cutaways in a plan as text: what to knock out before milling, what they have room for."""

from inventory.formatter import Formatter
from nester.cutouts import loose_notes, second_notes
from nester.plan import Plan
from nester.readers.shop import units_of
from nester.table import safe


def cutouts_text(plan: Plan) -> str:
    """Return the cautions about cutaways and what they may still give; empty where neither is."""
    blocks = [
        ("Before milling", loose_lines(plan)),
        ("Room in what is sawn out", second_lines(plan)),
    ]
    return "\n\n".join("\n".join([head, *lines]) for head, lines in blocks if lines)


def loose_lines(plan: Plan) -> list[str]:
    """Return a caution for each loose knot, bark pocket or rot that lies in a cutaway."""
    sizes = Formatter(units_of(plan.units), plan.shop.tape)
    return [
        safe(f"{layout.stock}: {note}", 400)
        for layout in plan.layouts
        for note in loose_notes(layout, plan.stock_by_id(layout.stock), plan, sizes)
    ]


def second_lines(plan: Plan) -> list[str]:
    """Return which small hidden parts could come out of which cutaways."""
    sizes = Formatter(units_of(plan.units), plan.shop.tape)
    return [
        safe(f"{layout.stock}: {note}", 400)
        for layout in plan.layouts
        for note in second_notes(layout, plan.stock_by_id(layout.stock), plan, sizes)
    ]
