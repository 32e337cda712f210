"""How the effort is shared between plans and bounds."""

import pytest

from nester.solve.shares import BY_SETS, STALE, Allowance, bound_share


@pytest.mark.parametrize("plan", [True, False])
def test_what_gains_gets_more(plan: bool) -> None:
    """Alike where both gain or neither does; otherwise the bound's share is what the plan's is."""
    assert bound_share(plan, plan, by_sets=False, stale=False) == 1
    alone = bound_share(plan, not plan, by_sets=False, stale=False)
    other = bound_share(not plan, plan, by_sets=False, stale=False)
    assert alone * other == pytest.approx(1)
    assert (alone > 1) is not plan


def test_sets_come_before_what_is_stale() -> None:
    """Until the bound by sets has ended no other bound is worked on, stale or not."""
    for stale in (True, False):
        assert bound_share(True, False, by_sets=True, stale=stale) == BY_SETS
    assert bound_share(False, True, by_sets=False, stale=True) == STALE < BY_SETS


def test_a_share_counts_from_now_on() -> None:
    """What was allowed at a larger share is kept, and a smaller one allows more all the same."""
    allowance = Allowance()
    assert allowance.after(100, 3.0) == 300
    assert allowance.after(100, 1.0) == 300
    assert allowance.after(140, 0.5) == 320
