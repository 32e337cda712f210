"""The longest and the widest clear piece, against pencil and brute force."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.clear import (
    Clear,
    longest_clear,
    longest_on_one_face,
    widest_clear,
    widest_on_one_face,
)
from inventory.length import INCH
from inventory.stock import Board, Face, Flaw, FlawKind, Sheet

PLANK = Board("1", "oak", 96 * INCH, 8 * INCH, 8 * INCH, INCH, INCH)


def knot(x: int, y: int, length: int, width: int, face: Face = Face.BOTH) -> Flaw:
    """Return a knot, sizes in inches."""
    return Flaw(FlawKind.KNOT, x * INCH, y * INCH, length * INCH, width * INCH, face)


def with_flaws(*flaws: Flaw) -> Board:
    """Return an 8 ft board 8 in wide with flaws."""
    return replace(PLANK, flaws=flaws)


def test_without_flaws_it_is_the_whole_board() -> None:
    """Nothing is in the way."""
    whole = Clear(0, 0, 96 * INCH, 8 * INCH)
    assert longest_clear(PLANK, Face.BOTH) == whole
    assert widest_clear(PLANK, Face.BOTH) == whole


def test_past_a_knot() -> None:
    """A knot in the middle leaves the full length beside it and the full width after it."""
    board = with_flaws(knot(30, 3, 2, 2))
    assert longest_clear(board, Face.BOTH) == Clear(0, 0, 96 * INCH, 3 * INCH)
    assert widest_clear(board, Face.BOTH) == Clear(32 * INCH, 0, 64 * INCH, 8 * INCH)


def test_a_strip_too_narrow_does_not_count() -> None:
    """Only 1 in beside the flaw is less than the 2 in asked for."""
    board = with_flaws(knot(30, 1, 2, 6))
    assert longest_clear(board, Face.BOTH) == Clear(32 * INCH, 0, 64 * INCH, 8 * INCH)


def test_between_flaws_of_equal_reach_the_wider_is_given() -> None:
    """Where two pieces are as long, it is the one with more width."""
    board = with_flaws(knot(0, 2, 96, 1))
    assert longest_clear(board, Face.BOTH) == Clear(0, 3 * INCH, 96 * INCH, 5 * INCH)


def test_of_pieces_as_wide_the_longest_is_given() -> None:
    """Three knots leave strips 1 in wide in every row, but only the last is clear to both ends."""
    small = replace(PLANK, length=3 * INCH, width_a=4 * INCH, width_b=4 * INCH)
    knots = knot(0, 0, 1, 1), knot(1, 2, 1, 1), knot(2, 1, 1, 1)
    found = widest_clear(replace(small, flaws=knots), Face.BOTH, 2 * INCH)
    assert found == Clear(0, 3 * INCH, 3 * INCH, INCH)


def test_of_pieces_as_long_the_widest_is_given() -> None:
    """The same the other way: 1 in long in every row across, full width only in the last."""
    small = replace(PLANK, length=4 * INCH, width_a=3 * INCH, width_b=3 * INCH)
    knots = knot(0, 0, 1, 1), knot(2, 1, 1, 1), knot(1, 2, 1, 1)
    found = longest_clear(replace(small, flaws=knots), Face.BOTH, 2 * INCH)
    assert found == Clear(3 * INCH, 0, INCH, 3 * INCH)


def test_a_taper_takes_from_the_width() -> None:
    """8 in to 4 in over 96 in: 6 in wide as far as 48 in, and 12 in long at 7 1/2 in."""
    board = replace(PLANK, width_b=4 * INCH)
    assert longest_clear(board, Face.BOTH, 6 * INCH) == Clear(0, 0, 48 * INCH, 6 * INCH)
    assert widest_clear(board, Face.BOTH) == Clear(0, 0, 12 * INCH, 15 * INCH // 2)
    turned = replace(board, width_a=4 * INCH, width_b=8 * INCH)
    assert widest_clear(turned, Face.BOTH) == Clear(84 * INCH, 0, 12 * INCH, 15 * INCH // 2)


def test_wane_along_a_slant() -> None:
    """Half the far edge is lost to a triangle of wane; the piece under it runs through."""
    wane = Flaw(
        FlawKind.WANE,
        0,
        6 * INCH,
        96 * INCH,
        2 * INCH,
        outline=((0, 8 * INCH), (96 * INCH, 6 * INCH), (96 * INCH, 8 * INCH)),
    )
    board = with_flaws(wane)
    assert longest_clear(board, Face.BOTH) == Clear(0, 0, 96 * INCH, 6 * INCH)
    assert widest_clear(board, Face.BOTH) == Clear(0, 0, 12 * INCH, 31 * INCH // 4)


def test_faces() -> None:
    """A knot on face B leaves face A clear; a void is on both whatever it says."""
    board = with_flaws(knot(40, 0, 4, 8, Face.B))
    assert longest_clear(board, Face.A) == Clear(0, 0, 96 * INCH, 8 * INCH)
    assert longest_clear(board, Face.BOTH) == Clear(44 * INCH, 0, 52 * INCH, 8 * INCH)
    assert longest_on_one_face(board) == (Clear(0, 0, 96 * INCH, 8 * INCH), Face.A)
    void = replace(board.flaws[0], kind=FlawKind.VOID)
    assert longest_on_one_face(with_flaws(void)) == (
        Clear(44 * INCH, 0, 52 * INCH, 8 * INCH),
        Face.A,
    )
    both = with_flaws(knot(0, 0, 90, 8, Face.A), knot(40, 0, 4, 8, Face.B))
    assert longest_on_one_face(both) == (Clear(44 * INCH, 0, 52 * INCH, 8 * INCH), Face.B)
    assert widest_on_one_face(both) == (Clear(44 * INCH, 0, 52 * INCH, 8 * INCH), Face.B)


def test_none() -> None:
    """A board that is all rot, or smaller than what is asked for, has no clear piece."""
    rotten = with_flaws(knot(0, 0, 96, 8))
    assert longest_clear(rotten, Face.BOTH) is None
    assert widest_clear(rotten, Face.BOTH) is None
    assert longest_on_one_face(rotten) is None
    assert widest_clear(replace(PLANK, length=11 * INCH), Face.BOTH) is None
    assert longest_clear(replace(PLANK, width_a=INCH, width_b=INCH), Face.BOTH) is None


@st.composite
def small_sheets(draw: st.DrawFn) -> Sheet:
    """A sheet of a few units with rectangles on it, small enough to try every piece."""
    length, width = draw(st.integers(3, 9)), draw(st.integers(3, 7))
    flaws = []
    for _ in range(draw(st.integers(0, 4))):
        x, y = draw(st.integers(0, length - 1)), draw(st.integers(0, width - 1))
        size = draw(st.integers(1, length - x)), draw(st.integers(1, width - y))
        flaws.append(Flaw(FlawKind.KNOT, x, y, *size))
    return Sheet("1", "ply", length, width, 1, 1, flaws=tuple(flaws))


@settings(max_examples=150, deadline=None)
@given(small_sheets(), st.integers(1, 3))
def test_no_piece_is_longer_or_wider(sheet: Sheet, least: int) -> None:
    """Of all rectangles on whole units none is clear and longer, or clear and wider."""
    clear = [
        Clear(x, y, length, width)
        for x in range(sheet.length)
        for y in range(sheet.width)
        for length in range(1, sheet.length - x + 1)
        for width in range(1, sheet.width - y + 1)
        if not any(
            flaw.x < x + length
            and x < flaw.x + flaw.length
            and flaw.y < y + width
            and y < flaw.y + flaw.width
            for flaw in sheet.flaws
        )
    ]
    longest = longest_clear(sheet, Face.BOTH, least)
    wide = [(c.length, c.width) for c in clear if c.width >= least]
    assert (longest and (longest.length, longest.width)) == max(wide, default=None)
    widest = widest_clear(sheet, Face.BOTH, least)
    long = [(c.width, c.length) for c in clear if c.length >= least]
    assert (widest and (widest.width, widest.length)) == max(long, default=None)
    assert longest is None or longest in clear
    assert widest is None or widest in clear
