"""Sections moved along a board, so that what is left comes together."""

from nester.problem import StockItem, build
from nester.solve.rows import Blank, Row, blanks, cost, shown, usable
from nester.solve.slide import slid
from tests.nester.maker import board, part, read, shop

INCHES = shop(
    grid=1,
    tape=1,
    kerf={"crosscut": 1, "rip": 1},
    offcut_min=[6, 2],
    offcut_credit=0.5,
    shortest_rip=0,
)
"""A grid of an inch, so that cells are inches."""


def item(flaws: list[dict[str, object]], length: int = 24) -> StockItem:
    """Return a board 6 cells wide at a dollar a cell; parts of 5 x 6, 4 x 6, two of 5 x 2."""
    project, items = read(
        board(length=str(length), width="6", price=length, flaws=flaws),
        part("long", length="5", width="6")
        + part("short", length="4", width="6")
        + part("slim", length="5", width="2", count=2),
        INCHES,
    )
    return build(project.parts, items, project.shop).stock[0]


def paid(row: Row, own: StockItem, length: int = 24) -> float:
    """Return what a layout costs [$]."""
    return round(length * cost(row, own) / own.value, 6)


def knot(x: int, y: int = 2) -> dict[str, object]:
    """Return a loose knot of an inch."""
    return {"kind": "knot", "x": str(x), "y": str(y), "length": "1", "width": "1", "sound": False}


def test_two_short_leftovers_become_one_offcut() -> None:
    """Gaps of 5 and 5 are waste; moved together 11 are left, of which the kerf takes one."""
    own = item([], length=20)
    apart = Row("x", ((0, 5, Blank(0)), (11, 15, Blank(1))))
    assert paid(apart, own, 20) == 20
    moved = slid(apart, own)
    # 20 less 5, 4 and two kerfs are 9 in at half their price.
    assert paid(moved, own, 20) == 20 - 9 / 2


def test_sections_keep_clear_of_flaws() -> None:
    """A knot at 10: one goes before it or both after, whatever leaves most between."""
    own = item([knot(10)])
    row = Row("x", ((0, 5, Blank(0)), (11, 15, Blank(1))))
    moved = slid(row, own)
    for option, box in blanks(moved, usable(own)):
        assert shown(own.options[option], box, own) is not None
    # 13 in are left over but for two kerfs, all in one or two offcuts; the knot is worth nothing.
    assert paid(moved, own) < paid(row, own)
    assert paid(moved, own) >= 24 - 13 / 2


def test_a_strip_moves_in_its_section_which_gets_no_longer_than_it_need_be() -> None:
    """A section of 8 for two strips of 5, one pushed 3 on: side by side they leave 3 in more."""
    own = item([], length=20)
    strips = (
        (0, 2, Row("x", ((0, 5, Blank(2)),))),
        (3, 5, Row("x", ((3, 8, Blank(2)),))),
    )
    row = Row("x", ((0, 8, Row("y", strips)),))
    assert paid(row, own, 20) == 20 - 11 / 2
    assert paid(slid(row, own), own, 20) == 20 - 14 / 2


def test_what_cannot_be_better_stays_as_it_is() -> None:
    """One section at the end of a board leaves all the rest in one."""
    own = item([])
    row = Row("x", ((0, 5, Blank(0)),))
    assert slid(row, own) is row
