"""What cannot work, with a reason a maker understands: a fit and a just-not-fit each."""

from dataclasses import replace

import pytest

from inventory.formatter import Formatter
from inventory.issue import Severity
from inventory.stock import Ends, Sawn
from nester.check.impossible import cannot_work, listed
from nester.model import System
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, part, project, sheet

SHOP = default_shop(System.INCH)
SIZES = Formatter.of("in")


@pytest.mark.parametrize(
    ("fits", "not_quite", "stock", "reason"),
    [
        (
            part("a", 95, 3),
            part("a", "95 1/16", 3),
            [board("W-1")],
            "the blank is 96 1/16 long, and no walnut that fits otherwise is; the longest is W-1 "
            "with 96 between its trims",
        ),
        (
            part("a", 93, 3),
            part("a", "93 1/16", 3),
            [board("W-1", ends=Ends.ROUGH), board("W-2", 60)],
            "the blank is 94 1/16 long, and no walnut that fits otherwise is; the longest is W-1 "
            "with 94 between its trims",
        ),
        (
            part("a", 30, "7 3/4"),
            part("a", 30, "7 13/16"),
            [board("W-1"), board("W-2", width=6)],
            "the blank is 8 1/16 wide, and no walnut that fits otherwise is; the widest is W-1 "
            "with 8 between its edges; "
            "with glue_up it could be made up of narrower strips",
        ),
        (
            part("a", 47, 3),
            part("a", "47 1/16", 3),
            [board("W-1", bow="1/2")],
            "no walnut leaves 3/4 flat over a blank of 48 1/16 × 3 1/4; the best is W-1 with 3/4; "
            "W-1 gives it up to a blank 48 long",
        ),
        (
            # Planed by 1/16 only, 3/16 to spare: 96 sqrt(3/8) = 58.79.
            part("a", "57 3/4", 3, plane_off="1/16"),
            part("a", "57 13/16", 3, plane_off="1/16"),
            [board("W-1", bow="1/2")],
            "no walnut leaves 3/4 flat over a blank of 58 13/16 × 3 1/4; the best is W-1 with 3/4; "
            "W-1 gives it up to a blank 58 3/4 long",
        ),
        (
            part("a", 30, 3, "7/8"),
            part("a", 30, 3, "15/16"),
            [board("W-1"), board("W-2", thickness="7/8")],
            "no walnut leaves 15/16 flat over a blank of 31 × 3 1/4; the best is W-1 with 7/8",
        ),
        (
            part("a", 30, 3, "1/8"),
            part("a", 30, 3, "1/16"),
            [board("W-1"), board("W-2", thickness="5/4")],
            "all walnut is too thick to plane down to 1/16: the thinnest is W-1 with 1, and "
            "thick_spare allows 3/4 to spare",
        ),
        (
            part("a", 30, 3),
            part("a", 30, 3, materials=("oak", "cherry")),
            [board("W-1"), sheet("B")],
            "there is no oak or cherry in the stock; there is birch plywood, walnut",
        ),
        (
            part("a", 30, 3, from_stock=("W-1",)),
            part("a", 30, 3, not_from=("W-1",)),
            [board("W-1")],
            "all walnut in the stock is ruled out by from or not_from",
        ),
        (
            part("a", 30, 3, sawn=Sawn.RIFT),
            part("a", 30, 3, sawn=Sawn.QUARTER),
            [board("W-1", sawn=Sawn.RIFT)],
            "no walnut in the stock is said to be sawn quarter",
        ),
        (
            part("a", 30, 3, "3/4", materials=("birch plywood",)),
            part("a", 30, 3, "1/2", materials=("birch plywood",)),
            [sheet("B")],
            "no sheet of birch plywood is 1/2 thick; there is 3/4",
        ),
    ],
)
def test_reasons(fits, not_quite, stock, reason: str) -> None:
    """One sixteenth decides, and the reason names the stock that comes nearest."""
    assert cannot_work(project(fits), stock, SIZES) == []
    (issue,) = cannot_work(project(not_quite), stock, SIZES)
    assert (issue.code, issue.subject, issue.severity) == ("cannot-work", "a", Severity.ERROR)
    assert issue.message == reason


def test_empty_stock() -> None:
    """Nothing on the rack is said as such."""
    (issue,) = cannot_work(project(part("a", 30, 3)), [], SIZES)
    assert issue.message == "there is no walnut in the stock; there is nothing"


def test_too_little_wood_is_told_once_for_each_kind() -> None:
    """Blanks larger in all than the wood that can give them cannot be cut from it.

    Two blanks of 48 x 8 are 768 square inches: just one board of 96 x 8. A third is too much.
    """
    sizes = {"width": "7 3/4", "length": 47}
    stock = [board("W-1"), sheet("B", 24, 12)]
    enough = project(part("a", **sizes, count=2))
    assert cannot_work(enough, stock, SIZES) == []
    too_many = project(
        part("a", **sizes, count=2),
        part("b", **sizes),
        part("c", 24, 12, materials=("birch plywood",), count=2),
    )
    issues = cannot_work(too_many, stock, SIZES)
    assert [issue.code for issue in issues] == ["too-little-wood"] * 2
    assert {issue.message for issue in issues} == {
        'there is too little wood for "a", "b": the blanks come to 8.00 sq ft, and the stock that '
        "can give them to 5.33 sq ft",
        'there is too little wood for "c": the blanks come to 4.00 sq ft, and the stock that can '
        "give them to 2.00 sq ft",
    }


def test_copies_of_stock_count() -> None:
    """A stock item of which there are three has three times the wood."""
    stock = [board("W-1", count=3)]
    assert cannot_work(project(part("a", 47, "7 3/4", count=6)), stock, SIZES) == []


def test_limits_of_the_shop_are_the_shop_own() -> None:
    """A shop that trims nothing and adds nothing fits a part into its own size."""
    bare = replace(SHOP, blank_extra_length=0, blank_extra_width=0, end_trim=0)
    exact = project(part("a", 96, 8), shop=bare)
    assert cannot_work(exact, [board("W-1")], SIZES) == []
    assert len(cannot_work(exact, [board("W-1", length="95 15/16")], SIZES)) == 1


def test_long_lists_of_names_are_cut() -> None:
    """Six names are said, and how many more there are."""
    assert listed(["a", "b"]) == '"a", "b"'
    assert listed([str(n) for n in range(8)]) == '"0", "1", "2", "3", "4", "5" and 2 more'
    assert len(listed(["x" * 10_000])) < 50
