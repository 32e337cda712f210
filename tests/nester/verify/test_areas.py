"""Exact areas of polygons and their unions."""

from fractions import Fraction
from math import gcd

from hypothesis import given
from hypothesis import strategies as st

from nester.verify.areas import covered, polygon_area
from nester.verify.shapes import Vertex, holds

SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))
small = st.integers(0, 12)
rects = st.builds(
    lambda x, y, w, h: ((x, y), (x + w, y), (x + w, y + h), (x, y + h)),
    small,
    small,
    st.integers(1, 8),
    st.integers(1, 8),
)
triangles = st.lists(st.tuples(small, small), min_size=3, max_size=3, unique=True)


def test_polygon_area() -> None:
    """A right triangle is half its rectangle, whichever way round it is written."""
    assert polygon_area(((0, 0), (4, 0), (0, 3))) == 6
    assert polygon_area(((0, 3), (4, 0), (0, 0))) == 6
    assert polygon_area(((0, 0), (2, 2), (4, 4))) == 0


@given(triangles)
def test_area_by_picks_theorem(points: list[tuple[int, int]]) -> None:
    """A lattice triangle's area is I + B/2 - 1 (Pick 1899): lattice points inside and on it."""
    area = polygon_area(points)
    if not area:
        return
    border = sum(
        gcd(p[0] - q[0], p[1] - q[1]) for p, q in zip(points, points[1:] + points[:1], strict=True)
    )
    on_edge = {
        (p[0] + (q[0] - p[0]) * k // n, p[1] + (q[1] - p[1]) * k // n)
        for p, q in zip(points, points[1:] + points[:1], strict=True)
        for n in [gcd(p[0] - q[0], p[1] - q[1])]
        for k in range(n)
    }
    inside = sum(
        holds(points, (x, y)) for x in range(13) for y in range(13) if (x, y) not in on_edge
    )
    assert area == inside + Fraction(border, 2) - 1


def test_overlapping_shapes_count_once() -> None:
    """Two squares that share a quarter cover seven quarters."""
    one = ((1, 1), (5, 1), (5, 5), (1, 5))
    two = ((3, 3), (7, 3), (7, 7), (3, 7))
    assert covered(SQUARE, [one, two]) == 28
    assert covered(SQUARE, [one, one]) == 16
    assert covered(SQUARE, []) == 0


def test_shapes_are_clipped() -> None:
    """Only what lies within the clip counts; abutting shapes have nothing in common."""
    assert covered(SQUARE, [((8, 8), (12, 8), (12, 12), (8, 12))]) == 4
    assert covered(SQUARE, [((10, 0), (12, 0), (12, 10), (10, 10))]) == 0


def test_crossing_triangles() -> None:
    """Two triangles that make a star over a diamond: each 8, the diamond between them 4."""
    up: tuple[Vertex, ...] = ((0, 0), (8, 0), (4, 4))
    down: tuple[Vertex, ...] = ((0, 4), (8, 4), (4, 0))
    # Each is 16. They cross at (2, 2) and (6, 2): the diamond (2, 2), (4, 0), (6, 2), (4, 4) is 8.
    assert covered(SQUARE, [up, down]) == 16 + 16 - 8


def test_a_bow_tie_is_two_triangles() -> None:
    """A polygon that crosses itself is taken even-odd."""
    assert covered(SQUARE, [((0, 0), (4, 4), (4, 0), (0, 4))]) == 8


@given(st.lists(rects, max_size=5))
def test_union_of_rectangles_by_counting_squares(shapes: list[tuple[Vertex, ...]]) -> None:
    """The area of rectangles on whole numbers is the number of unit squares that they cover."""
    cells = {
        (x, y)
        for shape in shapes
        for x in range(int(shape[0][0]), int(shape[2][0]))
        for y in range(int(shape[0][1]), int(shape[2][1]))
        if x < 10 and y < 10
    }
    assert covered(SQUARE, shapes) == len(cells)


@given(triangles, triangles)
def test_union_and_common_part_add_up(
    one: list[tuple[int, int]], two: list[tuple[int, int]]
) -> None:
    """What two triangles cover is their areas less what they have in common."""
    big = ((0, 0), (12, 0), (12, 12), (0, 12))
    common = covered(one, [two])
    assert covered(big, [one, two]) == polygon_area(one) + polygon_area(two) - common
    assert common == covered(two, [one])
