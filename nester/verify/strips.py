"""Strips of glued-up panels, judged as the wood that their parts are made of."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from nester.verify.blank import Blank, plane_off
from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import mm
from nester.verify.panels import Strip, panel_need, strips
from nester.verify.quality import too_near
from nester.verify.records import Part, Plan, Use


def strip_blanks(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Blank]:
    """Yield each strip once for each part of its panel, one after the other, as a blank of it.

    It is milled alone: over the length that the panel needs, and its own width. What gluing and
    flattening the panel takes comes on top of what flattening the strip takes. Its cutaways do not
    help: where they come to lie in a strip is not known before the panel is planed and sized.
    """
    found = strips(laids)
    for laid in panels:
        panel = laid.panel
        if panel is None:
            continue
        names = dict.fromkeys(name for name, _ in panel.parts if name in plan.parts)
        parts = [plan.parts[name] for name in names]
        along = panel_need(plan, laid)
        for strip in found.get(panel.id, ()):
            for part in parts:
                yield _blank(plan, strip, part, parts, along)


def _blank(plan: Plan, strip: Strip, part: Part, parts: list[Part], along: int | Fraction) -> Blank:
    """Return a strip as a blank of one of its panel's parts."""
    node, laid = strip.node, strip.laid
    taken = max(plane_off(plan.shop, other, laid.stock) for other in parts)
    low, high = laid.depths[node.index]
    return Blank(
        layout=laid.layout,
        stock=laid.stock,
        node=node,
        use=node.use or Use("strip"),
        part=replace(part, cutaways=()),
        need_x=along,
        need_y=node.width,
        milled_x=along,
        milled_y=node.width,
        own_width=node.width,
        seat_x=node.span("x"),
        seat_y=node.span("y"),
        thickness=high - low,
        taken=taken + plan.shop.panel_off,
        pulled_flat=all(other.pulled_flat for other in parts),
        resawn=(low, high) != (0, laid.stock.thickness),
    )


def check_strip_stock(blank: Blank) -> Iterator[Fault]:
    """Strips come from boards only: a sheet has no edges to glue."""
    if not blank.stock.board:
        yield Fault("strip-stock", "a strip must come from a board", blank.place, blank.stock.id)


def check_strip_quality(plan: Plan, blanks: list[Blank]) -> Iterator[Fault]:
    """Every flaw near a strip is allowed by all its parts, one way up or the other.

    ``blanks`` are those of one strip. A strip may be turned over before it is glued, so where only
    one face must be clear, either may be.
    """
    ways = []
    for flipped in (False, True):
        ways.append(
            [
                (blank, flaw)
                for blank in blanks
                for flaw in too_near(
                    plan.shop, replace(blank, use=replace(blank.use, flipped=flipped))
                )
            ]
        )
    if all(ways):
        blank, flaw = ways[0][0]
        message = f'too near to a flaw for quality "{blank.part.quality}", either face up'
        found = f"{flaw.kind} at {mm(flaw.x)}, {mm(flaw.y)}"
        yield Fault("quality", message, blank.place, found)
