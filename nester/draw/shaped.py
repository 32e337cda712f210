"""The true shape of a part with cutaways, drawn inside its blank by a thin line."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from math import ceil, dist
from typing import TypeAlias

from nester.blanks.cutaways import height_of
from nester.blanks.seat import Seat
from nester.cutouts import seats
from nester.draw.clip import Segment, Spot, beyond
from nester.draw.cutting import seen_nodes
from nester.draw.flaws import bounds
from nester.draw.marks import Mark, Pen, Style, segments
from nester.draw.page import Box
from nester.draw.view import View
from nester.layout import Layout
from nester.model import Arch, Outline, Part

SHAPE = Style("shape", Pen.DIMENSION)

FACETS = 64
"""Straight pieces that an arc is drawn with."""

SHORT = 2.0
"""In such steps words are kept off the line [mm]."""

Corner: TypeAlias = tuple[int | Fraction, int | Fraction]


def shape_lines(layout: Layout, parts: Mapping[str, Part], view: View) -> list[Segment]:
    """Return the lines along which the parts of a layout are sawn out, as a row shows them."""
    found: list[Segment] = []
    seen = {id(node) for node in seen_nodes(layout.tree)}
    for node, seat in seats(layout.tree, parts, 1):
        if id(node) in seen and view.shows(node):
            for chain in chains(seat):
                spots = [seat.on_stock(*corner) for corner in chain]
                for a, b in pairwise([(float(x), float(y)) for x, y in spots]):
                    piece = within_row(a, b, view) if a != b else None
                    if piece is not None:
                        found.append((view.spot(piece[0]), view.spot(piece[1])))
    return found


def shape_boxes(lines: Sequence[Segment]) -> Iterator[Box]:
    """Yield narrow boxes along the lines, for words to keep clear of."""
    for a, b in lines:
        steps = max(1, ceil(dist(a, b) / SHORT))
        places = [
            (a[0] + (b[0] - a[0]) * i / steps, a[1] + (b[1] - a[1]) * i / steps)
            for i in range(steps + 1)
        ]
        yield from (bounds(pair).grown(0.3) for pair in pairwise(places))


def shape_marks(lines: Sequence[Segment], words: Sequence[Box]) -> list[Mark]:
    """Return the lines as marks, left out where words stand."""
    left = beyond(lines, (box.grown(0.4) for box in words))
    return [segments(left, SHAPE)] if left else []


def chains(seat: Seat) -> Iterator[list[Corner]]:
    """Yield the lines to saw along, on the part; each runs on to the edge of the blank."""
    for cutaway in seat.part.cutaways:
        if isinstance(cutaway, Arch):
            yield _to_edges(seat, _arc(cutaway, seat.part.width))
        else:
            yield from (_to_edges(seat, chain) for chain in _open(cutaway, seat.part))


def _arc(arch: Arch, width: int) -> list[Corner]:
    points: list[Corner] = []
    for i in range(FACETS + 1):
        p = arch.start + Fraction(arch.span * i, FACETS)
        height = height_of(arch, round(2 * p) - 2 * arch.start - arch.span)
        points.append((p, height if arch.edge == "near" else width - height))
    return points


def _open(outline: Outline, part: Part) -> Iterator[list[Corner]]:
    """Yield the sides of an outline that do not lie on the part's own, joined where they meet."""
    points = outline.points
    sides = [
        (a, b)
        for a, b in zip(points, (*points[1:], points[0]), strict=True)
        if not _on_border(a, b, part)
    ]
    # Begin behind a side that was left out, if there is one, so that no chain is broken in two.
    ends = {b for _, b in sides}
    first = next((i for i, (a, _) in enumerate(sides) if a not in ends), 0)
    chain: list[Corner] = []
    for a, b in [*sides[first:], *sides[:first]]:
        if chain and chain[-1] != a:
            yield chain
            chain = []
        chain = [*chain, b] if chain else [a, b]
    if chain:
        yield chain


def _on_border(a: tuple[int, int], b: tuple[int, int], part: Part) -> bool:
    borders = ((0, 0), (0, part.length), (1, 0), (1, part.width))
    return any(a[k] == b[k] == at for k, at in borders)


def _to_edges(seat: Seat, chain: list[Corner]) -> list[Corner]:
    """Return a chain whose ends run on through the wood that is to spare beyond the part."""
    ends = [seat.on_part(seat.x, seat.y)]
    ends.append(seat.on_part(seat.x + seat.length, seat.y + seat.width))
    ps, qs = sorted(p for p, _ in ends), sorted(q for _, q in ends)
    if chain[0] == chain[-1]:
        return chain
    before, after = (_beyond(seat.part, corner, ps, qs) for corner in (chain[0], chain[-1]))
    return [*before, *chain, *after]


def _beyond(
    part: Part, corner: Corner, ps: Sequence[Fraction], qs: Sequence[Fraction]
) -> list[Corner]:
    p, q = corner
    if q in (0, part.width):
        return [(p, qs[0] if q == 0 else qs[1])]
    if p in (0, part.length):
        return [(ps[0] if p == 0 else ps[1], q)]
    return []


def within_row(a: Spot, b: Spot, view: View) -> Segment | None:
    """Return what of a line on the stock lies between the ends of a row, None where nothing."""
    step = b[0] - a[0]
    if step == 0:
        return (a, b) if view.start <= a[0] <= view.end else None
    low, high = sorted(((view.start - a[0]) / step, (view.end - a[0]) / step))
    first, last = max(0.0, low), min(1.0, high)
    if first >= last:
        return None
    return (
        (a[0] + first * step, a[1] + first * (b[1] - a[1])),
        (a[0] + last * step, a[1] + last * (b[1] - a[1])),
    )
