"""Grain that runs on from part to part: what just fits, and what just does not."""

import pytest

from nester.layout import Axis, BlankUse, Node, Saw
from nester.plan import MatchResult, Plan
from tests.nester.maker import (
    PROVEN,
    Rounds,
    blanks,
    board,
    match,
    nodes,
    part,
    planned,
    sheet,
    shop,
)

CASE = "".join(
    part(name, length=length, width="4", thickness="1/2")
    for name, length in (("left", "12"), ("top", "30"), ("right", "12"), ("bottom", "30"))
)
AROUND = ["left", "top", "right", "bottom"]
WRAP = match(parts=AROUND)


def result(plan: Plan) -> MatchResult:
    """Return what became of the only match."""
    (found,) = plan.match_results
    return found


def held(node: Node) -> list[tuple[Node, BlankUse]]:
    """Return the blanks that a node is parted into."""
    if isinstance(node.use, BlankUse):
        return [(node, node.use)]
    return [found for piece in node.pieces for found in held(piece)]


def runs(plan: Plan) -> list[Node]:
    """Return the blanks of several parts."""
    return [node for _, node in nodes(plan) if node.run]


def test_two_pairs_alike_from_two_boards() -> None:
    """A side with its end comes twice from boards that give no more, each copy once."""
    text = part("side", count=2, length="30", width="4", thickness="1/2")
    text += part("end", count=2, length="12", width="4", thickness="1/2")
    around = match(parts=["side", "end", "side", "end"])
    plan = planned(board(length="44") + board("M-2", length="44"), text + around)
    assert result(plan).matched == 2
    assert [len(held(run)) for run in runs(plan)] == [2, 2]
    found = [(use.part, use.copy) for run in runs(plan) for _, use in held(run)]
    assert sorted(found) == [("end", 1), ("end", 2), ("side", 1), ("side", 2)]


@pytest.mark.parametrize(
    ("length", "matched"),
    [("85 1/2", 3), ("84 3/4", 3), ("84 11/16", 2), ("84 1/2", 1), ("84 7/16", 0)],
)
def test_four_sides_from_one_strip(length: str, matched: int) -> None:
    """Sides of 12, 30, 12 and 30 with three joints of 1/4 need 84 3/4; a shorter board breaks more.

    A kerf of 1/8 at 45 degrees takes 0.1768 along the face (trade tables of angles: kerf / cos),
    with 1/16 of trim 0.2393, which is 1/4 on a grid of 1/16. A crosscut between two that do not
    match takes 1/8 only, so each corner given up saves 1/8 of the 84 3/4.
    """
    plan = planned(board(length=length), CASE + WRAP, stop=Rounds(15))
    assert not plan.missing
    assert result(plan).corners == 4
    assert result(plan).matched == matched
    if matched == 3:
        assert result(plan).broken == (("bottom", "left"),)  # the odd corner, last to first


def test_a_strip_reads_round_the_case() -> None:
    """The parts of a full strip lie in order from the first, one edge up, miters last."""
    plan = planned(board(length="90"), CASE + WRAP)
    (run,) = runs(plan)
    order = sorted(blanks(plan), key=lambda found: found[0].x)
    if order[0][1].reversed:
        order.reverse()
    assert [use.part for _, use in order] == AROUND
    assert len({(use.reversed, use.flipped) for _, use in order}) == 1
    cuts = [node.cut for _, node in nodes(plan) if node.cut is not None]
    miters = [cut for cut in cuts if cut.saw is Saw.MITER]
    assert len(miters) == 3
    assert min(cut.order for cut in miters) > max(c.order for c in cuts if c not in miters)
    assert run.run == "case"


def test_two_short_boards_give_two_pairs() -> None:
    """Boards of 44 are too short for all four sides, so each gives a long and a short one."""
    plan = planned(board(length="44", count=2), CASE + WRAP, stop=PROVEN)
    assert result(plan).matched == 2
    assert len(runs(plan)) == 2


def test_a_thick_board_gives_four_corners() -> None:
    """Resawn and opened, a board 44 long and 2 thick matches every corner."""
    plan = planned(board(length="44", thickness="2"), CASE + WRAP)
    assert result(plan).matched == 4
    assert result(plan).broken == ()
    (opened,) = [node for node in runs(plan) if node.cut and node.cut.axis is Axis.Z]
    leaves = [sorted(held(leaf), key=lambda found: found[0].x) for leaf in opened.pieces]
    # Long-short and short-long, so that the ends meet: opposite sides are alike.
    lengths = [[node.length for node, _ in leaf] for leaf in leaves]
    assert lengths[0] == lengths[1][::-1]
    assert {use.flipped for _, use in leaves[0]} == {True}
    assert {use.flipped for _, use in leaves[1]} == {False}


@pytest.mark.parametrize(("thickness", "matched"), [("1 1/16", 4), ("1", 2)])
def test_leaves_must_be_thick_enough(thickness: str, matched: int) -> None:
    """Two leaves of 1/2 and a resaw kerf of 1/16 need 1 1/16 where nothing is planed off."""
    plan = planned(board(length="44", thickness=thickness, count=2), CASE + WRAP, stop=Rounds(15))
    assert result(plan).matched == matched


@pytest.mark.parametrize(("height", "matched"), [("4", 4), ("3 15/16", 2)])
def test_no_wider_than_can_be_resawn(height: str, matched: int) -> None:
    """A blank is resawn only where it is no wider than the band saw is high."""
    habits = shop(resaw_height=height)
    plan = planned(
        board(length="44", thickness="1 1/4", count=2), CASE + WRAP, habits, stop=Rounds(15)
    )
    assert result(plan).matched == matched


def test_corners_come_before_money() -> None:
    """The dear long board is taken where it alone gives the full match."""
    stock = board("short", length="44", count=2) + board("long", length="90", price=500)
    plan = planned(stock, CASE + WRAP, stop=PROVEN)
    assert result(plan).matched == 3
    assert plan.cost == 500


def test_a_priced_corner_is_weighed() -> None:
    """With a price for corners the cheaper boards are taken, and the corners are paid for."""
    stock = board("short", length="44", count=2) + board("long", length="90", price=500)
    plan = planned(stock, CASE + WRAP, shop(corner_penalty=10), stop=PROVEN)
    assert result(plan).matched == 2
    assert [penalty.cost for penalty in plan.penalties] == [20]
    assert plan.cost == 140


@pytest.mark.parametrize(("length", "missing"), [("84 3/4", 0), ("84 11/16", 4)])
def test_a_required_match_is_had_whole_or_not_at_all(length: str, missing: int) -> None:
    """Where only the full match will do, its parts are missing if it cannot be had."""
    wrap = match(parts=AROUND, required=True)
    plan = planned(board(length=length), CASE + wrap, stop=Rounds(5))
    assert sum(entry.count for entry in plan.missing) == missing
    assert all(entry.reason for entry in plan.missing)


def test_several_sets() -> None:
    """Two sets are two strips, and the copies go out set by set."""
    sides = part("end", length="12", width="4", count=4) + part(
        "side", length="30", width="4", count=4
    )
    wrap = match(parts=["end", "side", "end", "side"], sets=2)
    plan = planned(board(length="90", width="8 1/8"), sides + wrap, stop=PROVEN)
    assert result(plan).corners == 8
    assert result(plan).matched == 6
    strips = [{(use.part, use.copy) for _, use in held(node)} for node in runs(plan)]
    first = {("end", 1), ("side", 1), ("end", 2), ("side", 2)}
    assert sorted(strips, key=sorted)[0] == first


FRONT = part("front", length="10", width="4", count=3)


@pytest.mark.parametrize(("length", "matched"), [("30 1/4", 2), ("30 3/16", 0)])
def test_a_sequence_loses_a_crosscut_at_each_joint(length: str, matched: int) -> None:
    """Three fronts of 10 side by side with two crosscuts of 1/8 need 30 1/4, matched or not."""
    row = match("row", how="sequence", parts=["front"] * 3)
    plan = planned(board(length=length), FRONT + row, stop=Rounds(5))
    assert bool(plan.missing) is (matched == 0)
    if matched:
        assert result(plan).matched == matched == result(plan).corners


@pytest.mark.parametrize(("width", "matched"), [("12 1/4", 2), ("12 3/16", 1)])
def test_a_stack_is_ripped_apart(width: str, matched: int) -> None:
    """Three fronts 4 wide, one above another with two rips of 1/8 between, need 12 1/4."""
    bank = match("bank", how="stack", parts=["front"] * 3)
    stock = board(width=width, length="12 1/2") + board("M-2", length="10", width="4", count=3)
    plan = planned(stock, FRONT + bank, stop=Rounds(15))
    assert not plan.missing
    assert result(plan).matched == matched
    if matched == 2:
        (stack,) = runs(plan)
        cuts = [node.cut for node in (stack, *stack.pieces) if node.cut is not None]
        assert {(cut.axis, cut.saw) for cut in cuts} == {(Axis.Y, Saw.RIP)}


@pytest.mark.parametrize(("least", "matched"), [("12", 2), ("12 5/16", 0)])
def test_a_stack_is_only_ripped_where_it_is_long_enough(least: str, matched: int) -> None:
    """A board piece shorter than it is wide is not ripped, nor one shorter than the shop says."""
    bank = match("bank", how="stack", parts=["front"] * 3)
    long = part("front", length="12 1/4", width="4", count=3)
    stock = board(width="12 1/4", length="12 1/4") + board(
        "M-2", length="12 1/4", width="4", count=3
    )
    plan = planned(stock, long + bank, shop(shortest_rip=least), stop=Rounds(15))
    assert result(plan).matched == matched


@pytest.mark.parametrize(("thickness", "matched"), [("1 9/16", 1), ("1 1/2", 0)])
def test_a_book_is_two_leaves_of_one_blank(thickness: str, matched: int) -> None:
    """Two leaves of 3/4 and a resaw kerf of 1/16 come from a blank of 1 9/16."""
    doors = part("door", length="20", width="5", count=2)
    book = match("pair", how="book", parts=["door", "door"])
    stock = board(length="20", width="5", thickness=thickness) + board("M-2", length="40 1/8")
    plan = planned(stock, doors + book, stop=Rounds(10))
    assert (result(plan).corners, result(plan).matched) == (1, matched)
    if matched:
        (opened,) = [node for node in runs(plan) if node.cut is not None]
        assert [use.flipped for _, use in held(opened)] == [True, False]


def test_a_stack_of_sequences() -> None:
    """Six fronts in two rows of three come from one piece, and every neighbour runs on."""
    fronts = part("front", length="10", width="4", count=6)
    rows = match("row", how="sequence", parts=["front"] * 3, sets=2)
    bank = match("bank", how="stack", parts=["row", "row"])
    plan = planned(board(width="8 1/8", length="30 1/4"), fronts + rows + bank, stop=Rounds(10))
    found = {each.name: each for each in plan.match_results}
    assert (found["row"].corners, found["row"].matched) == (4, 4)
    assert (found["bank"].corners, found["bank"].matched) == (1, 1)
    apart = board(width="4", length="30 1/4", count=2)
    plan = planned(apart, fronts + rows + bank, stop=Rounds(10))
    found = {each.name: each for each in plan.match_results}
    assert (found["row"].matched, found["bank"].matched) == (4, 0)
    assert found["bank"].broken == (("row", "row"),)


def test_a_wrap_on_a_sheet() -> None:
    """On a sheet the saw's kerf is the sheet's; grain across the sheet turns the run with it."""
    sides = "".join(
        part(name, length=length, width="6", material="plywood")
        for name, length in (("left", "8"), ("top", "12"), ("right", "8"), ("bottom", "12"))
    )
    for grain, length, width in (("length", "40 3/4", "6"), ("width", "6", "40 3/4")):
        stock = sheet(length=length, width=width, grain=grain)
        plan = planned(stock, sides + match(parts=AROUND), stop=Rounds(5))
        assert not plan.missing
        assert result(plan).matched == 3
        assert {use.turned for _, use in blanks(plan)} == {grain == "width"}


@pytest.mark.parametrize(("length", "matched"), [("40 1/8", 2), ("40 1/16", 1)])
def test_parts_from_one_board(length: str, matched: int) -> None:
    """Rails of 20, 10 and 9 7/8 with two crosscuts take 40 1/8 of one board, else one is apart."""
    rails = part("a", length="20") + part("b", length="10") + part("c", length="9 7/8")
    frame = match("frame", how="same board", parts=["a", "b", "c"])
    stock = board("one", length=length, width="3", price=80)
    stock += board("two", length="30 1/8", width="3", price=10)
    stock += board("three", length="12", width="3", price=5)
    plan = planned(stock, rails + frame, stop=Rounds(25))
    assert not plan.missing
    assert result(plan).corners == 2
    assert result(plan).matched == matched
    if matched == 2:
        assert result(plan).stock == ("one",)


@pytest.mark.parametrize(("length", "missing"), [("40 1/8", 0), ("40 1/16", 3)])
def test_parts_from_one_board_or_not_at_all(length: str, missing: int) -> None:
    """Where one board is required and none is long enough, all of the parts are missing."""
    rails = part("a", length="20") + part("b", length="10") + part("c", length="9 7/8")
    frame = match("frame", how="same board", parts=["a", "b", "c"], required=True)
    stock = board("one", length=length, width="3") + board("two", length="30 1/8", width="3")
    plan = planned(stock, rails + frame + part("other", length="9"), stop=Rounds(15))
    assert sum(entry.count for entry in plan.missing if entry.part != "other") == missing


def small(count: int = 1) -> str:
    """Return a box whose two leaves are 8 + 12 in long, with 1/4 lost at the joint: 20 1/4."""
    return "".join(
        part(name, length=length, width="3", thickness="1/2", count=count)
        for name, length in (("left", "8"), ("top", "12"), ("right", "8"), ("bottom", "12"))
    ) + match(parts=AROUND, sets=count)


def thick(*at: str) -> str:
    """Return a board 26 x 4 x 2, too thick for any of these parts but as leaves, with knots."""
    knots = [{"kind": "knot", "x": x, "y": "1", "length": "1", "width": "1"} for x in at]
    return board(thickness="2", length="26", width="4", flaws=knots)


def test_a_flaw_that_stops_a_resawn_pair_is_told() -> None:
    """A knot 1/4 in beyond the pair is in nobody's way; a sixteenth nearer it is what is told."""
    assert planned(thick("20 1/2"), small()).missing == ()
    plan = planned(thick("20 7/16"), small())
    assert [gone.part for gone in plan.missing] == AROUND
    assert {gone.reason for gone in plan.missing} == {
        "maple at hand gives it only with its whole match, as two leaves resawn from one blank of "
        "20 1/4 × 3, and flaws leave no stretch of that length clear; the longest is on M-1 from 0 "
        "to 20 3/16"
    }


def test_a_resawn_pair_that_other_parts_stand_in_the_way_of_is_told() -> None:
    """Of two boxes one is had from the only board thick enough; the other's wood is used up."""
    plan = planned(thick(), small(2))
    assert {gone.count for gone in plan.missing} == {1}
    assert {gone.reason for gone in plan.missing} == {
        "maple at hand gives it only with its whole match, as two leaves resawn from one blank of "
        "20 1/4 × 3, and all that could give that is used up by other parts"
    }
