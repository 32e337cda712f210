"""How large a drawing can be: its rows, its scale, and how each row's ruler is set."""

from dataclasses import dataclass
from itertools import pairwise

from inventory.length import MM
from nester.draw.cutting import Cutting
from nester.draw.dims import RULER, RulerPlan, ruler_plan, side_room, stations
from nester.draw.names import Wording
from nester.draw.page import Box, fit_factor, neat_scale, neat_scales
from nester.draw.view import View, breaks, longest
from nester.layout import Layout

TOP = 9.2
"""Height kept above a row for its end marks and discs [mm]."""
RIGHT = 3.0
"""Width kept beyond end B [mm]."""
LARGEST = 2.0
"""No drawing is larger than 1 to this."""
SMALLEST = 400.0
"""No drawing is smaller than 1 to this."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the rows of a drawing lie, at 1 : ``scale``, and how each row's ruler is set."""

    views: tuple[View, ...]
    rulers: tuple[RulerPlan, ...]
    scale: float
    bottom: float


def arrange(
    cutting: Cutting, layout: Layout, wording: Wording, room: Box, rows: int
) -> Arrangement | None:
    """Return the largest neat scale at which the drawing fits ``room`` in ``rows`` rows."""
    ends = breaks(cutting, layout.length, rows)
    side = side_room(cutting, wording, layout.width)
    left = room.left + side
    across = room.width - side - RIGHT
    size = longest(ends) / MM, rows * layout.width / MM
    least = max(LARGEST, neat_scale(fit_factor(*size, across, room.height)))
    for scale in neat_scales():
        if scale < least:
            continue
        if scale > SMALLEST:
            return None
        views: list[View] = []
        rulers: list[RulerPlan] = []
        top = room.top
        for start, end in pairwise(ends):
            near = top + TOP + layout.width / (MM * scale)
            view = View(start, end, left, near, scale)
            low, high = view.x(start) - 6.0, min(view.x(end) + 12.0, room.right)
            plan = ruler_plan(stations(cutting, view, wording), low, high)
            views.append(view)
            rulers.append(plan)
            top = near + RULER + plan.depth + 1.5
        if top <= room.bottom:
            return Arrangement(tuple(views), tuple(rulers), scale, top)
    return None
