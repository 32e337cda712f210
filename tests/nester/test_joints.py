"""Numbers of joints: the same on both sides, and where the sides lie."""

import pytest

from nester.joints import Edge, Joints, Side, joints_of, side_of
from nester.layout import BlankUse
from nester.plan import Plan
from tests.nester.maker import PROVEN, Rounds, blanks, board, match, part, planned

CASE = "".join(
    part(name, length=length, width="4", thickness="1/2")
    for name, length in (("left", "12"), ("top", "30"), ("right", "12"), ("bottom", "30"))
)
WRAP = match(parts=["left", "top", "right", "bottom"])
FRONTS = part("front a", length="12", count=2) + part("front b", length="12", count=2)
BANK = match("row", how="sequence", parts=["front a", "front b"], sets=2) + match(
    "bank", how="stack", parts=["row", "row"]
)


def labels(joints: Joints, name: str, copy: int = 1) -> dict[str, str]:
    """Return the numbers of a copy's joints by the edge they are on."""
    return {edge.value: joint.label for edge, joint in joints.meets[name, copy]}


@pytest.mark.parametrize(
    ("use", "sides"),
    [
        (BlankUse("p", 1), (Side.LOW_X, Side.HIGH_X, Side.LOW_Y, Side.HIGH_Y)),
        (BlankUse("p", 1, reversed=True), (Side.HIGH_X, Side.LOW_X, Side.HIGH_Y, Side.LOW_Y)),
        (BlankUse("p", 1, flipped=True), (Side.LOW_X, Side.HIGH_X, Side.HIGH_Y, Side.LOW_Y)),
        (
            BlankUse("p", 1, reversed=True, flipped=True),
            (Side.HIGH_X, Side.LOW_X, Side.LOW_Y, Side.HIGH_Y),
        ),
        (BlankUse("p", 1, turned=True), (Side.HIGH_Y, Side.LOW_Y, Side.LOW_X, Side.HIGH_X)),
        (
            BlankUse("p", 1, turned=True, reversed=True),
            (Side.LOW_Y, Side.HIGH_Y, Side.HIGH_X, Side.LOW_X),
        ),
    ],
)
def test_where_the_sides_of_a_part_lie(use: BlankUse, sides: tuple[Side, ...]) -> None:
    """Turning end for end or over moves the edges as it does a board in the hand.

    Worked out with a paper strip: its corners marked, turned in the plane or rolled over.
    """
    assert tuple(side_of(edge, use) for edge in Edge) == sides


def test_a_strip_round_the_case_has_four_joints() -> None:
    """Each number stands at two ends that meet; the odd corner is the last, and does not run on."""
    joints = joints_of(planned(board(length="90"), CASE + WRAP))
    assert labels(joints, "left") == {"end A": "4", "end B": "1"}
    assert labels(joints, "top") == {"end A": "1", "end B": "2"}
    assert labels(joints, "right") == {"end A": "2", "end B": "3"}
    assert labels(joints, "bottom") == {"end A": "3", "end B": "4"}
    found = {joint.label: joint for pairs in joints.meets.values() for _, joint in pairs}
    assert {label for label, joint in found.items() if not joint.runs_on} == {"4"}
    assert found["4"].odd
    assert not found["3"].odd


def test_joints_between_two_boards_have_one_number() -> None:
    """Two pairs from two boards: both corners between them are numbered on both boards."""
    plan = planned(board(length="44", count=2), CASE + WRAP, stop=PROVEN)
    joints = joints_of(plan)
    found = {joint.label: joint for pairs in joints.meets.values() for _, joint in pairs}
    assert sorted(found) == ["1", "2", "3", "4"]
    for joint in found.values():
        together = joints.places[joint.first] == joints.places[joint.second]
        assert together is joint.runs_on
        assert (Edge.END_B, joint) in joints.meets[joint.first]
        assert (Edge.END_A, joint) in joints.meets[joint.second]
    assert sum(joint.runs_on for joint in found.values()) == 2


def test_ends_that_run_on_lie_face_to_face() -> None:
    """In the layout the two sides of a joint that runs on lie against one kerf."""
    plan = planned(board(length="90"), CASE + WRAP)
    joints = joints_of(plan)
    at = {(use.part, use.copy): (node, use) for node, use in blanks(plan)}
    for joint in {joint for pairs in joints.meets.values() for _, joint in pairs if joint.runs_on}:
        (one, first), (two, second) = at[joint.first], at[joint.second]
        sides = side_of(joint.edges[0], first), side_of(joint.edges[1], second)
        assert set(sides) == {Side.LOW_X, Side.HIGH_X}
        left, right = (one, two) if sides[0] is Side.HIGH_X else (two, one)
        assert 0 < right.x - left.x - left.length < 8128  # the joint loss, less than an inch


def bank() -> Plan:
    """Return the plan of four drawer fronts from one board."""
    return planned(board(length="30", width="8"), FRONTS + BANK, stop=Rounds(10))


def test_matches_are_told_apart_by_letters() -> None:
    """A bank has joints along its rows under one letter and between them under another."""
    joints = joints_of(bank())
    assert labels(joints, "front a", 1) == {"end B": "A1", "far edge": "B1"}
    assert labels(joints, "front b", 1) == {"end A": "A1", "far edge": "B1"}
    assert labels(joints, "front a", 2) == {"end B": "A2", "near edge": "B1"}
    all_of_it = joints.of([("front a", 1), ("front b", 1)])
    assert [(joint.label, joint.first[0]) for joint in all_of_it] == [
        ("A1", "front a"),
        ("B1", "front a"),
        ("B1", "front b"),
    ]


def test_parts_of_one_board_have_no_joints() -> None:
    """That parts share a board makes no ends meet, so there is nothing to number."""
    together = match("rails", how="same board", parts=["rail", "rail"])
    joints = joints_of(planned(board(), part(count=2) + together))
    assert not joints.meets
    assert not joints.oriented


def test_the_first_part_of_a_stack_is_the_uppermost() -> None:
    """In a bank of fronts the near edge is the top, for it is the far one that meets the next."""
    joints = joints_of(bank())
    assert set(joints.oriented.values()) == {Edge.NEAR}
    wrapped = joints_of(planned(board(length="90"), CASE + WRAP))
    assert set(wrapped.oriented.values()) == {Edge.FAR}
