"""Where prices may lie while few layouts are known."""

import numpy as np
import pytest

from nester.solve.bound.region import WIDEST, Region

DEAR = np.array([10.0, 10.0, 10.0])


def region(share: float) -> Region:
    """Return a region of a given share around prices of 4, 0 and 9; the first ones were 4."""
    made = Region(np.full(3, 4.0))
    made.share = share
    made.around(np.array([4.0, 0.0, 9.0]), DEAR)
    return made


def test_prices_change_by_a_share_of_themselves() -> None:
    """By half: 4 lies in 2 to 6, 9 not above the 10 of any blank; a quarter of 4 lets 0 rise."""
    box = region(0.5)
    assert box.low.tolist() == [2.0, 0.0, 4.5]
    assert box.high.tolist() == [6.0, 0.5, 10.0]


@pytest.mark.parametrize("share", [0.01, 0.2, 1.0, WIDEST])
def test_the_best_prices_lie_inside(share: float) -> None:
    """So the master keeps a solution whatever else its columns ask of prices."""
    box = region(share)
    assert (box.low <= [4.0, 0.0, 9.0]).all()
    assert (box.high >= [4.0, 0.0, 9.0]).all()


def test_beyond_the_widest_it_has_no_end() -> None:
    """Prices are what the master says, between nothing and what any blank costs."""
    box = region(2 * WIDEST)
    assert box.low.tolist() == [0.0, 0.0, 0.0]
    assert box.high.tolist() == DEAR.tolist()
    assert not box.holds(np.ones(6), DEAR)


@pytest.mark.parametrize(
    ("values", "held"),
    [
        ([0, 0, 0, 0, 0, 0], False),
        ([1, 0, 0, 0, 0, 0], True),  # left out, for 6 where it could cost 10
        ([0, 0, 1, 0, 0, 0], False),  # left out at the 10 that any blank costs
        ([0, 0, 0, 0, 1, 0], False),  # spare and worth nothing
        ([0, 0, 0, 0, 0, 1], True),  # spare, for 4 1/2
        ([0, 0, 0, 0, 0, 0, 1], False),  # a layout
    ],
)
def test_it_holds_prices_that_would_lie_outside(values: list[float], held: bool) -> None:
    """That is told by blanks bought at the highest price or sold at the lowest."""
    assert region(0.5).holds(np.array(values, np.float64), DEAR) is held


def test_it_grows_with_promises_kept() -> None:
    """It shrinks where prices prove less by more than they promised, else it stays."""
    box = region(0.5)
    box.learn(8.0, 3.0)
    assert box.share == 1.0
    box.learn(8.0, 1.0)
    assert box.share == 1.0
    box.learn(8.0, -9.0)
    assert box.share == 0.5


def test_less_than_a_hundredth_of_what_was_promised_is_in_vain() -> None:
    """So is a loss."""
    box = region(0.5)
    assert box.vain(8.0, 0.05)
    assert box.vain(8.0, -3.0)
    assert not box.vain(8.0, 0.1)
