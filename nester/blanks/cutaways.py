"""Cutaways: where the regions that are sawn out of a finished part lie in its blank.

A part lies in one of four ways: turned end for end or not, with face A or face B up; on a sheet, or
with its grain across, it may be turned by a quarter besides. It is never mirrored. Its spare length
is shared between the ends. One of its edges lies on the edge of its blank, all spare width beyond
the other: the near edge, unless it has arches and all of them are on the far one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, product
from math import ceil, floor, isqrt
from typing import TypeAlias

from inventory.length import Length
from inventory.stock import Flaw, FlawKind, Point
from nester.model import Arch, Cutaway

COUNTS_EVERYWHERE = frozenset({FlawKind.METAL, FlawKind.VOID})
"""Metal ruins knives wherever it lies, and a void leaves nothing to hold the blank by."""

LOOSE = frozenset({FlawKind.KNOT, FlawKind.BARK_POCKET, FlawKind.ROT})
"""What may fly out of a cutaway while the blank is milled, where it is not sound."""

Ranges: TypeAlias = list[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Lie:
    """How a part lies on its stock, seen with the stock's face A up.

    ``turned``: its length lies across the stock. ``reversed``: turned end for end. ``flipped``:
    face B shows.
    """

    turned: bool = False
    reversed: bool = False
    flipped: bool = False

    @property
    def backwards(self) -> bool:
        """Whether the part's x runs against the direction of the stock that it lies along.

        A part turned by a quarter has its near edge at end A, so its own end A at the far edge.
        """
        return self.reversed != self.turned

    @property
    def near_low(self) -> bool:
        """Whether the part's near edge lies towards the stock's near edge (end A if turned)."""
        return self.reversed == self.flipped


def lies(turned: bool) -> list[Lie]:
    """Return the four ways to lie, face A up first."""
    return [Lie(turned, back, face_b) for face_b, back in product((False, True), repeat=2)]


def lies_on_far(cutaways: Sequence[Cutaway]) -> bool:
    """Whether the part's far edge lies on the edge of its blank, so spare width at its near one."""
    arches = [cutaway for cutaway in cutaways if isinstance(cutaway, Arch)]
    return bool(arches) and all(arch.edge == "far" for arch in arches)


def is_caution(flaw: Flaw) -> bool:
    """Whether a flaw in a cutaway is to be knocked out or filled before milling."""
    return flaw.kind in LOOSE and not flaw.sound


def extent(cutaway: Cutaway) -> tuple[Length, Length]:
    """Return from where to where along the part a cutaway reaches."""
    if isinstance(cutaway, Arch):
        return cutaway.start, cutaway.start + cutaway.span
    return min(x for x, _ in cutaway.points), max(x for x, _ in cutaway.points)


def height_of(arch: Arch, twice_off: int) -> Length:
    """Return how high an arch stands, rounded down, ``twice_off / 2`` beside its middle.

    From R = span**2 / 8 rise + rise / 2 (the sagitta of a chord): a point u beside the middle and v
    from the edge lies on the arc where
    ``4 rise u**2 + 4 rise v**2 + v (span**2 - 4 rise**2) = rise span**2``.
    """
    span, rise = arch.span, arch.rise
    if abs(twice_off) > span:
        return 0
    linear = span * span - 4 * rise * rise
    under = linear * linear + 16 * rise * rise * (span * span - twice_off * twice_off)
    return (isqrt(under) - linear) // (8 * rise)


def inside_between(cutaway: Cutaway, width: Length, low: int, high: int) -> Ranges:
    """Return what of the width lies inside a cutaway all the way from ``low`` to ``high``.

    ``low`` and ``high`` are twice the distance from the part's end A; ``width`` is the part's. The
    ranges, from the near edge, are rounded inward to 1/320 mm.
    """
    if isinstance(cutaway, Arch):
        middle = 2 * cutaway.start + cutaway.span
        if abs(low - middle) > cutaway.span or abs(high - middle) > cutaway.span:
            return []
        height = min(height_of(cutaway, low - middle), height_of(cutaway, high - middle))
        if height <= 0:
            return []
        return [(0, height) if cutaway.edge == "near" else (width - height, width)]
    return _inside_outline([(2 * x, y) for x, y in cutaway.points], low, high)


def _inside_outline(points: Sequence[Point], low: int, high: int) -> Ranges:
    sides = [
        (a, b) if a[0] < b[0] else (b, a)
        for a, b in zip(points, [*points[1:], points[0]], strict=True)
        if a[0] != b[0]
    ]
    found: Ranges | None = None
    for u, v in pairwise(sorted({low, high, *(x for x, _ in points if low < x < high)})):
        # Sides of a simple outline do not cross between its corners, so the middle orders them.
        across = sorted(
            (side for side in sides if side[0][0] <= u and side[1][0] >= v),
            key=lambda side: _at(side, Fraction(u + v, 2)),
        )
        here = [
            (
                ceil(max(_at(below, Fraction(u)), _at(below, Fraction(v)))),
                floor(min(_at(above, Fraction(u)), _at(above, Fraction(v)))),
            )
            for below, above in zip(across[::2], across[1::2], strict=True)
        ]
        found = here if found is None else _both(found, here)
    return [(a, b) for a, b in found or [] if a < b]


def _at(side: tuple[Point, Point], x: Fraction) -> Fraction:
    (x1, y1), (x2, y2) = side
    return y1 + (y2 - y1) * (x - x1) / (x2 - x1)


def _both(one: Ranges, other: Ranges) -> Ranges:
    return [(max(a, c), min(b, d)) for a, b in one for c, d in other if max(a, c) < min(b, d)]
