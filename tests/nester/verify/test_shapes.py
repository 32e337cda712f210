"""Whether shapes touch, and how far apart they are."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from nester.verify.areas import covered, polygon_area
from nester.verify.records import Flaw
from nester.verify.shapes import Rect, gap_squared, touches

small = st.integers(0, 12)
polygons = st.lists(st.tuples(small, small), min_size=3, max_size=6)
rects = st.builds(
    lambda x, y, w, h: Rect(x, y, x + w, y + h), small, small, st.integers(1, 6), st.integers(1, 6)
)


def outline(*points: tuple[int, int]) -> Flaw:
    """Return a flaw with an outline."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    return Flaw("knot", *box, face="both", sound=False, outline=points)


def rectangle(x: int, y: int, length: int, width: int) -> Flaw:
    """Return a flaw that is a rectangle."""
    return Flaw("knot", x, y, length, width, face="both", sound=False, outline=None)


def test_abutting_is_not_touching() -> None:
    """Shapes that share an edge or a corner do not touch."""
    rect = Rect(0, 0, 4, 4)
    assert not touches(rectangle(4, 0, 2, 4), rect)
    assert not touches(rectangle(4, 4, 2, 2), rect)
    assert touches(rectangle(3, 3, 2, 2), rect)
    assert not touches(outline((4, 0), (8, 0), (4, 4)), rect)
    assert not touches(outline((0, 8), (8, 0), (8, 8)), rect)
    assert touches(outline((0, 7), (7, 0), (8, 8)), rect)


def test_a_crack_without_width_touches() -> None:
    """A flaw without width or length touches what it runs through, not what it runs along."""
    rect = Rect(0, 0, 4, 4)
    assert touches(rectangle(1, 2, 2, 0), rect)
    assert touches(rectangle(2, 2, 0, 0), rect)
    assert not touches(rectangle(1, 4, 2, 0), rect)
    assert touches(outline((1, 1), (3, 3), (2, 2)), rect)


def test_a_hollow_outline() -> None:
    """A rectangle in the notch of an outline is outside it, though inside its box."""
    ring = outline((0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9))
    assert not touches(ring, Rect(4, 4, 5, 5))
    assert not touches(ring, Rect(3, 3, 6, 9))
    assert touches(ring, Rect(2, 4, 5, 5))
    assert touches(ring, Rect(1, 1, 2, 2))


@given(polygons, rects)
def test_touching_is_having_area_in_common(points: list[tuple[int, int]], rect: Rect) -> None:
    """Polygons touch a rectangle just where they share some area with it."""
    flaw = outline(*points)
    common = covered(rect.corners(), [points])
    if common:
        assert touches(flaw, rect)
    elif len(points) == 3 and polygon_area(points):
        assert not touches(flaw, rect)


def test_distances() -> None:
    """Distances are measured straight: 3 and 4 make 5, and to a slanted edge squarely."""
    rect = Rect(0, 0, 4, 4)
    assert gap_squared(rectangle(7, 8, 1, 1), rect) == 25
    assert gap_squared(rectangle(7, 0, 1, 1), rect) == 9
    assert gap_squared(rectangle(1, 1, 1, 1), rect) == 0
    # The line x + y = 10 is 2/sqrt(2) from the corner (4, 4).
    assert gap_squared(outline((0, 10), (10, 0), (10, 10)), rect) == 2
    assert gap_squared(outline((1, 1), (2, 1), (2, 2)), rect) == 0
    assert gap_squared(outline((7, 8), (9, 8), (9, 9)), rect) == 25
    assert gap_squared(outline((4, 0), (8, 0), (8, 4)), rect) == 0


@given(polygons, rects, st.integers(1, 4))
def test_no_distance_is_shorter_than_the_boxes(
    points: list[tuple[int, int]], rect: Rect, clear: int
) -> None:
    """A flaw at a distance touches the rectangle grown by a little more, not by less than 7/10."""
    flaw = outline(*points)
    gap = gap_squared(flaw, rect)
    if gap == 0:
        return
    root = Fraction(int((gap * 10**8) ** Fraction(1, 2)), 10**4)
    assert touches(flaw, rect.grown(root + Fraction(1, 100), root + Fraction(1, 100)))
    assert not touches(flaw, rect.grown(root * 7 / 10, root * 7 / 10))
