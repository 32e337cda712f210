"""Wood needed against wood held."""

from fractions import Fraction

from nester.check.blank_table import blank_table
from nester.check.need import need_table
from tests.nester.check.things import board, inches, part, project, sheet


def test_boards_and_sheets_by_material() -> None:
    """Board feet of boards and square feet of sheets, their value, and the yard's tally.

    Source of the tally: 6.5 in x 8 ft is 4.333, so a surface measure of 4; 8 in x 12 ft is 8
    (worked examples of suppliers' copies of the NHLA grading guide).
    """
    stock = [
        board("W-1", 96, "6 1/2", price=Fraction(12)),
        board("W-2", 144, 8, price=Fraction(10)),
        board("O-1", 96, 8, species="oak"),
        sheet("B", count=2, price=Fraction(84)),
    ]
    rows = blank_table(
        project(
            part("rail", 38, "3 1/2"),
            part("floor", 24, 12, count=3, materials=("birch plywood",)),
        ),
        stock,
    )
    boards, sheets = need_table(rows, stock)
    assert (boards.kind, boards.materials) == ("boards", ("walnut",))
    assert boards.needed == Fraction(39) * Fraction(15, 4) / 144
    assert boards.held == Fraction(13, 3) + 8
    assert boards.tally == 4 + 8
    assert boards.value == Fraction(13, 3) * 12 + 80
    assert (sheets.kind, sheets.tally) == ("sheets", None)
    assert (sheets.needed, sheets.held, sheets.value) == (6, 64, 168)


def test_part_that_may_be_two_woods_is_counted_once() -> None:
    """A part of walnut or oak stands in a row of its own, against the wood of both."""
    stock = [board("W-1", 96, 6), board("O-1", 96, 6, species="oak")]
    rows = blank_table(
        project(part("a", 10, 2), part("b", 10, 2, materials=("walnut", "Oak"))), stock
    )
    alone, either = need_table(rows, stock)
    assert (alone.held, either.held) == (4, 8)
    assert either.materials == ("walnut", "Oak")


def test_material_that_is_not_there() -> None:
    """Wood that the stock has not got is needed all the same, and none is held."""
    rows = blank_table(project(part("a", 11, "1 3/4")), [])
    boards, sheets = need_table(rows, [])
    assert (boards.needed, boards.held, boards.tally) == (Fraction(24, 144), 0, 0)
    assert sheets.needed == Fraction(inches(11) * inches("1 3/4"), inches(12) ** 2)
