"""Measures along the edges: a chain of sizes, and a ruler with the running measure from end A.

Below the stock the sizes of the pieces at the near edge stand in one chain (ISO 129-1), and under
it runs a ruler in the project's units on which every pencil line is read from end A. At the left a
second ruler reads the rips from the near edge.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.length import INCH, MM, Length
from nester.draw.clip import Segment
from nester.draw.cutting import Cutting, along_edge
from nester.draw.field import Field, spread
from nester.draw.marks import Mark, Pen, Style, Text, boxed, segments
from nester.draw.names import Wording
from nester.draw.type import Line, rich
from nester.draw.view import View
from nester.layout import Axis

CHAIN = 9.8
"""Distance of the chain of sizes from the near edge [mm]."""
RULER = 13.6
"""Distance of the ruler from the near edge [mm]."""
SIDE_RULER = 6.6
"""Distance of the left ruler from end A [mm]."""
JOG = 2.4
"""Height left between a ruler and its figures for leads that step aside [mm]."""

FURTHEST = 9.0
"""So far figures may step aside from their marks [mm]."""

LINE = Style("dimension", Pen.DIMENSION)
FINE = Style("ruler", Pen.FINE)
WITNESS = Style("witness", Pen.FINE)


@dataclass(frozen=True, slots=True)
class Reading:
    """A place on a ruler and its figures."""

    at: float
    figures: Line
    first: bool


@dataclass(frozen=True, slots=True)
class RulerPlan:
    """How the figures of a ruler are set: ``turned`` up the page, and their middles."""

    readings: tuple[Reading, ...]
    places: tuple[float, ...]
    turned: bool

    @property
    def depth(self) -> float:
        """Height that the figures need under the ruler, leads included [mm]."""
        longest = max((r.figures.width for r in self.readings), default=0.0)
        tallest = max((r.figures.height for r in self.readings), default=0.0)
        return JOG + 0.4 + (longest if self.turned else tallest)


def stations(cutting: Cutting, view: View, wording: Wording) -> list[Reading]:
    """Return the row's readings from end A: its ends and every pencil line at the near edge."""
    saws = along_edge(cutting, Axis.X)
    lines = {saw.line for saw in saws}
    ends = {view.start, view.end}
    if any(saw.cut.at <= saw.line < view.end == saw.cut.at + saw.cut.kerf for saw in saws):
        ends = {view.start}  # the row ends with a kerf, and its pencil line is read
    return readings(ends | lines, view.start, view.end, view, wording)


def side_stations(
    cutting: Cutting, view: View, width: Length, wording: Wording, most: int
) -> list[Reading]:
    """Return the readings from the near edge at end A, at most as many as there is room for."""
    lines = sorted({saw.line for saw in along_edge(cutting, Axis.Y) if 0 < saw.line < width})
    ends = {0, width}
    if len(lines) + 2 > most:
        lines = []
    return [
        Reading(view.y(at), rich(wording.length(at)), at in ends) for at in sorted(ends | {*lines})
    ]


def readings(
    places: set[Length], start: Length, end: Length, view: View, wording: Wording
) -> list[Reading]:
    """Return the readings of the places between ``start`` and ``end``, both included."""
    return [
        Reading(view.x(at), rich(wording.length(at)), at in (start, end))
        for at in sorted(places)
        if start <= at <= end
    ]


def ruler_plan(found: Sequence[Reading], low: float, high: float) -> RulerPlan:
    """Return how to set the figures: level where they stay by their marks, else turned.

    Where not even turned figures fit, those in the middle of the thickest crowd are left out; the
    cut list has them all.
    """
    kept = list(found)
    while True:
        for turned in (False, True):
            sizes = [r.figures.height if turned else r.figures.width for r in kept]
            gap = 0.5 if turned else 1.6
            places = spread([r.at for r in kept], sizes, gap, low, high)
            if places is None:
                continue
            worst = max((abs(p - r.at) for p, r in zip(places, kept, strict=True)), default=0.0)
            if worst <= FURTHEST:
                return RulerPlan(tuple(kept), tuple(places), turned)
        inner = range(1, len(kept) - 1)
        if not inner:
            return RulerPlan(tuple(kept), tuple(r.at for r in kept), True)
        del kept[min(inner, key=lambda i: (kept[i + 1].at - kept[i - 1].at, i))]


def length_marks(
    cutting: Cutting, view: View, wording: Wording, plan: RulerPlan, field: Field
) -> list[Mark]:
    """Return chain and ruler below the stock."""
    near, chain, ruler = view.near, view.near + CHAIN, view.near + RULER
    marks: list[Mark] = []
    witness = [((r.at, near + 0.8), (r.at, ruler)) for r in plan.readings]
    marks.append(segments(witness, WITNESS))
    marks += chain_marks(cutting, view, wording, chain, field)
    marks += ruler_marks(view, wording, ruler)
    leads: list[Segment] = []
    for reading, place in zip(plan.readings, plan.places, strict=True):
        top = ruler + JOG
        leads += jog((reading.at, ruler), (place, top), upright=True)
        figures = reading.figures
        depth = figures.width if plan.turned else figures.height
        text = boxed(figures, place, top + 0.2 + depth / 2, plan.turned, "running")
        field.take(text.box)
        marks.append(text)
    marks.append(segments(leads, LINE))
    return marks


def jog(start: tuple[float, float], end: tuple[float, float], *, upright: bool) -> list[Segment]:
    """Return a lead from a mark to its figures, stepping aside on the way where they moved."""
    if upright:
        drop = start[1] + 0.7
        return [(start, (start[0], drop)), ((start[0], drop), (end[0], end[1] - 0.2))]
    out = start[0] - 0.7
    return [(start, (out, start[1])), ((out, start[1]), (end[0] + 0.2, end[1]))]


def chain_marks(
    cutting: Cutting, view: View, wording: Wording, y: float, field: Field
) -> list[Mark]:
    """Return the chain of sizes: between slanting ticks, the figures above the line."""
    spans: list[tuple[Length, Length]] = []
    begin = 0
    for saw in along_edge(cutting, Axis.X):
        spans.append((begin, min(saw.cut.at, saw.end)))
        begin = max(begin, min(saw.cut.at + saw.cut.kerf, saw.end))
    total = max((n.x + n.length for n in cutting.leaves), default=view.end)
    spans.append((begin, total))
    lines: list[Segment] = [((view.x(view.start), y), (view.x(view.end), y))]
    ticked: list[float] = []
    marks: list[Mark] = []
    for low, high in spans:
        if high <= low or high <= view.start or low >= view.end:
            continue
        left, right = view.x(max(low, view.start)), view.x(min(high, view.end))
        ends = [at for at, end in ((left, low), (right, high)) if view.start <= end <= view.end]
        for at in ends:
            if not any(abs(at - other) < 0.6 for other in ticked):
                ticked.append(at)
                lines.append(((at - 0.9, y + 0.9), (at + 0.9, y - 0.9)))
        figures = rich(wording.length(high - low))
        text = Text(
            figures, (left + right - figures.width) / 2, y - 0.7 - figures.drop, role="chain"
        )
        if figures.width + 2.0 <= right - left and field.free(text.box):
            field.take(text.box)
            marks.append(text)
    return [segments(lines, LINE), *marks]


def graduation(view: View, inch: bool) -> tuple[Length, int, int]:
    """Return a ruler's step, and after how many steps a longer and the longest tick come."""
    choices = (
        ((INCH // 4, 2, 4), (INCH, 6, 12), (3 * INCH, 2, 4), (12 * INCH, 5, 10))
        if inch
        else ((5 * MM, 2, 10), (10 * MM, 5, 10), (50 * MM, 2, 10), (100 * MM, 5, 10))
    )
    for step, longer, longest in choices:
        if view.mm(step) >= 1.0:
            return step, longer, longest
    return choices[-1]


def ruler_marks(view: View, wording: Wording, y: float) -> list[Mark]:
    """Return the ruler line below the stock, graduated like a tape."""
    step, longer, longest = graduation(view, wording.measure.units == "in")
    ticks: list[Segment] = []
    for i in range(-(-view.start // step), view.end // step + 1):
        x = view.x(i * step)
        ticks.append(((x, y), (x, y + tick_length(i, longer, longest))))
    line = ((view.x(view.start), y), (view.x(view.end), y))
    return [segments([line], LINE), segments(ticks, FINE)]


def tick_length(index: int, longer: int, longest: int) -> float:
    """Return the length of a ruler's tick [mm]."""
    if index % longest == 0:
        return 1.7
    return 1.3 if index % longer == 0 else 0.8


def side_marks(
    found: Sequence[Reading], view: View, width: Length, wording: Wording, field: Field
) -> list[Mark]:
    """Return the ruler at end A, read from the near edge."""
    x = view.left - SIDE_RULER
    ordered = sorted(found, key=lambda r: r.at)
    top, bottom = view.y(width) - 6.0, view.near + 5.0
    sizes = [r.figures.height for r in ordered]
    places = spread([r.at for r in ordered], sizes, 0.4, top, bottom)
    if places is None:
        ordered = [r for r in ordered if r.first]
        places = [r.at for r in ordered]
    step, longer, longest = graduation(view, wording.measure.units == "in")
    ticks = [
        ((x, view.y(i * step)), (x - tick_length(i, longer, longest), view.y(i * step)))
        for i in range(width // step + 1)
    ]
    witness = [((view.left - 0.8, r.at), (x, r.at)) for r in ordered]
    leads: list[Segment] = []
    texts: list[Mark] = []
    for reading, place in zip(ordered, places, strict=True):
        leads += jog((x, reading.at), (x - JOG, place), upright=False)
        figures = reading.figures
        text = boxed(figures, x - JOG - 0.5 - figures.width / 2, place, role="running")
        field.take(text.box)
        texts.append(text)
    return [
        segments(witness, WITNESS),
        segments([((x, view.y(0)), (x, view.y(width)))], LINE),
        segments(ticks, FINE),
        segments(leads, LINE),
        *texts,
    ]


def side_room(cutting: Cutting, wording: Wording, width: Length) -> float:
    """Return how much room the left ruler and its figures need before end A [mm]."""
    lines = {saw.line for saw in along_edge(cutting, Axis.Y)} | {0, width}
    widest = max(rich(wording.length(at)).width for at in lines)
    return SIDE_RULER + JOG + 0.8 + widest
