"""Glued-up panels: which strips they are made of, and the parts that are cut from them."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.needs import whole_need
from nester.verify.number import mm
from nester.verify.records import GlueUp, Node, Panel, Plan, Use


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip where it lies in its board."""

    laid: Laid
    node: Node
    number: int

    @property
    def place(self) -> str:
        """What the strip is called in a fault."""
        return self.laid.layout.leaf_place(self.node)


def strips(laids: list[Laid]) -> dict[str, list[Strip]]:
    """Return the strips by the panel that they are for."""
    found: dict[str, list[Strip]] = {}
    for laid in laids:
        for node in laid.leaves("strip"):
            if node.use is not None:
                found.setdefault(node.use.panel, []).append(Strip(laid, node, node.use.strip))
    return found


def glue_up(plan: Plan, panel: Panel) -> GlueUp | None:
    """Return how a panel may be glued up: within the limits of all its parts; None if it may not.

    Of several parts the narrowest common range of widths, the largest loss, the least number.
    """
    wanted = [plan.parts[name].glue_up for name, _ in panel.parts if name in plan.parts]
    known = [each for each in wanted if each is not None]
    if not known or len(known) != len(panel.parts):
        return None
    return GlueUp(
        max(each.narrowest for each in known),
        min(each.widest for each in known),
        max(each.per_strip for each in known),
        min(each.most for each in known),
    )


def panel_need(plan: Plan, laid: Laid) -> int | Fraction:
    """Return the length that the parts of a panel need, so that its strips are milled over."""
    leaf = next(laid.leaves("blank"), None)
    return 0 if leaf is None else whole_need(plan.shop, laid, leaf, "x")


def check_panel_ids(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """Each panel has an id of its own, and every strip is for a panel of the plan."""
    for name, number in Counter(panel.id for panel in plan.panels).items():
        if number > 1:
            yield Fault("panel-id", "two panels have this id", "panels", name)
    known = {panel.id for panel in plan.panels}
    for name, found in strips(laids).items():
        if name not in known and plan.whole:
            for strip in found:
                yield Fault("panel-id", "no panel has this id", strip.place, name)


def check_panel_parts(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """A panel is cut into its parts: one, or those of a run of its match; all may be glued up."""
    for laid in panels:
        panel = laid.panel
        if panel is None:
            continue
        for name, _ in panel.parts:
            if name in plan.parts and plan.parts[name].glue_up is None:
                yield Fault("glue-up", "this part may not be glued up", panel.place, name)
        leaves = list(laid.leaves("blank", "strip", "offcut", "waste"))
        uses = [leaf.use for leaf in leaves if leaf.use is not None]
        if any(use.kind != "blank" for use in uses):
            yield Fault("panel-parts", "a panel is cut into blanks only", panel.place)
        cut = [(use.part, use.copy) for use in _in_order(laid) if use.kind == "blank"]
        if list(panel.parts) not in (cut, cut[::-1]):
            found = ", ".join(f"{name} {copy}" for name, copy in panel.parts)
            message = "the parts must be those cut from it, in order"
            yield Fault("panel-parts", message, panel.place, found)
        top = laid.runs.tops.get(0)
        if panel.match is None and len(laid.layout.tree) > 1:
            message = "a panel of no match is one part"
            yield Fault("panel-match", message, panel.place, str(len(panel.parts)))
        elif panel.match is not None and (top is None or top.name != panel.match):
            message = "a panel of a match is one run of it"
            yield Fault("panel-match", message, panel.place, panel.match)


def _in_order(laid: Laid) -> Iterator[Use]:
    """Yield the uses of a panel's leaves as they lie, rows of a stack one after the other."""
    top = laid.runs.tops.get(0)
    leaves = top.leaves() if top is not None else list(laid.leaves("blank"))
    for leaf in leaves:
        if leaf.use is not None:
            yield leaf.use


def check_strips(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """The strips of a panel are numbered 1 to n, each there once, two at least, not too many."""
    if not plan.whole or len(laids) != len(plan.layouts):
        return
    found = strips(laids)
    for panel in plan.panels:
        numbers = sorted(strip.number for strip in found.get(panel.id, ()))
        if numbers != list(range(1, panel.strips + 1)):
            message = f"its strips must be numbered 1 to {panel.strips}, each once"
            yield Fault("strips", message, panel.place, ", ".join(map(str, numbers)) or "none")
        allowed = glue_up(plan, panel)
        if panel.strips < 2:
            yield Fault("strips", "a panel has two strips or more", panel.place, str(panel.strips))
        elif allowed is not None and panel.strips > allowed.most:
            message = f"at most {allowed.most} strips are allowed"
            yield Fault("max-strips", message, panel.place, str(panel.strips))


def check_strip_widths(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """Each strip is within the part's limits and the jointer's, as wide as it lies on the board."""
    found = strips(laids)
    for panel in plan.panels:
        allowed = glue_up(plan, panel)
        if allowed is None:
            continue
        widest = min(allowed.widest, plan.shop.jointer_width)
        for strip in found.get(panel.id, ()):
            if not allowed.narrowest <= strip.node.width <= widest:
                message = f"a strip must be {mm(allowed.narrowest)} to {mm(widest)} wide"
                yield Fault("strip-width", message, strip.place, mm(strip.node.width))


def check_panel_sizes(plan: Plan, laids: list[Laid], panels: list[Laid]) -> Iterator[Fault]:
    """A panel is as wide as its strips less what each loses, and no longer than any of them."""
    found = strips(laids)
    for laid in panels:
        panel = laid.panel
        allowed = glue_up(plan, panel) if panel is not None else None
        if panel is None or allowed is None:
            continue
        mine = found.get(panel.id, [])
        length, width = panel.layout.length, panel.layout.width
        glued = sum(strip.node.width for strip in mine) - allowed.per_strip * len(mine)
        if plan.whole and width != glued:
            message = f"its strips, less {mm(allowed.per_strip)} each, make {mm(glued)}"
            yield Fault("panel-width", message, panel.place, mm(width))
        for strip in mine:
            if strip.node.length < length:
                message = f"must be as long as its panel, {mm(length)}"
                yield Fault("strip-length", message, strip.place, mm(strip.node.length))
