"""Matches and glue-ups against an exhaustive planner that tries every way to make them."""

from collections import Counter

import pytest

from nester.model import Project, System
from nester.plan import Plan, Status
from nester.solve.bound import mixed
from nester.solve.stop import AnyOf, GapAtMost
from tests.nester.maker import Rounds, checked
from tests.oracle.choices import Asked, glued, least, matched

PENNY = 0.0006


def compare(asked: Asked, rounds: int) -> tuple[Plan, str]:
    """Hold a plan against the best way; return it and a word for how well it did."""
    case = asked.case
    project = Project("tiny", System.INCH, case.shop, case.parts, asked.matches)
    plan = checked(project, list(case.stock), AnyOf(GapAtMost(0.0), Rounds(rounds)))
    best = least(asked)
    if plan.missing:
        return plan, "missed" if best else "cannot be had"
    assert best, "a plan where there is none"
    broken = sum(len(result.broken) for result in plan.match_results)
    assert broken >= min(best)
    within = [cost for corners, cost in best.items() if corners <= broken]
    assert within, "fewer corners are broken than can be"
    assert float(plan.cost) >= min(within) - 1e-6
    assert plan.bound is not None
    assert float(plan.bound) <= min(within) + PENNY
    if plan.status is Status.OPTIMAL:
        assert float(plan.cost) <= min(within) + PENNY
    if broken > min(best):
        return plan, "a corner lost"
    return plan, "best" if float(plan.cost) <= min(within) + PENNY else "dearer"


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_one_match(first: int) -> None:
    """A run of three, or what is left of it: no plan better than the best, no bound above it."""
    for seed in range(first, first + 10):
        compare(matched(seed), rounds=8)


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_one_panel(first: int) -> None:
    """A part in one piece or glued up from any strips: none better than the best, none above."""
    for seed in range(first, first + 10):
        compare(glued(seed), rounds=8)


@pytest.mark.parametrize("most", [1, 2])
def test_strips_that_the_bound_does_not_tell_apart(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However few widths of strips the bound knows, it is never above the best there is."""
    monkeypatch.setattr(mixed, "WIDTHS", (most,))
    for seed in range(40, 52):
        compare(glued(seed), rounds=8)


def test_usual_cases_are_planned_well() -> None:
    """In a usual shop nearly all that can be had is had, mostly with the most corners, cheapest."""
    tally: Counter[str] = Counter()
    for seed in range(15):
        tally[compare(matched(seed, usual=True), rounds=20)[1]] += 1
        tally[compare(glued(seed, usual=True), rounds=20)[1]] += 1
    can = tally.total() - tally["cannot be had"]
    assert can >= 12, tally
    assert tally["missed"] <= 0.1 * can, tally
    assert tally["best"] >= 0.65 * can, tally
    assert tally["a corner lost"] <= 0.1 * can, tally
