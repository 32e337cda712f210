"""Kerfs, stages, first cuts, short rips, counts: a fit and a just-not-fit of each."""

from itertools import pairwise
from typing import Any

import pytest

from inventory.length import INCH
from nester.layout import Axis, Node, WasteUse
from tests.nester.maker import PROVEN, SOON, board, fits, nodes, part, planned, sheet, shop


@pytest.mark.parametrize(
    ("stock", "of_part", "habits"),
    [
        # Each board is a kerf longer or wider than two parts; a sixteenth less is too little.
        pytest.param({"length": "40 1/8"}, {"length": "20", "width": "6"}, {}, id="crosscut"),
        pytest.param(
            {"length": "40 1/8"},
            {"length": "20", "width": "6"},
            {"kerf": {"crosscut": "3/32"}},
            id="crosscut off the grid, rounded up to it",
        ),
        pytest.param(
            {"length": "40 1/4"},
            {"length": "20", "width": "6"},
            {"kerf": {"crosscut": "1/4"}},
            id="the shop's own crosscut",
        ),
        pytest.param(
            {"width": "6 1/8", "length": "20"}, {"width": "3", "length": "20"}, {}, id="rip"
        ),
        pytest.param(
            {"width": "6 1/16", "length": "20", "surface": "rough", "thickness": "1"},
            {"width": "3", "length": "20"},
            {},
            id="rough rip",
        ),
    ],
)
def test_kerf(stock: dict[str, str], of_part: dict[str, str], habits: dict[str, Any]) -> None:
    """Two parts fit where there is just a kerf between them."""
    assert fits(board(**stock), part(**of_part, count=2), shop(**habits))
    axis = "length" if " " in stock["length"] else "width"
    size = stock[axis]
    whole, _, _ = size.partition(" ")
    less = {"1/8": "1/16", "1/4": "3/16", "1/16": ""}[size.partition(" ")[2]]
    tight = {**stock, axis: f"{whole} {less}".strip()}
    assert not fits(board(**tight), part(**of_part, count=2), shop(**habits))


def test_no_kerf() -> None:
    """A shop may say that a saw takes nothing (a knife does, or a published problem)."""
    nothing = {"kerf": {"crosscut": 0, "rip": 0}}
    stock = board(length="40", width="6")
    assert fits(stock, part(length="20", width="3", count=4), shop(**nothing))
    assert not fits(stock, part(length="20", width="3", count=5), shop(**nothing))


def test_kerf_of_a_sheet() -> None:
    """A sheet's saw takes 1/8 both ways."""
    assert fits(
        sheet(length="40 1/8", width="20 1/8"),
        part(material="plywood", length="20", width="10", count=4),
    )
    assert not fits(
        sheet(length="40 1/16", width="20 1/8"),
        part(material="plywood", length="20", width="10", count=4),
    )
    assert not fits(
        sheet(length="40 1/8", width="20 1/16"),
        part(material="plywood", length="20", width="10", count=4),
    )


THREE_STAGES = part("long", length="40", width="3") + part(
    "short", length="19 15/16", width="2 7/8", count=2
)
"""From a board of 40 x 6: rip, and crosscut one of the strips."""


@pytest.mark.parametrize(
    ("habits", "fit"),
    [
        ({"stages": 3}, True),
        ({"stages": 2}, False),  # the first stage counts even where it holds no cut
        ({"stages": 2, "first_cut": "rip"}, True),
        ({"stages": 2, "first_cut": "either"}, True),
        ({"stages": 1, "first_cut": "rip"}, False),
        ({"stages": "any"}, True),
        ({"stages": 4}, True),
    ],
)
def test_stages_of_a_board(habits: dict[str, Any], fit: bool) -> None:
    """Changes of direction are counted from the first stage that the shop names."""
    assert fits(board(length="40", width="6"), THREE_STAGES, shop(**habits)) is fit


@pytest.mark.parametrize(
    ("habits", "fit"),
    [
        ({"stages": 1}, True),
        ({"stages": 1, "first_cut": "rip"}, False),
    ],
)
def test_a_single_stage(habits: dict[str, Any], fit: bool) -> None:
    """Crosscuts alone give parts as wide as the board, one after the other."""
    assert fits(board(), part(length="19", width="6", count=3), shop(**habits)) is fit


def test_trims_are_no_stage() -> None:
    """Ends and edges may be trimmed without a stage being counted."""
    rough = board(length="42", width="6", ends="rough", edges="rough")
    assert fits(rough, part(length="40", width="5 3/4"), shop(stages=1))


@pytest.mark.parametrize(
    ("stages", "fit"),
    [(1, False), (2, True), (3, True), ("any", True)],
)
def test_stages_of_a_sheet(stages: Any, fit: bool) -> None:
    """On a sheet the first cut opens the first stage, whichever way it goes."""
    three = part("long", material="plywood", length="40", width="3") + part(
        "short", material="plywood", length="19", width="2 7/8", count=2
    )
    stock = sheet(length="40", width="6")
    assert fits(stock, three, shop(sheet_stages=stages)) is fit


def test_a_sheet_in_one_stage() -> None:
    """Rips alone, or crosscuts alone."""
    stock = sheet(length="40", width="6 1/4")
    assert fits(
        stock, part(material="plywood", length="40", width="2", count=3), shop(sheet_stages=1)
    )
    stock = sheet(length="40 1/8", width="6")
    assert fits(
        stock, part(material="plywood", length="20", width="6", count=2), shop(sheet_stages=1)
    )


@pytest.mark.parametrize(
    ("first_cut", "axis"), [("crosscut", Axis.X), ("rip", Axis.Y), ("either", None)]
)
def test_the_first_cut(first_cut: str, axis: Axis | None) -> None:
    """The first cut that is no trim goes the way the shop says."""
    stock = board(ends="rough", edges="rough")
    plan = planned(stock, part(length="20", width="2", count=4), shop(first_cut=first_cut))
    ((layout, root),) = ((layout, node) for layout, node in nodes(plan) if node is layout.tree)
    cuts = [node for node in preorder(root) if node.cut and not is_trim(node)]
    if axis:
        assert cuts[0].cut is not None
        assert cuts[0].cut.axis is axis
    assert layout.first_cut.value == (first_cut if axis else layout.first_cut.value)


def preorder(node: Node) -> list[Node]:
    """Return a node and all its pieces."""
    return [node, *(inner for piece in node.pieces for inner in preorder(piece))]


def is_trim(node: Node) -> bool:
    """Whether a cut takes off a trim."""
    return len(node.pieces) == 1 or any(
        isinstance(piece.use, WasteUse) and piece.use.trim for piece in node.pieces
    )


@pytest.mark.parametrize(
    ("length", "width", "habits", "fit"),
    [
        # A part 3 in wide must be ripped from this board.
        ("12", "6", {"shortest_rip": 12}, True),
        ("11 15/16", "6", {"shortest_rip": 12}, False),
        ("11 15/16", "6", {"shortest_rip": 0}, True),
        ("14", "14", {"shortest_rip": 12}, True),
        ("13 15/16", "14", {"shortest_rip": 12}, False),  # shorter than it is wide
        ("13 15/16", "14", {"shortest_rip": 0}, True),
    ],
)
def test_short_rips(length: str, width: str, habits: dict[str, Any], fit: bool) -> None:
    """No board piece shorter than the shop says, or than it is wide, is ripped."""
    # The knot keeps the part from taking the whole width, which would need no rip.
    knot = {"kind": "knot", "x": "5", "y": str(int(width) - 1), "length": "1", "width": "1/2"}
    stock = board(length=length, width=width, flaws=[knot])
    assert fits(stock, part(length="10", width="3"), shop(**habits)) is fit


def test_a_short_piece_is_ripped_from_a_longer_one() -> None:
    """Where a short part must be ripped, a longer piece is ripped, and crosscut after."""
    plan = planned(board(length="40"), part(length="8", width="2"), shop(shortest_rip=12))
    for _, node in nodes(plan):
        if node.cut is not None and node.cut.axis is Axis.Y:
            assert node.length >= 12 * INCH


def test_a_short_piece_as_wide_as_the_board_is_not_ripped() -> None:
    """Then it may be as short as it likes."""
    assert fits(board(length="8", width="2"), part(length="8", width="2"), shop(shortest_rip=12))


def test_trim_rips_are_no_rips() -> None:
    """A short board's rough edges may be trimmed all the same."""
    stock = board(length="8", width="2", edges="rough")
    assert fits(stock, part(length="8", width="1 3/4"), shop(shortest_rip=12))


@pytest.mark.parametrize(("count", "fit"), [(1, False), (2, True)])
def test_count(count: int, fit: bool) -> None:
    """A stock item is used at most as often as there are copies of it."""
    plan = planned(board(count=count), part(length="40", count=2))
    assert (not plan.missing) is fit
    assert [(layout.stock, layout.copy) for layout in plan.layouts] == [
        ("M-1", copy) for copy in range(1, count + 1)
    ]


def test_missing_copies_are_counted() -> None:
    """Three of five fit: two are missing, of which the plan says so with a reason."""
    plan = planned(board(count=3), part(length="40", count=4, spare=1))
    assert [(missing.part, missing.count) for missing in plan.missing] == [("rail", 2)]
    assert plan.status.value == "short"
    assert plan.bound is None
    assert plan.gap is None


def test_spares_are_cut() -> None:
    """Copies for test cuts are copies like the others."""
    plan = planned(board(), part(length="19", width="6", count=2, spare=1))
    assert not plan.missing
    assert fits(board(), part(length="19", width="6", count=2, spare=1))
    assert not fits(board(), part(length="19", width="6", count=2, spare=2))


def test_nothing_fits_at_all() -> None:
    """A project of which no part can be had ends at once, all of it missing."""
    plan = planned(board(), part(material="oak") + part("slat", length="70"), stop=PROVEN)
    assert {missing.part for missing in plan.missing} == {"rail", "slat"}
    assert not plan.layouts
    assert plan.cost == 0


def test_fewest_missing_come_first() -> None:
    """Of one long part and two short ones the two are kept, where not all can be had."""
    parts = part("long", length="60", width="6") + part("short", length="29", width="6", count=2)
    plan = planned(board(), parts, stop=SOON)
    assert [missing.part for missing in plan.missing] == ["long"]


def test_then_the_most_finished_area() -> None:
    """Of two parts of which only one can be had the larger is kept."""
    parts = part("small", length="40", width="2") + part("large", length="40", width="5")
    plan = planned(board(length="40", width="6"), parts, stop=SOON)
    assert [missing.part for missing in plan.missing] == ["small"]


def test_the_cheaper_of_two_boards() -> None:
    """The part comes from the board that costs less, whatever its name."""
    stock = board("M-1", price=20) + board("M-2", price=19) + board("M-3", price=21)
    plan = planned(stock, part(length="60", width="6"), stop=PROVEN)
    assert [layout.stock for layout in plan.layouts] == ["M-2"]
    assert plan.cost == 19
    assert plan.status.value == "optimal"


def test_cuts_are_numbered_in_an_order_a_person_can_make() -> None:
    """Each cut has a number of its own, and no piece is cut before it is cut free."""
    plan = planned(board(), part(length="19", width="2 7/8", count=6))
    (layout,) = plan.layouts
    numbers = [node.cut.order for node in preorder(layout.tree) if node.cut]
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    for node in preorder(layout.tree):
        for piece in node.pieces:
            if node.cut and piece.cut:
                assert node.cut.order < piece.cut.order
    assert numbers
    assert all(a != b for a, b in pairwise(sorted(numbers)))
