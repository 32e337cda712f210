"""Outlines of flaws."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.polygon import MOST_CORNERS, bounds, covered, outline_fault, swapped
from inventory.stock import Point

TRIANGLE = ((0, 0), (100, 0), (0, 50))
NOTCHED = ((0, 0), (90, 0), (90, 60), (60, 60), (60, 20), (30, 20), (30, 60), (0, 60))


@pytest.mark.parametrize(
    ("outline", "fault"),
    [
        (TRIANGLE, None),
        (NOTCHED, None),
        (((0, 0), (50, 0), (100, 0), (0, 50)), None),
        (((0, 0), (100, 0)), "an outline needs 3 points or more"),
        (((0, 0), (100, 0), (0, 50), (0, 0)), "the outline names a point twice"),
        (((0, 0), (100, 50), (100, 0), (0, 50)), "the outline crosses itself"),
        (((0, 0), (100, 0), (50, 0)), "the outline folds back on itself"),
        (((0, 0), (100, 0), (100, 50), (50, 0), (0, 50)), "the outline crosses itself"),
        (
            tuple((n, n * n) for n in range(MOST_CORNERS + 1)),
            f"an outline may have at most {MOST_CORNERS} points",
        ),
    ],
)
def test_what_an_outline_may_be(outline: tuple[Point, ...], fault: str | None) -> None:
    """Three points or more, no side touching another."""
    assert outline_fault(outline) == fault


def test_bounds() -> None:
    """The rectangle round an outline is x, y, length, width."""
    assert bounds(((5, 7), (20, 3), (9, 30))) == (5, 3, 15, 27)


@pytest.mark.parametrize(
    ("outline", "low", "high", "intervals"),
    [
        (TRIANGLE, 0, 50, [(0, 100)]),
        (TRIANGLE, 25, 50, [(0, 50)]),
        (TRIANGLE, 50, 80, []),
        (TRIANGLE, -20, 0, []),
        (NOTCHED, 0, 10, [(0, 90)]),
        (NOTCHED, 20, 60, [(0, 30), (60, 90)]),
        (NOTCHED, 15, 60, [(0, 90)]),
    ],
)
def test_what_an_outline_covers_of_a_band(
    outline: tuple[Point, ...], low: int, high: int, intervals: list[tuple[int, int]]
) -> None:
    """Touching the band is not reaching into it, and a notch stays open."""
    assert covered(outline, low, high) == intervals


def test_a_slant_is_cut_exactly() -> None:
    """A third is a third."""
    assert covered(((0, 0), (3, 0), (0, 9)), 1, 9) == [(0, Fraction(8, 3))]


points = st.tuples(st.integers(0, 12), st.integers(0, 12))


@given(st.tuples(points, points, points), st.integers(0, 11), st.integers(1, 12))
def test_covered_is_where_the_middle_of_a_cell_is_inside(
    corners: tuple[Point, Point, Point], low: int, size: int
) -> None:
    """For triangles, what is covered agrees with a test of many points within the band."""
    if outline_fault(corners):
        return
    high = low + size
    spans = covered(corners, low, high)
    assert all(start < end for start, end in spans)
    (ax, ay), (bx, by), (cx, cy) = corners
    for x2 in range(1, 24, 2):
        for y8 in range(8 * low + 1, 8 * high, 2):
            x, y = Fraction(x2, 2), Fraction(y8, 8)
            turns = [
                (bx - ax) * (y - ay) - (by - ay) * (x - ax),
                (cx - bx) * (y - by) - (cy - by) * (x - bx),
                (ax - cx) * (y - cy) - (ay - cy) * (x - cx),
            ]
            if all(turn > 0 for turn in turns) or all(turn < 0 for turn in turns):
                assert any(start <= x <= end for start, end in spans)


def test_swapped_exchanges_the_axes() -> None:
    """Lengthwise questions are asked crosswise by the same code."""
    assert swapped(TRIANGLE) == ((0, 0), (0, 100), (50, 0))
