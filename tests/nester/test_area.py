"""Areas of wood, by the formulas of plane geometry."""

from fractions import Fraction
from random import Random

import pytest

from inventory.length import INCH
from inventory.stock import Board, Flaw, FlawKind, Sheet
from nester.area import sound_wood_in, wood_area, wood_in
from tests.nester.maker import board, part, read, sheet, shop

SQUARE = INCH * INCH


def item(text: str) -> Board | Sheet:
    """Return the stock item of a text."""
    _, (found,) = read(text, part(), shop())
    return found


def inches(found: Fraction) -> Fraction:
    """Return an area in square inches."""
    return found / SQUARE


def test_whole_outlines() -> None:
    """A board is a trapezoid: its length times its mean width."""
    assert inches(wood_area(item(board()))) == 360
    assert inches(wood_area(item(board(width=["6", "4"])))) == 300
    assert inches(wood_area(item(board(width=["4", "6"])))) == 300
    assert inches(wood_area(item(sheet()))) == 48 * 24


@pytest.mark.parametrize(
    ("box", "expected"),
    [
        # A board of 60 x 6 to 4: at x it is 6 - x/30 wide.
        ((0, 0, 60, 6), Fraction(300)),
        ((0, 0, 60, 4), Fraction(240)),
        ((0, 4, 60, 2), Fraction(60)),  # a triangle of 60 by 2
        ((30, 4, 30, 2), Fraction(15)),  # 30 by 1
        ((0, 4, 30, 2), Fraction(45)),
        ((0, 5, 60, 1), Fraction(15)),  # a triangle of 30 by 1
        ((30, 5, 30, 1), Fraction(0)),
        ((0, 0, 0, 6), Fraction(0)),
        ((59, 0, 1, 6), 4 + Fraction(1, 60)),
    ],
)
def test_wood_past_a_taper_is_none(box: tuple[int, ...], expected: Fraction) -> None:
    """In a rectangle only what lies within the outline is wood."""
    tapered = item(board(width=["6", "4"]))
    assert inches(wood_in(tapered, *(side * INCH for side in box))) == expected


def test_flaws_are_taken_out_once() -> None:
    """Sound wood is wood less the union of the unsound flaws, sound ones apart."""
    knot = {"kind": "knot", "x": "10", "y": "1", "length": "2", "width": "2"}
    one = item(board(flaws=[knot]))
    whole = (0, 0, 60 * INCH, 6 * INCH)
    assert inches(sound_wood_in(one, *whole)) == 356
    assert inches(wood_in(one, *whole)) == 360
    assert inches(sound_wood_in(item(board(flaws=[knot, knot])), *whole)) == 356
    beside = {**knot, "x": "11", "y": "2"}
    assert inches(sound_wood_in(item(board(flaws=[knot, beside])), *whole)) == 353
    assert inches(sound_wood_in(item(board(flaws=[{**knot, "sound": True}])), *whole)) == 360
    # Only what lies in the rectangle counts.
    assert inches(sound_wood_in(one, 11 * INCH, 0, 10 * INCH, 2 * INCH)) == 19


def test_polygons() -> None:
    """A triangle that pokes out of the rectangle, and a horseshoe with a bay."""
    triangle = {"kind": "wane", "outline": [["0", "6"], ["60", "6"], ["60", "3"]]}
    one = item(board(flaws=[triangle]))
    assert inches(sound_wood_in(one, 0, 0, 60 * INCH, 6 * INCH)) == 270
    assert inches(sound_wood_in(one, 30 * INCH, 0, 30 * INCH, 6 * INCH)) == 180 - Fraction(135, 2)
    horseshoe = {
        "kind": "void",
        "outline": [
            ["10", "0"],
            ["20", "0"],
            ["20", "1"],
            ["12", "1"],
            ["12", "4"],
            ["20", "4"],
            ["20", "6"],
            ["10", "6"],
        ],
    }
    bay = item(board(flaws=[horseshoe]))
    assert inches(sound_wood_in(bay, 0, 0, 60 * INCH, 6 * INCH)) == 360 - (10 + 6 + 20)
    assert inches(sound_wood_in(bay, 12 * INCH, 0, 8 * INCH, 6 * INCH)) == 24


def test_crossing_flaws() -> None:
    """Two triangles that cross: the union by hand is a square less a quarter of it."""
    up = {"kind": "rot", "outline": [["10", "1"], ["14", "1"], ["14", "5"]]}
    down = {"kind": "rot", "outline": [["10", "5"], ["14", "5"], ["14", "1"]]}
    two = item(board(flaws=[up, down]))
    # Of the square of 4 in only the triangle at its left, 4 by 2, is in neither.
    assert inches(sound_wood_in(two, 0, 0, 60 * INCH, 6 * INCH)) == 360 - 12


@pytest.mark.parametrize("seed", range(10))
def test_pieces_add_up(seed: int) -> None:
    """However a board is cut in two, the areas of both pieces are the whole's, exactly."""
    rng = Random(seed)
    length, a, b = rng.randint(900, 2000), rng.randint(300, 900), rng.randint(300, 900)
    flaws = []
    for _ in range(4):
        points = [(rng.randint(0, length), rng.randint(0, min(a, b))) for _ in range(3)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        flaws.append(Flaw(FlawKind.ROT, *box, outline=tuple(points)))
    one = Board("M-1", "maple", length, a, b, 100, 100, flaws=tuple(flaws))
    high = max(a, b)
    whole = sound_wood_in(one, 0, 0, length, high)
    x, y = rng.randint(1, length - 1), rng.randint(1, high - 1)
    assert whole == sound_wood_in(one, 0, 0, x, high) + sound_wood_in(one, x, 0, length - x, high)
    assert whole == sound_wood_in(one, 0, 0, length, y) + sound_wood_in(one, 0, y, length, high - y)
    assert 0 <= whole <= wood_in(one, 0, 0, length, high) == wood_area(one)
