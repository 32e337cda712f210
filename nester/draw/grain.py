"""Grain: a few long, slightly wavy strokes along it, the same for the same board on every sheet.

The strokes are laid over the whole stock in its own coordinates and seeded by its id, so that they
run on from piece to piece and the eye can follow the figure from one to the next.
"""

import hashlib
import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from inventory.length import MM
from inventory.stock import Board, FlawKind, Sawn, SheetGrain, Stock
from nester.draw.clip import Spot
from nester.draw.cutting import Cutting
from nester.draw.marks import Pen, Strokes, Style
from nester.draw.page import Box
from nester.draw.view import View
from nester.layout import Axis, Saw

GRAIN = Style("grain", Pen.FINE)

STEP = 1.6
"""Distance of the points along a stroke [mm on the page]."""
CARRIED = 13.0
"""So far a stroke goes on beyond each side of a joint at least [mm on the page]."""
SHORTEST = 5.0
"""A stroke left shorter by what lies in its way is not drawn [mm on the page]."""


@dataclass(frozen=True, slots=True)
class Wave:
    """One stroke: its place across the grain and how it wanders, in 1/320 mm."""

    across: float
    start: float
    end: float
    swing: float
    period: float
    phase: float

    def at(self, along: float) -> float:
        """Return the place across the grain at a distance along it."""
        turn = 2 * math.pi * along / self.period + self.phase
        return self.across + self.swing * (math.sin(turn) + 0.4 * math.sin(2.3 * turn + 1.0))


def runs_along(stock: Stock) -> bool | None:
    """Return whether the grain runs along x; None where there is none to show."""
    if isinstance(stock, Board):
        return True
    return {SheetGrain.LENGTH: True, SheetGrain.WIDTH: False, SheetGrain.NONE: None}[stock.grain]


def waves(stock: Stock) -> list[Wave]:
    """Return the strokes of a stock item, seeded by its id; calm in quartered stock and veneer."""
    along = runs_along(stock)
    if along is None:
        return []
    seed = int.from_bytes(hashlib.sha256(stock.id.encode("utf-8", "replace")).digest()[:8])
    draw = random.Random(seed).random
    length, width = (stock.length, stock.width) if along else (stock.width, stock.length)
    rows = max(3, min(16, round(width / (32 * MM))))
    calm = not isinstance(stock, Board) or stock.sawn is Sawn.QUARTER
    found: list[Wave] = []
    for row in range(rows):
        across = width * (row + 0.25 + 0.5 * draw()) / rows
        begin = -length * 0.25 * draw()
        while begin < length:
            reach = length * (0.16 + 0.3 * draw())
            swing = width / rows * (0.05 if calm else 0.1 + 0.12 * draw())
            period = length * (0.25 + 0.3 * draw())
            phase = 2 * math.pi * draw()
            found.append(Wave(across, max(begin, 0.0), begin + reach, swing, period, phase))
            begin += reach + length * (0.03 + 0.1 * draw())
    return found


def mirrored(wave: Wave, stock: Stock) -> Wave:
    """Return a stroke as it lies when the stock is turned over about its long edge."""
    return replace(wave, across=stock.width - wave.across, swing=-wave.swing)


def round_knots(stock: Stock, x: float, y: float) -> float:
    """Return how far the grain is pushed aside at a point, because it runs round a knot."""
    push = 0.0
    for flaw in stock.flaws:
        if flaw.kind is not FlawKind.KNOT:
            continue
        half_length, half_width = flaw.length / 2, flaw.width / 2
        dx = (x - flaw.x - half_length) / max(half_length * 2.2, 1.0)
        dy = (y - flaw.y - half_width) / max(half_width * 1.6, 1.0)
        if abs(dx) < 3 and abs(dy) < 3:
            push += math.copysign(half_width * 1.1 * math.exp(-dx * dx - dy * dy), dy)
    return push


def strokes(
    stock: Stock,
    view: View,
    grounds: Sequence[Box],
    clear: Sequence[Box],
    joints: Sequence[float] = (),
    opened: bool = False,
) -> Strokes | None:
    """Return the grain that shows in ``grounds`` (pieces) and not in ``clear`` (labels, marks).

    No stroke ends near one of the ``joints``, places along the grain [1/320 mm]: there it is seen
    that the figure runs on. ``opened``: all of it mirrored, near edge and far.
    """
    along = runs_along(stock)
    chains: list[tuple[Spot, ...]] = []
    found = [mirrored(wave, stock) for wave in waves(stock)] if opened else waves(stock)
    for wave in carried_over(found, joints, CARRIED * MM * view.scale):
        chain: list[Spot] = []
        for spot in points(wave, stock, view, along is True):
            if shown(spot, grounds, clear):
                chain.append(spot)
                continue
            keep(chain, chains)
            chain = []
        keep(chain, chains)
    return Strokes(tuple(chains), GRAIN) if chains else None


def run_boxes(cutting: Cutting, view: View) -> list[Box]:
    """Return the ground of each run as a whole, so that strokes go on through its joints."""
    nodes = [saw.node for saw in cutting.cuts if saw.node.run]
    return [view.node_box(node) for node in nodes if view.shows(node)]


def joint_places(cutting: Cutting, stock: Stock) -> list[float]:
    """Return where along the grain the joints of runs lie, those that the grain crosses."""
    axis = {True: Axis.X, False: Axis.Y, None: None}[runs_along(stock)]
    cuts = [saw.cut for saw in cutting.cuts if saw.cut.saw is Saw.MITER]
    return sorted({cut.at + cut.kerf / 2 for cut in cuts if cut.axis is axis})


def carried_over(found: Sequence[Wave], joints: Sequence[float], reach: float) -> list[Wave]:
    """Return strokes of which some cross each joint, ``reach`` [1/320 mm] to either side of it.

    In each row across the grain a stroke that would end there gives way to one that goes through.
    """
    rows: dict[float, list[Wave]] = {}
    for wave in found:
        rows.setdefault(wave.across, []).append(wave)
    for row in rows.values():
        for at in joints:
            low, high = at - reach, at + reach
            if any(wave.start <= low and high <= wave.end for wave in row):
                continue
            near = min(row, key=lambda wave: min(abs(wave.start - at), abs(wave.end - at)))
            kept = [replace(near, start=max(0.0, low), end=high)]
            for wave in row:
                if wave.end <= low or high <= wave.start:
                    kept.append(wave)
                    continue
                if wave.start < low:
                    kept.append(replace(wave, end=low - reach / 4))
                if high < wave.end:
                    kept.append(replace(wave, start=high + reach / 4))
            row[:] = kept
    return [wave for row in rows.values() for wave in row]


def points(wave: Wave, stock: Stock, view: View, along: bool) -> Iterator[Spot]:
    """Yield the points of a stroke on the page, as far as the row shows them."""
    step = STEP * MM * view.scale
    count = int((wave.end - wave.start) / step)
    for i in range(count + 1):
        distance = wave.start + i * step
        x, y = (distance, wave.at(distance)) if along else (wave.at(distance), distance)
        push = round_knots(stock, x, y)
        x, y = (x, y + push) if along else (x + push, y)
        if view.start <= x <= view.end:
            yield view.spot((x, y))


def shown(spot: Spot, grounds: Sequence[Box], clear: Sequence[Box]) -> bool:
    """Return whether a point lies within a ground and outside all that must stay clear."""
    x, y = spot
    return any(
        b.left + 0.5 < x < b.right - 0.5 and b.top + 0.5 < y < b.bottom - 0.5 for b in grounds
    ) and not any(
        b.left - 0.6 < x < b.right + 0.6 and b.top - 0.4 < y < b.bottom + 0.4 for b in clear
    )


def keep(chain: list[Spot], chains: list[tuple[Spot, ...]]) -> None:
    """Add a finished chain where it is long enough to be seen as a stroke."""
    if len(chain) > 1 and math.dist(chain[0], chain[-1]) >= SHORTEST:
        chains.append(tuple(chain))
