"""What is to be knocked out of cutaways, and what they have room for."""

from typing import Any

from inventory.formatter import Formatter
from nester.cutouts import cutaway_notes, loose_in, seconds_of
from nester.plan import Plan
from nester.show import loose_lines, plan_text
from tests.nester.maker import board, part, planned, shop

INCH = Formatter.of("in")
ARCH = {"arch": {"edge": "near", "start": "5", "span": "28", "rise": "1 3/4"}}
KNOT = {"kind": "knot", "x": "18", "y": "1/4", "length": "1", "width": "1"}


def rail(**keys: Any) -> str:
    """Return the arched part."""
    return part("rail", **{"length": "38", "width": "3 1/2", "cutaway": [ARCH], **keys})


def notes(plan: Plan) -> list[str]:
    """Return the notes on the one layout."""
    (layout,) = plan.layouts
    return cutaway_notes(layout, plan.stock_by_id(layout.stock), plan, INCH)


def test_a_loose_knot_is_named() -> None:
    """A loose knot in an arch is to be knocked out or filled; a sound one or a split is not."""
    plan = planned(board(length="38", width="3 1/2", flaws=[KNOT]), rail())
    text = (
        "In the cutaway of rail, 18 in from end A and 1/4 in from the near edge: knot. "
        "Knock it out or fill it before milling."
    )
    assert notes(plan) == [text]
    assert loose_lines(plan) == [f"M-1: {text}"]
    assert f"Before milling\nM-1: {text}" in plan_text(plan)
    sound = [{**KNOT, "sound": True}, {**KNOT, "kind": "split", "x": "20"}]
    quiet = planned(board(length="38", width="3 1/2", flaws=sound), rail(quality="clear"))
    assert notes(quiet) == []
    assert "Before milling" not in plan_text(quiet)


def test_each_copy_by_itself() -> None:
    """Only the blank that lies over the knot is named."""
    plan = planned(
        board(length="38", width="7 1/8", flaws=[KNOT, {**KNOT, "kind": "rot", "x": "20"}]),
        rail(count=2),
    )
    found = loose_in(plan.layouts[0], plan.stock[0], {p.name: p for p in plan.parts}, 1)
    assert len({loose.use.copy for loose in found}) == 1
    assert [loose.flaw.kind.value for loose in found] == ["knot", "rot"]


def seconds(small: str, use: bool = True, **keys: Any) -> list[tuple[str, int]]:
    """Return which parts the arch of a rail has room for, beside a board that gives them."""
    stock = board(length="38", width="3 1/2", **keys) + board("M-2", length="40", width="6")
    plan = planned(stock, rail(**{"from": ["M-1"]}) + small, shop(use_cutaways=use))
    assert not plan.missing
    return [
        (second.part.name, second.count)
        for layout in plan.layouts
        for second in seconds_of(
            layout, plan.stock_by_id(layout.stock), {p.name: p for p in plan.parts}, plan.shop
        )
    ]


def block(**keys: Any) -> str:
    """Return a small hidden part."""
    size = {"length": "3", "width": "3/4", "quality": "hidden", "count": 4, "not_from": []}
    return part("block", **{**size, **keys})


# With a kerf of 1/8 round it a block takes 3 1/4 x 1. The arch is 1 high 9.63 to either side of its
# middle: sqrt(56.875**2 - (55.125 + 1)**2) = 9.216, so over 18.4 it holds 5 of them.
def test_room_for_small_hidden_parts() -> None:
    """A cutaway big enough for small hidden parts is pointed out, where the shop wants that."""
    assert seconds(block()) == [("block", 4)]
    assert seconds(block(count=9)) == [("block", 5)]
    assert seconds(block(), use=False) == []


def test_what_the_waste_is_not_good_for() -> None:
    """Parts that show, that are thicker, of other wood, or too large are not made of it."""
    assert seconds(block(quality="sound")) == []
    assert seconds(block(thickness="13/16")) == []
    assert seconds(block(width="1 5/8")) == []
    assert seconds(block(length="28")) == []
    assert seconds(block(not_from=["M-1"])) == []
    assert seconds(block(**{"from": ["M-2"]})) == []
    other = board("M-3", species="ash")
    plan = planned(
        board(length="38", width="3 1/2") + other,
        rail() + block(material="ash"),
        shop(use_cutaways=True),
    )
    assert "Room in" not in plan_text(plan)


def test_flaws_in_the_waste() -> None:
    """Flaws in what is sawn out take their part of the room."""
    rot = {**KNOT, "kind": "rot", "length": "5", "width": "1/2"}
    knots = [{**rot, "x": x} for x in ("11", "17", "22")]
    assert seconds(block(), flaws=knots) == []
    assert seconds(block(), flaws=knots[:1]) == [("block", 3)]


def test_suggested_not_counted() -> None:
    """What could come out of a cutaway is told, and all of it is planned all the same."""
    stock = board(length="38", width="3 1/2") + board("M-2", length="40", width="6")
    rails = rail(**{"from": ["M-1"]})
    plain = planned(stock, rails + block(), shop())
    told = planned(stock, rails + block(), shop(use_cutaways=True))
    assert told.cost == plain.cost
    assert told.bound == plain.bound
    text = plan_text(told)
    assert "Room in what is sawn out" in text
    assert "has room for 4 of block (3 × 3/4); not counted." in text
    assert "Room in" not in plan_text(plain)
