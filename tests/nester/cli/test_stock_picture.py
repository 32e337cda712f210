"""The picture of a board in the terminal."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.formatter import Formatter
from inventory.length import INCH, MM
from inventory.stock import Board, Face, Flaw, FlawKind, Sheet, Stock
from nester.cli.stock.picture import PLAIN, key, letter, picture
from tests.inventory.strategies import boards, sheets

INCHES = Formatter.of("in")
PLANK = Board("1", "oak", 100 * INCH, 10 * INCH, 10 * INCH, INCH, INCH)


def drawn(stock: Stock, width: int = 56) -> list[str]:
    """Return the picture in plain characters, without its caption."""
    return picture(stock, INCHES, width, PLAIN)[:-1]


def test_a_taper_steps_either_way() -> None:
    """The far edge falls or rises, and both widths stand beside their ends."""
    falling = drawn(replace(PLANK, width_b=5 * INCH))
    assert falling[0].startswith("10 +-")
    ends = [line for line in falling if line.endswith("+ 5")]
    assert len(ends) == 1
    tops = [line.index("+", 4) for line in falling[: falling.index(ends[0])]]
    assert tops == sorted(tops)
    assert tops[0] < tops[-1]
    rising = drawn(replace(PLANK, width_a=5 * INCH))
    assert rising[0].endswith("-+ 10")
    assert [line for line in rising if line.startswith("5 +-")]


@pytest.mark.parametrize("face", Face)
def test_a_flaw_stands_where_it_is(face: Face) -> None:
    """A knot at the middle of the board is in the middle of the picture, small on face B."""
    knot = Flaw(FlawKind.KNOT, 50 * INCH, 5 * INCH, INCH, INCH, face)
    lines = drawn(replace(PLANK, flaws=(knot,)))
    mark = "a" if face is Face.B else "A"
    places = [(row, line.index(mark)) for row, line in enumerate(lines) if mark in line]
    inside = [row for row, line in enumerate(lines) if line.endswith("|")]
    middle = (lines[-2].index("+") + lines[-2].rindex("+")) / 2
    assert 1 <= len(places) <= 2
    for row, column in places:
        assert abs(row - (inside[0] + inside[-1]) / 2) <= 1
        assert abs(column - middle) <= 1


def test_a_small_flaw_lies_on_a_large_one() -> None:
    """However they are listed."""
    stain = Flaw(FlawKind.STAIN, 0, 0, 100 * INCH, 10 * INCH)
    knot = Flaw(FlawKind.KNOT, 50 * INCH, 5 * INCH, INCH, INCH)
    for flaws, mark in (((stain, knot), "B"), ((knot, stain), "A")):
        assert any(mark in line for line in drawn(replace(PLANK, flaws=flaws)))


def test_an_outline_is_drawn_by_its_shape() -> None:
    """A triangle of wane covers half of its rectangle."""
    corners = ((0, 10 * INCH), (100 * INCH, 10 * INCH), (100 * INCH, 0))
    wane = Flaw(FlawKind.WANE, 0, 0, 100 * INCH, 10 * INCH, outline=corners)
    counts = [line.count("A") for line in drawn(replace(PLANK, flaws=(wane,))) if "A" in line]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 4 * counts[-1]


def test_the_ruler() -> None:
    """Round steps with their figures under the ticks, the whole length at the end."""
    *_, foot, figures = drawn(PLANK, 100)
    for figure in ("12", "48", "72"):
        at = figures.index(figure)
        assert "+" in foot[at : at + len(figure)]
    assert figures.endswith("100 in")
    metric = picture(Sheet("1", "ply", 2440 * MM, 1220 * MM, 1, 1), Formatter.of("mm"), 100)
    assert " 1000 " in metric[-2]
    assert metric[-2].endswith("2440 mm")


def test_the_key() -> None:
    """Each flaw with its letter, past the alphabet with a star."""
    knot = Flaw(FlawKind.KNOT, INCH, INCH, INCH, INCH, Face.B, True, note="tight")
    assert key(replace(PLANK, flaws=(knot,)), INCHES) == [
        "a  sound knot, 1 to 2 from end A, 1 to 2 from the near edge, face B, tight"
    ]
    assert [letter(index, replace(knot, face=Face.A)) for index in (0, 25, 26)] == ["A", "Z", "*"]


@settings(max_examples=25, deadline=None)
@given(st.one_of(boards(), sheets()), st.integers(1, 130), st.sampled_from(["in", "mm"]))
def test_any_piece_fits_any_terminal(stock: Stock, width: int, units: str) -> None:
    """No line is wider than the terminal, or than a narrow one; every end line is closed."""
    formatter = Formatter.of("in" if units == "in" else "mm")
    lines = picture(stock, formatter, width, PLAIN)
    assert max(len(line) for line in lines[:-1]) <= max(width, 40)
    corner = lines[-3].index("+")
    assert lines[-4][corner] == lines[-4].rstrip("0123456789 /")[-1] == "|"
    assert len(lines) <= 24 + 4
