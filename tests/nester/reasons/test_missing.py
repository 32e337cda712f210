"""Why a plan could not give a part: the flaw in the way, or the wood that went to others.

The board of these tests is 96 x 8 in, square and straight, with a knot from 31 to 32 1/2 and from
2 to 3 1/4 in; the shop keeps 1/4 in clear round it, so that the wood is clear up to 30 3/4 and from
32 3/4 in on. A blank is 1 in longer and 1/4 in wider than its part.
"""

import pytest

from inventory.formatter import Formatter
from inventory.stock import Ends, Flaw, FlawKind
from nester.check.impossible import cannot_work
from nester.layout import Layout, Node, WasteUse
from nester.model import Arch, Quality, System
from nester.reasons.missing import why_missing
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, inches, part, project

SHOP = default_shop(System.INCH)


def knot(x: str, y: str, length: str = "1 1/2", width: str = "1 1/4") -> Flaw:
    """Return an unsound knot through the board."""
    return Flaw(FlawKind.KNOT, inches(x), inches(y), inches(length), inches(width))


def layout(stock: str, copy: int = 1) -> Layout:
    """Return a layout that uses up a copy of a board."""
    length, width, thick = inches(96), inches(8), inches(1)
    waste = Node(0, 0, length, width, use=WasteUse())
    return Layout(stock, copy, "board", length, width, thick, "0", waste)


@pytest.mark.parametrize(
    ("quality", "reason"),
    [
        (
            Quality.CLEAR,
            "no clear walnut 3/4 thick and 7 1/4 wide is 64 long; the longest is on W-1 from "
            "32 3/4 to 96",
        ),
        (
            Quality.SOUND,
            "no sound walnut 3/4 thick and 7 1/4 wide is 64 long; the longest is on W-1 from "
            "32 3/4 to 96",
        ),
    ],
)
def test_a_flaw_in_the_way(quality: Quality, reason: str) -> None:
    """The longest stretch is told, and where it lies."""
    stock = [board("W-1", flaws=(knot("31", "2"),)), board("W-2", 70, flaws=(knot("31", "2"),))]
    wanted = part("rail", 63, 7, quality=quality)
    assert why_missing(wanted, stock, SHOP, []) == reason


def test_nothing_clear_at_all() -> None:
    """Where no stretch is clear at that width, none is named."""
    stock = [board("W-1", flaws=(knot("0", "3", "96", "2"),))]
    assert why_missing(part("rail", 30, 7), stock, SHOP, []) == (
        "no clear walnut 3/4 thick and 7 1/4 wide is 31 long"
    )


def test_wood_that_other_parts_took() -> None:
    """A clear board that is in the plan already went to other parts."""
    stock = [board("W-1", flaws=(knot("31", "2"),))]
    assert why_missing(part("rail", 60, 7), stock, SHOP, [layout("W-1")]) == (
        "all walnut that could give it is used up by other parts"
    )


def test_wood_that_nobody_took() -> None:
    """A clear board that is left over says that the time was too short."""
    stock = [board("W-1"), board("W-2"), board("W-3", 40)]
    assert why_missing(part("rail", 60, 7), stock, SHOP, [layout("W-1")]) == (
        "no place was found for it in the time given, though W-2 is not used up; let the planning "
        "run longer"
    )


def test_copies_of_stock_are_counted() -> None:
    """One of two like boards in the plan leaves the other; with both in it there is none."""
    stock = [board("W-1", count=2)]
    wanted = part("rail", 60, 7)
    assert "though W-1 is not used up" in why_missing(wanted, stock, SHOP, [layout("W-1")])
    assert why_missing(wanted, stock, SHOP, [layout("W-1"), layout("W-1", 2)]) == (
        "all walnut that could give it is used up by other parts"
    )


def test_metal_where_a_rough_end_is_trimmed() -> None:
    """A nail 2 from a rough end bars the cut that trims it; one 3 from it, or a square end, not.

    The saw takes the last 1/8 of the inch that is trimmed, and keeps 1 clear of metal.
    """
    wanted = part("rail", 30, 7)
    for at, ends, bars in (("1 15/16", Ends.ROUGH, True), ("2", Ends.ROUGH, False)):
        nail = Flaw(FlawKind.METAL, inches(at), inches("3"), inches("1/8"), inches("1/8"))
        stock = [board("W-1", flaws=(nail,), ends=ends)]
        reason = why_missing(wanted, stock, SHOP, [])
        assert reason.startswith("nothing can be cut from W-1: the cuts that trim it ") is bars
        assert ("closer than 1 to metal; take the metal out" in reason) is bars
    nail = Flaw(FlawKind.METAL, inches("1"), inches("3"), inches("1/8"), inches("1/8"))
    free = board("W-2", flaws=(nail,))
    assert why_missing(wanted, [free], SHOP, []).startswith("no place was found for it")
    both = [board("W-1", flaws=(nail,), ends=Ends.ROUGH), free]
    assert "though W-2 is not used up" in why_missing(wanted, both, SHOP, [])


def test_a_part_too_big_for_all_stock() -> None:
    """The words are those with which it is told before planning."""
    stock = [board("W-1"), board("W-2", width=6)]
    wanted = part("rail", 30, "7 13/16")
    (issue,) = cannot_work(project(wanted), stock, Formatter.of("in"))
    assert issue.message.startswith("the blank is 8 1/16 wide, and no walnut that fits")
    assert why_missing(wanted, stock, SHOP, []) == issue.message


def test_a_board_whose_knot_an_arch_would_take() -> None:
    """A board that is clear only with the part's arch over its knot is not called flawed."""
    low = Flaw(FlawKind.KNOT, inches("35"), inches("1/2"), inches(1), inches(1))
    arch = Arch("near", inches(10), inches(40), inches("2"))
    item = board("W-1", length=64, flaws=(low,))
    shaped = part("rail", 62, 7, quality=Quality.CLEAR, cutaways=(arch,))
    reason = why_missing(shaped, [item], SHOP, [layout("W-1")])
    assert reason == "all walnut that could give it is used up by other parts"
    plain = part("rail", 62, 7, quality=Quality.CLEAR)
    assert why_missing(plain, [item], SHOP, [layout("W-1")]).startswith("no clear walnut")
    high = Flaw(FlawKind.KNOT, inches("35"), inches("3 1/2"), inches(1), inches(1))
    flawed = board("W-1", length=64, flaws=(high,))
    assert why_missing(shaped, [flawed], SHOP, []).startswith("no clear walnut")
