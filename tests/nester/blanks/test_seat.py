"""A part in its blank: where its points lie, and which flaws its cutaways take away."""

from fractions import Fraction
from random import Random

import pytest

from inventory.length import INCH
from inventory.stock import Board, Flaw, FlawKind
from nester.blanks.cutaways import Lie, lies
from nester.blanks.seat import Seat, covers
from nester.model import Arch, Outline, Part
from nester.problem.excuses import excuse

ARCH = Arch("near", 5 * INCH, 28 * INCH, 7 * INCH // 4)
RAIL = Part("rail", 38 * INCH, 7 * INCH // 2, INCH, ("maple",), cutaways=(ARCH,))


def inch(x: float, y: float) -> tuple[Fraction, Fraction]:
    """Return a point given in inches."""
    return Fraction(x) * INCH, Fraction(y) * INCH


@pytest.mark.parametrize(
    ("lie", "start", "top_of_arch"),
    [
        # The blank begins at (10, 2) and is 39 x 3 3/4: 1/2 to spare at each end, 1/4 across.
        (Lie(), (10.5, 2), (29.5, 3.75)),
        (Lie(reversed=True), (48.5, 5.75), (29.5, 4)),
        (Lie(flipped=True), (10.5, 5.75), (29.5, 4)),
        (Lie(reversed=True, flipped=True), (48.5, 2), (29.5, 3.75)),
    ],
)
def test_along_the_stock(
    lie: Lie, start: tuple[float, float], top_of_arch: tuple[float, float]
) -> None:
    """The part's end A at its near edge, and the top of its arch, in each way to lie."""
    seat = Seat(RAIL, lie, 10 * INCH, 2 * INCH, 39 * INCH, 15 * INCH // 4)
    assert seat.on_stock(0, 0) == inch(*start)
    assert seat.on_stock(19 * INCH, 7 * INCH // 4) == inch(*top_of_arch)


@pytest.mark.parametrize(
    ("lie", "start", "top_of_arch"),
    [
        # Turned: the blank begins at (2, 10) and is 3 3/4 x 39. End A lies at the far edge.
        (Lie(turned=True), (2, 48.5), (3.75, 29.5)),
        (Lie(turned=True, reversed=True), (5.75, 10.5), (4, 29.5)),
        (Lie(turned=True, flipped=True), (5.75, 48.5), (4, 29.5)),
        (Lie(turned=True, reversed=True, flipped=True), (2, 10.5), (3.75, 29.5)),
    ],
)
def test_across_the_stock(
    lie: Lie, start: tuple[float, float], top_of_arch: tuple[float, float]
) -> None:
    """A quarter turn and half turns on, never a mirror."""
    seat = Seat(RAIL, lie, 2 * INCH, 10 * INCH, 15 * INCH // 4, 39 * INCH)
    assert seat.on_stock(0, 0) == inch(*start)
    assert seat.on_stock(19 * INCH, 7 * INCH // 4) == inch(*top_of_arch)


def test_never_mirrored() -> None:
    """With face A up the corners run round the same way as on the part, with face B the other."""
    for lie in (*lies(False), *lies(True)):
        seat = Seat(RAIL, lie, 0, 0, 40 * INCH, 40 * INCH)
        (ax, ay), (bx, by), (cx, cy) = (seat.on_stock(*at) for at in ((0, 0), (1, 0), (0, 1)))
        turn = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        assert (turn > 0) is not lie.flipped, lie


def test_there_and_back() -> None:
    """A point of the stock on the part and back on the stock is itself."""
    rng = Random(5)
    for lie in (*lies(False), *lies(True)):
        for arch in (ARCH, Arch("far", 5 * INCH, 28 * INCH, INCH)):
            part = Part("rail", 38 * INCH + 1, 7 * INCH // 2, INCH, ("m",), cutaways=(arch,))
            seat = Seat(part, lie, 10, 20, 40 * INCH, 41 * INCH)
            at = Fraction(rng.randrange(10**5)), Fraction(rng.randrange(10**5))
            assert seat.on_stock(*seat.on_part(*at)) == at


def knot(x: float, y: float, length: float, width: float, **more: bool) -> Flaw:
    """Return a knot of so many inches."""
    x, y, length, width = (int(Fraction(v) * INCH) for v in (x, y, length, width))
    return Flaw(FlawKind.KNOT, x, y, length, width, **more)


def test_flaws_in_the_arch() -> None:
    """A knot wholly in the arch is shed; loose, it is to be knocked out; above the arch it stays.

    Half an inch beside the middle the arch is 1.7478 high (R = 56 7/8).
    """
    flaws = (
        knot(18.5, 0, 1, 1.6875),
        knot(18.5, 0, 1, 1.75),
        knot(20, 0.25, 1, 1, sound=True),
        Flaw(FlawKind.METAL, 18 * INCH, 0, 10, 10),
        Flaw(FlawKind.VOID, 18 * INCH, 0, 10, 10),
        Flaw(FlawKind.SPLIT, 18 * INCH, 0, INCH, 10),
    )
    board = Board("B", "maple", 38 * INCH, 4 * INCH, 4 * INCH, INCH, INCH, flaws=flaws)
    seat = Seat(RAIL, Lie(), 0, 0, 38 * INCH, 7 * INCH // 2)
    assert seat.shed(board) == [flaws[0], flaws[2], flaws[5]]
    assert seat.loose(board) == [flaws[0]]
    assert Seat(RAIL, Lie(flipped=True), 0, 0, 38 * INCH, 7 * INCH // 2).shed(board) == []


def test_what_the_planner_excuses_is_shed() -> None:
    """The planner's tables, rounded inward, say yes only where the true shapes do."""
    rng = Random(11)
    step = Outline(tuple((x * INCH, y * INCH) for x, y in ((3, 1), (9, 0), (8, 3), (5, 2))))
    part = Part("rail", 14 * INCH, 4 * INCH, INCH, ("maple",), cutaways=(step, ARCH_LOW))
    board = Board("B", "maple", 40 * INCH, 20 * INCH, 20 * INCH, INCH, INCH)
    grid = INCH // 4
    yes = 0
    for _ in range(60):
        flaw = knot(rng.randrange(150, 200) / 8, rng.randrange(60, 90) / 8, 0.5, 0.375)
        for lie in (*lies(False), *lies(True)):
            found = excuse(part, lie, flaw, board, grid)
            length, width = (4, 14) if lie.turned else (14, 4)
            for _ in range(12):
                x = flaw.x // grid - rng.randrange(4 * length)
                y = flaw.y // grid - rng.randrange(4 * width)
                rect = (x, y, x + 4 * length + rng.randrange(3), y + 4 * width + rng.randrange(3))
                if found is not None and found.holds(*rect):
                    x1, y1, x2, y2 = (value * grid for value in rect)
                    seat = Seat(part, lie, x1, y1, x2 - x1, y2 - y1)
                    assert any(seat.holds(cutaway, flaw) for cutaway in part.cutaways)
                    yes += 1
    assert yes > 40


ARCH_LOW = Arch("far", 2 * INCH, 10 * INCH, 2 * INCH)


@pytest.mark.parametrize(
    ("inner", "held"),
    [
        ([(0, 0), (4, 0), (4, 1), (0, 1)], True),
        ([(0, 0), (1, 0), (1, 4), (0, 4)], True),
        ([(0, 0), (1, 0), (1, 5), (0, 5)], False),
        ([(3, 0), (4, 0), (4, 1), (1, 4), (0, 4), (0, 3)], False),
        ([(1, 0), (4, 0), (1, 1)], True),
        ([(0, 1), (3, 0), (1, 1)], True),
        ([(0, 3), (3, 0), (1, 1)], False),
        ([(0, 3), (3, 0), (2, 2)], False),
        ([(2, 2), (3, 2), (3, 3)], False),
    ],
)
def test_one_polygon_in_another(inner: list[tuple[int, int]], held: bool) -> None:
    """What lies in an L, its border included, and what does not."""
    outer = [(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)]
    points = [[(Fraction(x), Fraction(y)) for x, y in shape] for shape in (outer, inner)]
    assert covers(*points) is held
    swapped = [[(y, x) for x, y in shape] for shape in points]
    assert covers(*swapped) is held
