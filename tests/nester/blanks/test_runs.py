"""Blanks of several parts: what is lost at their joints, and how long they come out."""

from dataclasses import replace
from fractions import Fraction

import pytest

from inventory.length import INCH, MM
from inventory.stock import Surface
from nester.blanks.runs import joint_loss, run_size, stack_size
from nester.model import How, Match, System
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, part, sheet

FINE = replace(default_shop(System.INCH), grid=1)
"""A shop whose grid is the unit itself, so that nothing is rounded."""


@pytest.mark.parametrize(
    ("kerf", "degrees", "along"),
    [
        (Fraction(INCH, 8), Fraction(15), 0.1294),
        (Fraction(INCH, 8), Fraction(45, 2), 0.1353),
        (Fraction(INCH, 8), Fraction(30), 0.1443),
        (Fraction(INCH, 8), Fraction(45), 0.1768),
        (Fraction(3 * INCH, 32), Fraction(45, 2), 0.1015),
        (Fraction(3 * INCH, 32), Fraction(45), 0.1326),
    ],
)
def test_kerf_at_an_angle(kerf: Fraction, degrees: Fraction, along: float) -> None:
    """A tilted saw takes kerf / cos along the face (secants from any table of trigonometry)."""
    shop = replace(FINE, kerf=replace(FINE.kerf, crosscut=int(kerf)))
    match = Match("case", How.WRAP, ("a", "b"), miter=degrees)
    assert joint_loss(match, board("W-1"), shop) / INCH == pytest.approx(along, abs=5e-5 + 1 / INCH)


@pytest.mark.parametrize(
    ("degrees", "along"), [(Fraction(45, 2), 3.464), (Fraction(30), 3.695), (Fraction(45), 4.525)]
)
def test_metric_kerf_at_an_angle(degrees: Fraction, along: float) -> None:
    """The same for a kerf of 3.2 mm."""
    shop = replace(FINE, kerf=replace(FINE.kerf, crosscut=16 * MM // 5))
    match = Match("case", How.WRAP, ("a", "b"), miter=degrees)
    assert joint_loss(match, board("W-1"), shop) / MM == pytest.approx(along, abs=4e-3)


def test_secants_that_are_whole() -> None:
    """At 0 degrees the kerf itself is lost and at 60 twice of it, to the unit."""
    for degrees, times in ((0, 1), (60, 2)):
        match = Match("case", How.WRAP, ("a", "b"), miter=Fraction(degrees))
        assert joint_loss(match, board("W-1"), FINE) == times * INCH // 8


def test_the_trim_is_added_before_rounding() -> None:
    """0.1768 and 1/16 are 0.2393, which is 1/4 on a grid of 1/16, and not 3/16 and 1/16 apart."""
    shop = default_shop(System.INCH)
    match = Match("case", How.WRAP, ("a", "b"), joint_trim=INCH // 16)
    assert joint_loss(match, board("W-1"), shop) == INCH // 4


@pytest.mark.parametrize(
    ("how", "loss"), [(How.SEQUENCE, Fraction(1, 8)), (How.STACK, Fraction(3, 32))]
)
def test_the_saw_of_a_joint(how: How, loss: Fraction) -> None:
    """A sequence is crosscut; a stack is milled by then, so even rough wood goes to the fence."""
    shop = replace(FINE, kerf=replace(FINE.kerf, rip=3 * INCH // 32))
    match = Match("row", how, ("a", "b"))
    assert joint_loss(match, board("W-1", surface=Surface.ROUGH), shop) == loss * INCH
    assert joint_loss(match, sheet("P"), shop) == shop.kerf.sheet


def test_extra_length_is_added_once() -> None:
    """A published box of 12 by 8 takes 40 for its sides; half of the extra inch is at each end."""
    shop = default_shop(System.INCH)
    sides = [part(name, length, 4) for name, length in (("a", 12), ("b", 8), ("c", 12), ("d", 8))]
    size = run_size(sides, sides, board("W-1"), shop, INCH // 4)
    assert size.ends[0] == (0, 12 * INCH + INCH // 2)
    assert size.ends[1][0] - size.ends[0][1] == INCH // 4
    assert size.along == (40 + 1) * INCH + 3 * INCH // 4
    assert size.across == 4 * INCH + INCH // 4
    assert run_size(sides, sides, sheet("P"), shop, 0).along == 40 * INCH


def test_a_stack_has_its_extra_width_once() -> None:
    """Two rows of 4 with 1/8 between and 1/4 for both outer edges together are 8 3/8."""
    shop = default_shop(System.INCH)
    rows = [part("a", 10, 4), part("b", 12, 4)]
    four, lengths = 4 * INCH, [11 * INCH, 13 * INCH]
    size = stack_size([four, four], lengths, rows, board("W-1"), shop, INCH // 8)
    assert (size.along, size.across) == (8 * INCH + 3 * INCH // 8, 13 * INCH)
