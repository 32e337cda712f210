"""Outlines: simple or not, by shapes that a pencil settles."""

import pytest

from nester.readers.polygon import MOST_CORNERS, outline_fault


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (4, 0), (0, 3)],
        [(0, 3), (4, 0), (0, 0)],  # the other way round
        [(0, 0), (4, 0), (4, 4), (2, 1), (0, 4)],  # a notch
        [(0, 0), (2, 0), (4, 0), (4, 4)],  # a corner in a straight side
    ],
)
def test_simple_outlines(points) -> None:
    """A triangle either way round, a notched square and a straight corner are simple."""
    assert outline_fault(points) is None


@pytest.mark.parametrize(
    ("points", "fault"),
    [
        ([(0, 0), (4, 0)], "at least 3 corners"),
        ([(0, 0), (4, 4), (4, 0), (0, 4)], "crosses itself"),  # a bow tie
        ([(0, 0), (4, 0), (4, 4), (2, 0), (1, 2)], "crosses itself"),  # a corner on a side
        ([(0, 0), (4, 0), (2, 0)], "folds back"),
        ([(0, 0), (4, 0), (4, 4), (0, 0)], "names a corner twice"),
        ([(i, i * i) for i in range(MOST_CORNERS + 1)], f"at most {MOST_CORNERS} corners"),
    ],
)
def test_outlines_that_are_not_simple(points, fault: str) -> None:
    """Crossing, touching, folding and repeated corners each have their own word."""
    assert fault in (outline_fault(points) or "")
