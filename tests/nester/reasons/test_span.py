"""The longest clear stretch of a board at a blank's width, in hand-made cases."""

from dataclasses import replace

from inventory.stock import Ends, Flaw, FlawKind
from nester.blanks import needed
from nester.model import System
from nester.reasons.span import clear_span
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, inches, part, sheet

SHOP = default_shop(System.INCH)


def span(wanted, item) -> tuple[int, int]:
    """Return the stretch for the first way in which the part may lie."""
    return clear_span(wanted, needed(wanted, item, SHOP)[0], item, SHOP)


def test_trims_are_outside() -> None:
    """A rough end loses an inch at each end."""
    assert span(part("a", 30, 3), board("W", ends=Ends.ROUGH)) == (inches(1), inches(95))


def test_a_narrow_blank_passes_beside_a_flaw() -> None:
    """A split from 60 in on, 3 in from the near edge, stops only a blank wider than 3 in.

    An inch is kept clear beyond a split along the grain, nothing across it.
    """
    split = Flaw(FlawKind.SPLIT, inches(60), inches(3), inches(36), inches("1/4"))
    item = board("W", width=5, flaws=(split,))
    assert span(part("a", 30, "2 3/4"), item) == (0, inches(96))
    assert span(part("a", 30, "2 13/16"), item) == (0, inches(59))


def test_a_taper_ends_a_wide_stretch() -> None:
    """A board that tapers from 8 to 4 in over 96 in is 7 in wide up to 24 in."""
    tapered = replace(board("W"), width_b=inches(4))
    assert span(part("a", 10, "6 3/4"), tapered) == (0, inches(24))


def test_a_blank_wider_than_the_board() -> None:
    """There is no stretch at all."""
    assert span(part("a", 30, 8), board("W")) == (0, 0)


def test_a_sheet() -> None:
    """A void right across a sheet leaves the longer side of it, and no margin is kept round it."""
    void = Flaw(FlawKind.VOID, inches(30), 0, inches(2), inches(48))
    wanted = part("a", 40, 10, materials=("birch plywood",))
    assert span(wanted, sheet("B", flaws=(void,))) == (inches(32), inches(96))
