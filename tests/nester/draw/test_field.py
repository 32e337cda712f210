"""What is taken on the page, and labels spread in a row."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nester.draw.field import Field, shifts, spread
from nester.draw.page import Box


def test_a_place_is_free_until_it_is_taken():
    """A taken box is in the way of those that overlap it, not of those that touch it."""
    field = Field(Box(0, 0, 100, 100))
    field.take(Box(10, 10, 20, 20))
    assert field.free(Box(20, 10, 30, 20))
    assert not field.free(Box(20, 10, 30, 20), apart=0.1)
    assert not field.free(Box(19, 19, 30, 30))
    assert not field.free(Box(95, 0, 101, 5))
    assert field.at(15, 15)
    assert not field.at(20.5, 15)


@given(
    st.lists(
        st.tuples(st.floats(0, 90), st.floats(0, 90), st.floats(0.1, 30), st.floats(0.1, 30)),
        max_size=12,
    )
)
def test_the_squares_find_what_looking_at_all_boxes_finds(boxes):
    """Looking up by squares gives the same answer as comparing with every box."""
    field = Field(Box(-10, -10, 200, 200))
    seen: list[Box] = []
    for x, y, w, h in boxes:
        box = Box(x, y, x + w, y + h)
        assert field.free(box) is not any(box.overlaps(other) for other in seen)
        field.take(box)
        seen.append(box)


def test_labels_that_do_not_crowd_stay_where_they_belong():
    """With room enough nothing moves."""
    assert spread([10, 30, 60], [4, 4, 4], 1, 0, 100) == [10, 30, 60]


def test_two_labels_at_one_place_move_apart_evenly():
    """Two of width 4 with a gap of 1 end 2.5 to each side."""
    assert spread([50, 50], [4, 4], 1, 0, 100) == pytest.approx([47.5, 52.5])


def test_labels_stay_within_the_row():
    """A label at the end of the row is pushed in, and the next one with it."""
    assert spread([0, 1], [4, 4], 1, 0, 100) == pytest.approx([2, 7])
    assert spread([50, 50], [60, 60], 1, 0, 100) is None
    assert spread([], [], 1, 0, 10) == []


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(0.5, 8)), min_size=1, max_size=12))
def test_spread_labels_never_overlap_and_keep_their_order(pairs):
    """Whatever is wanted, neighbours stand a gap apart, in order, inside the row."""
    wanted = sorted(at for at, _ in pairs)
    sizes = [size for _, size in pairs]
    places = spread(wanted, sizes, 0.5, -5, 105)
    assert places is not None
    for (a, first), (b, second) in pairwise(zip(places, sizes, strict=True)):
        assert b - a >= (first + second) / 2 + 0.5 - 1e-6
    assert places[0] - sizes[0] / 2 >= -5 - 1e-6
    assert places[-1] + sizes[-1] / 2 <= 105 + 1e-6


def test_shifts_begin_in_the_middle_and_go_outward():
    """The first offset is none; every further one is at least as far; no slack, no shift."""
    found = list(shifts(8, 4, 4))
    assert found[0] == (0, 0)
    assert len(found) == 81
    far = [dx * dx + dy * dy for dx, dy in found]
    assert far == sorted(far)
    assert list(shifts(0, 0)) == [(0, 0)]


def test_what_is_released_is_free_again() -> None:
    """A box that is given up may be taken by another; one that is not taken cannot be given up."""
    field = Field(Box(0, 0, 40, 40))
    field.take(Box(5, 5, 20, 10))
    field.release(Box(5, 5, 20, 10))
    assert field.free(Box(6, 6, 18, 9))
    with pytest.raises(ValueError, match="not in list"):
        field.release(Box(5, 5, 20, 10))
