"""Polygons clipped and hatched."""

import math

import pytest

from nester.draw.clip import beyond, hatching, outside, signed_area, within
from nester.draw.page import Box

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def test_a_rectangle_is_clipped_by_a_tapered_board():
    """The part of a rectangle past a taper is cut off along it."""
    board = [(0.0, 0.0), (20.0, 0.0), (20.0, 4.0), (0.0, 8.0)]
    kept = within([(10.0, 0.0), (20.0, 0.0), (20.0, 8.0), (10.0, 8.0)], board)
    assert sorted(kept) == [(10.0, 0.0), (10.0, 6.0), (20.0, 0.0), (20.0, 4.0)]
    assert abs(signed_area(kept)) == pytest.approx(50)


@pytest.mark.parametrize("window", [SQUARE, SQUARE[::-1]])
def test_clipping_does_not_mind_which_way_round(window):
    """Inside stays, outside goes, whichever way the window runs."""
    assert within([(2, 2), (4, 2), (4, 4)], window) == [(2, 2), (4, 2), (4, 4)]
    assert within([(12, 2), (14, 2), (14, 4)], window) == []
    assert within([(-5, 0), (0, 0), (0, 10), (-5, 10)], window) == []


@pytest.mark.parametrize("rising", [True, False])
def test_hatching_runs_at_45_degrees_and_fills_the_outline(rising):
    """Strokes lie inside, at 45 degrees, and as far apart as said."""
    strokes = hatching(SQUARE, 1.0, rising)
    for (x, y), (u, v) in strokes:
        assert abs(u - x) == pytest.approx(abs(v - y))
        assert ((u - x) * (v - y) < 0) is rising
        assert all(-1e-9 <= c <= 10 + 1e-9 for c in (x, y, u, v))
    # A square of side 10 hatched 1 apart has about area / spacing of strokes.
    total = sum(math.dist(a, b) for a, b in strokes)
    assert total == pytest.approx(100, rel=0.02)
    assert len(strokes) == pytest.approx(10 * 2**0.5, abs=1)


def test_a_notch_stays_empty():
    """In a U the strokes stop at the notch and begin again behind it."""
    u = [(0, 0), (3, 0), (3, 8), (7, 8), (7, 0), (10, 0), (10, 10), (0, 10)]
    for (x, y), (v, w) in hatching(u, 0.5, rising=True):
        middle = (x + v) / 2, (y + w) / 2
        assert not (3 < middle[0] < 7 and middle[1] < 8)


@pytest.mark.parametrize(
    ("stroke", "left"),
    [
        (((0, 5), (10, 5)), [((0, 5), (4, 5)), ((6, 5), (10, 5))]),
        (((5, 5), (10, 5)), [((6, 5), (10, 5))]),
        (((4.5, 4.5), (5.5, 5.5)), []),
        (((0, 0), (0, 10)), [((0, 0), (0, 10))]),
        (((0, 2), (2, 0)), [((0, 2), (2, 0))]),
        (((4, 0), (4, 10)), [((4, 0), (4, 10))]),
    ],
)
def test_strokes_leave_a_box_out(stroke, left):
    """What lies in the box is taken out of a stroke; along its border nothing is."""
    assert outside(stroke, 4, 4, 6, 6) == left


def test_a_stroke_leaves_out_every_box_that_it_runs_through():
    """Of a line through two boxes three pieces are left, of one beside them all of it."""
    boxes = [Box(2, 4, 4, 6), Box(6, 4, 8, 6)]
    left = beyond([((0, 5), (10, 5)), ((0, 1), (10, 1))], boxes)
    assert left == [((0, 5), (2, 5)), ((4, 5), (6, 5)), ((8, 5), (10, 5)), ((0, 1), (10, 1))]
