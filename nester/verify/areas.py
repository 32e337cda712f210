"""Exact areas of overlapping polygons, by cutting the plane into slabs.

Take every x at which a polygon has a corner or two edges cross. Between two such neighbours no
edges cross, so each polygon is a stack of trapezoids there, in the same order from side to side.
The area of any union or intersection of them is then its height half-way along the slab times the
slab's length.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias

from nester.verify.shapes import Vertex, edges

Interval: TypeAlias = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class _Edge:
    """An edge that is not upright, from left to right."""

    x0: Fraction
    y0: Fraction
    x1: Fraction
    y1: Fraction
    owner: int

    def at(self, x: Fraction) -> Fraction:
        """Return its height at ``x``."""
        return self.y0 + (self.y1 - self.y0) * (x - self.x0) / (self.x1 - self.x0)


def polygon_area(polygon: Sequence[Vertex]) -> Fraction:
    """Return the area of a polygon that does not cross itself (shoelace formula)."""
    twice = sum(p[0] * q[1] - q[0] * p[1] for p, q in edges(polygon))
    return abs(Fraction(twice)) / 2


def covered(clip: Sequence[Vertex], shapes: Sequence[Sequence[Vertex]]) -> Fraction:
    """Return how much of ``clip`` the union of ``shapes`` covers.

    A polygon that crosses itself is taken even-odd.
    """
    if len(clip) < 3 or not shapes:
        return Fraction(0)
    left, right = Fraction(min(x for x, _ in clip)), Fraction(max(x for x, _ in clip))
    found = _edges([clip, *shapes])
    stops = {left, right}
    stops.update(x for edge in found for x in (edge.x0, edge.x1) if left < x < right)
    stops.update(x for x in _crossings(found) if left < x < right)
    total = Fraction(0)
    for a, b in pairwise(sorted(stops)):
        middle = (a + b) / 2
        stacks: list[list[Fraction]] = [[] for _ in range(len(shapes) + 1)]
        for edge in found:
            if edge.x0 <= a and edge.x1 >= b:
                stacks[edge.owner].append(edge.at(middle))
        inside = [interval for stack in stacks[1:] for interval in _pairs(stack)]
        total += _common(_pairs(stacks[0]), _merged(inside)) * (b - a)
    return total


def _edges(polygons: Sequence[Sequence[Vertex]]) -> list[_Edge]:
    """Return the edges of all polygons that are not upright."""
    found = []
    for owner, polygon in enumerate(polygons):
        for p, q in edges(polygon):
            if p[0] != q[0]:
                (x0, y0), (x1, y1) = sorted((p, q))
                found.append(_Edge(Fraction(x0), Fraction(y0), Fraction(x1), Fraction(y1), owner))
    return found


def _crossings(found: Sequence[_Edge]) -> set[Fraction]:
    """Return every x at which two edges cross."""
    crossings = set()
    in_order = sorted(found, key=lambda edge: edge.x0)
    for i, e in enumerate(in_order):
        for f in in_order[i + 1 :]:
            if f.x0 >= e.x1:
                break  # and so do all that begin further right
            left, right = f.x0, min(e.x1, f.x1)
            before, after = e.at(left) - f.at(left), e.at(right) - f.at(right)
            if before * after < 0:
                crossings.add(left + (right - left) * before / (before - after))
    return crossings


def _pairs(stack: list[Fraction]) -> list[Interval]:
    """Return the intervals inside a polygon from the heights of its edges."""
    heights = sorted(stack)
    return list(zip(heights[::2], heights[1::2], strict=True))


def _merged(intervals: list[Interval]) -> list[Interval]:
    """Return the union of intervals, in order and apart."""
    union: list[Interval] = []
    for low, high in sorted(intervals):
        if union and low <= union[-1][1]:
            union[-1] = (union[-1][0], max(union[-1][1], high))
        else:
            union.append((low, high))
    return union


def _common(one: list[Interval], two: list[Interval]) -> Fraction:
    """Return the length that two lists of disjoint intervals have in common."""
    total = Fraction(0)
    for a, b in one:
        for c, d in two:
            total += max(min(b, d) - max(a, c), Fraction(0))
    return total
