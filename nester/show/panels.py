"""Glued-up panels in a plan as text: their strips, then the cuts made once the glue is dry."""

from inventory.formatter import Formatter
from nester.glued import Glued, glued_panels
from nester.plan import Plan
from nester.show.cuts import CutRow, cut_rows
from nester.table import safe, table

STRIP_HEAD = ["strip", "sawn from", "size as sawn", "in the panel to"]


def panel_texts(plan: Plan, sizes: Formatter, head: list[str]) -> list[str]:
    """Return a text for each panel; ``head`` are the heads of the cut lists."""
    return [_panel(glued, plan, sizes, head) for glued in glued_panels(plan)]


def panel_rows(glued: Glued, plan: Plan, sizes: Formatter) -> list[CutRow]:
    """Return the cut list of a panel, measured from its own end A and near edge."""
    return cut_rows(glued.layout(), {part.name: part for part in plan.parts}, sizes)


def _panel(glued: Glued, plan: Plan, sizes: Formatter, head: list[str]) -> str:
    panel = glued.panel
    what = f"{sizes.near(panel.length)} × {sizes.near(panel.width)}"
    strips = [
        [
            str(strip.number),
            strip.place,
            f"{sizes.near(strip.length)} × {sizes.near(strip.width)}",
            sizes.near(end),
        ]
        for strip, end in zip(glued.strips, glued.ends, strict=False)
    ]
    cuts = [
        [row.cut, row.saw, row.line, row.runs, row.stop, row.gives, row.size]
        for row in panel_rows(glued, plan, sizes)
    ]
    first = (
        f"Panel {safe(panel.id)}: {what}, glued up from {panel.strips} strips in this order from"
        f" the near edge; each loses {sizes.near(glued.each_loses)} to the glue lines"
    )
    return "\n".join(
        [
            first,
            table(STRIP_HEAD, strips, right=[0, 3]),
            "Cut from the panel, once the glue is dry",
            table(head, cuts, right=[0, 4]),
        ]
    )
