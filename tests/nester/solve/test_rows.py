"""Layouts in rows: what they give, what is left, what they cost, and the tree of saw cuts."""

from fractions import Fraction
from itertools import count

import pytest

from inventory.length import INCH
from nester.layout import Axis, BlankUse, OffcutUse, WasteUse
from nester.problem import Problem, StockItem, build
from nester.solve.columns import column
from nester.solve.plans import draft
from nester.solve.rows import Blank, Row, blanks, cost, is_offcut, leftovers, shown, usable
from nester.solve.tree import Carpenter, leaves, numbered
from tests.nester.maker import board, part, read, shop

INCHES = shop(
    grid=1,
    tape=1,
    kerf={"crosscut": 1, "rip": 1},
    offcut_min=[6, 2],
    offcut_credit=0.5,
)
"""A grid of an inch, so that cells are inches."""


@pytest.fixture(scope="module")
def problem() -> Problem:
    """A board of 20 x 6 cells at $20, a part of 8 x 3 and one of 8 x 2."""
    project, items = read(
        board(length="20", width="6", price=20),
        part("wide", length="8", width="3") + part("slim", length="8", width="2", count=2),
        INCHES,
    )
    return build(project.parts, items, project.shop)


@pytest.fixture(scope="module")
def item(problem: Problem) -> StockItem:
    """The board."""
    return problem.stock[0]


def two_strips() -> Row:
    """A section of 8 with both parts in it, and all the rest of the board left."""
    return Row("x", ((0, 8, Row("y", ((0, 3, Blank(0)), (4, 6, Blank(1))))),))


def test_blanks_of_a_row(item: StockItem) -> None:
    """Each blank is where its rows put it."""
    assert list(blanks(two_strips(), usable(item))) == [(0, (0, 0, 8, 3)), (1, (0, 4, 8, 6))]


def test_leftovers_of_a_row(item: StockItem) -> None:
    """What the kerfs leave: the end of the board, and nothing in the section, which is full."""
    assert list(leftovers(two_strips(), usable(item), item)) == [(9, 0, 20, 6)]
    gap = Row("x", ((3, 11, Row("y", ((1, 4, Blank(0)),))),))
    assert sorted(leftovers(gap, usable(item), item)) == [
        (0, 0, 2, 6),  # before the section, less a kerf
        (3, 5, 11, 6),  # above the strip; below it is only a kerf
        (12, 0, 20, 6),
    ]
    assert list(leftovers(Row("x", ()), usable(item), item)) == [(0, 0, 20, 6)]


@pytest.mark.parametrize(
    ("rect", "kept"),
    [
        ((0, 0, 6, 2), True),
        ((0, 0, 5, 2), False),
        ((0, 0, 6, 1), False),
        ((0, 0, 2, 6), False),  # a board's offcut is as long as it says along the grain
    ],
)
def test_offcuts(item: StockItem, rect: tuple[int, int, int, int], kept: bool) -> None:
    """From the least length and width on."""
    assert is_offcut(rect, item) is kept


def test_cost_of_a_row(problem: Problem, item: StockItem) -> None:
    """$20 less half the share of 11 x 6 in 20 x 6: $14.50, in ticks and never above it."""
    found = cost(two_strips(), item)
    exact = problem.ticks * (20 - 10 * Fraction(66, 120))
    assert exact - 200 <= found <= exact


def test_a_column(problem: Problem) -> None:
    """A column counts its blanks by demand."""
    made = column(problem, 0, two_strips())
    wide = next(d for d, demand in enumerate(problem.demands) if demand.parts[0][0] == "wide")
    assert made.counts[wide] == 1
    assert sum(made.counts) == 2


def test_drafts_are_compared_by_what_is_missing_first(problem: Problem) -> None:
    """Fewer missing is better at any cost; then the area missing, then the cost."""
    one = column(problem, 0, two_strips())
    slim = column(problem, 0, Row("x", ((0, 8, Row("y", ((0, 2, Blank(1)),))),)))
    nothing, some, twice = draft(problem, ()), draft(problem, [one]), draft(problem, [one, slim])
    assert nothing.missing == tuple(d.copies for d in problem.demands)
    assert nothing.merit > some.merit > twice.merit
    assert twice.complete
    assert not some.complete
    assert twice.cost == one.cost + slim.cost
    # More of a part than is asked for is no help.
    assert draft(problem, [slim, slim, slim]).missing[0] == nothing.missing[0]
    assert draft(problem, [one, slim, slim]).missing == twice.missing


def test_which_face_shows() -> None:
    """The first face that is clear shows; none where neither is."""
    stain = {"kind": "stain", "x": "2", "y": "1", "length": "1", "width": "1", "face": "a"}
    knot = {"kind": "knot", "x": "15", "y": "1", "length": "1", "width": "1"}
    project, items = read(
        board(length="20", flaws=[stain, knot]), part(length="8", width="3"), INCHES
    )
    (stock,) = build(project.parts, items, project.shop).stock
    (option,) = stock.options
    assert shown(option, (4, 0, 12, 3), stock) == (False, False)
    assert shown(option, (0, 0, 8, 3), stock) == (True, False)
    assert shown(option, (10, 0, 18, 3), stock) is None


def test_the_tree_of_a_row() -> None:
    """Section by section the cuts are made at the kerfs, and every leaf has its use."""
    project, items = read(
        board(length="22", width="6", ends="rough", price=20),
        part("wide", length="8", width="3") + part("slim", length="8", width="2"),
        INCHES,
    )
    (stock,) = build(project.parts, items, project.shop).stock
    row = Row("x", ((1, 9, Row("y", ((0, 3, Blank(0)), (4, 6, Blank(1))))),))
    names = iter([(("wide", 1),), (("slim", 1),)])
    ids = count(1)
    carpenter = Carpenter(stock, items[0], project.shop)
    layout, price = carpenter.layout(row, 1, lambda _: next(names), lambda: f"cut {next(ids)}")
    found = [
        (node.x // INCH, node.y // INCH, node.length // INCH, node.width // INCH, node.use)
        for node in leaves(layout.tree)
    ]
    # Both end trims are a kerf each, so they leave no piece.
    assert found == [
        (1, 0, 8, 3, BlankUse("wide", 1)),
        (1, 4, 8, 2, BlankUse("slim", 1)),
        (10, 0, 11, 6, OffcutUse("cut 1")),
    ]
    assert price == 20 - 10 * Fraction(66, 132)
    assert layout.tree.cut is not None
    assert layout.tree.cut.axis is Axis.X


def test_blanks_beyond_the_demand_are_left() -> None:
    """A blank that no part needs any more is an offcut, or waste where it is too small."""
    project, items = read(board(length="20"), part(length="8", width="3"), INCHES)
    (stock,) = build(project.parts, items, project.shop).stock
    row = Row("x", ((0, 8, Row("y", ((0, 3, Blank(0)),))), (9, 17, Row("y", ((0, 3, Blank(0)),)))))
    names = iter([(("rail", 1),), None])
    carpenter = Carpenter(stock, items[0], project.shop)
    layout, _ = carpenter.layout(row, 1, lambda _: next(names), lambda: "kept")
    uses = [node.use for node in leaves(layout.tree)]
    assert sum(isinstance(use, BlankUse) for use in uses) == 1
    assert all(isinstance(use, BlankUse | OffcutUse | WasteUse) for use in uses)


def test_numbers_follow_the_stages() -> None:
    """All crosscuts come before the rips that follow them, however the tree is nested."""
    project, items = read(board(length="20"), part(length="8", width="2", count=4), INCHES)
    (stock,) = build(project.parts, items, project.shop).stock
    pair = Row("y", ((0, 2, Blank(0)), (3, 5, Blank(0))))
    row = Row("x", ((0, 8, pair), (9, 17, pair)))
    carpenter = Carpenter(stock, items[0], project.shop)
    copies = count(1)
    layout, _ = carpenter.layout(row, 1, lambda _: (("rail", next(copies)),), lambda: "kept")
    cuts = []

    def visit(node: object) -> None:
        if node.cut:  # type: ignore[attr-defined]
            cuts.append((node.cut.order, node.cut.axis))  # type: ignore[attr-defined]
        for piece in node.pieces:  # type: ignore[attr-defined]
            visit(piece)

    visit(layout.tree)
    cuts.sort()
    axes = [axis for _, axis in cuts]
    assert axes == sorted(axes, key=lambda axis: axis is Axis.Y)
    assert [order for order, _ in cuts] == list(range(1, len(cuts) + 1))
    assert numbered(layout.tree) == layout.tree
