"""The solver against an exhaustive planner on tiny random projects.

What must hold always: no plan is better than the best there is, no bound is above it, and a plan
that is called optimal is it. What must hold mostly, as the search is no proof: the best is found.
"""

from collections import Counter
from dataclasses import replace

import pytest

from inventory.length import INCH
from inventory.stock import Board
from nester.model import FirstCut, Project, System
from nester.plan import Plan, Status, plan_json
from nester.solve.stop import AnyOf, GapAtMost
from nester.verify import verify_text
from tests.nester.maker import Rounds, checked
from tests.oracle.cases import Case, arched, case
from tests.oracle.planner import Answer, best_plan, written

PENNY = 0.0006
"""Money is written to a tenth of a cent, and a cost closer to its bound than half of it is it."""


def planned(asked: Case, rounds: int) -> Plan:
    """Return the solver's plan of a case, checked."""
    project = Project("tiny", System.INCH, asked.shop, asked.parts)
    return checked(project, list(asked.stock), AnyOf(GapAtMost(0.0), Rounds(rounds)))


def compare(asked: Case, rounds: int) -> tuple[Plan, Answer]:
    """Hold the solver's plan against the best there is, and return both."""
    best, plan = best_plan(asked.parts, asked.stock, asked.shop), planned(asked, rounds)
    missing = sum(entry.count for entry in plan.missing)
    assert missing >= best.missing
    if missing == best.missing == 0:
        assert float(plan.cost) >= best.cost - 1e-6
    if plan.bound is not None:
        assert best.missing == 0
        assert float(plan.bound) <= best.cost + PENNY
    if plan.status is Status.OPTIMAL:
        assert float(plan.cost) <= best.cost + PENNY
    return plan, best


@pytest.mark.parametrize("first", range(0, 120, 10))
def test_the_oracle_holds(first: int) -> None:
    """Every plan that the exhaustive planner calls the best passes the checker."""
    for seed in range(first, first + 10):
        asked = case(seed)
        best = best_plan(asked.parts, asked.stock, asked.shop)
        plan = written(best, asked.parts, asked.stock, asked.shop)
        faults = [fault.line() for fault in verify_text(plan_json(plan))]
        assert not faults, f"case {seed}"


@pytest.mark.parametrize("first", range(1000, 1150, 10))
def test_wild_cases(first: int) -> None:
    """Any number of stages, any first cut, rough and tapered boards: never better, never above."""
    for seed in range(first, first + 10):
        compare(case(seed), rounds=12)


@pytest.mark.parametrize("first", range(2000, 2100, 10))
def test_ripped_first(first: int) -> None:
    """A crooked board that is ripped first loses all its crook, or its first stage is empty."""
    for seed in range(first, first + 10):
        asked = case(seed, usual=True)
        crooked = tuple(
            replace(item, crook=item.crook or INCH // 2) if isinstance(item, Board) else item
            for item in asked.stock
        )
        habits = replace(asked.shop, first_cut=FirstCut.RIP)
        compare(Case(asked.parts, crooked, habits), rounds=12)


@pytest.mark.parametrize("first", range(0, 60, 10))
def test_arched_parts(first: int) -> None:
    """An arch that may lie over knots: what the oracle finds, and never better or above it."""
    for seed in range(first, first + 10):
        asked = arched(seed)
        _, best = compare(asked, rounds=12)
        plan = written(best, asked.parts, asked.stock, asked.shop)
        faults = [fault.line() for fault in verify_text(plan_json(plan))]
        assert not faults, f"case {seed}"


def test_arches_matter() -> None:
    """In enough of the arched cases the best plan needs the arch over a knot."""
    matter = 0
    for seed in range(60):
        asked = arched(seed)
        plain = (replace(asked.parts[0], cutaways=()), *asked.parts[1:])
        best = best_plan(asked.parts, asked.stock, asked.shop)
        other = best_plan(plain, asked.stock, asked.shop)
        assert (best.missing, best.area, best.cost) <= (other.missing, other.area, other.cost)
        matter += best.missing < other.missing or best.cost < other.cost - PENNY
    assert matter >= 6


def test_usual_cases_are_planned_well() -> None:
    """In a usual shop nearly every part that can be had is had, mostly at the least cost."""
    tally: Counter[str] = Counter()
    for seed in range(100):
        plan, best = compare(case(seed, plain=True, usual=True), rounds=20)
        missing = sum(entry.count for entry in plan.missing)
        if best.missing:
            tally["cannot be had"] += 1
            tally["cannot be had, as few missing"] += missing == best.missing
            continue
        tally["can be had"] += 1
        tally["all had"] += missing == 0
        if missing == 0:
            tally["least cost"] += float(plan.cost) <= best.cost + PENNY
            tally["proven"] += plan.status is Status.OPTIMAL
            tally["within a tenth"] += float(plan.cost) <= 1.1 * best.cost + PENNY
    assert tally["can be had"] >= 30
    assert tally["all had"] >= 0.95 * tally["can be had"]
    assert tally["within a tenth"] >= 0.9 * tally["all had"], tally
    assert tally["least cost"] >= 0.75 * tally["all had"], tally
    assert tally["cannot be had, as few missing"] >= 0.8 * tally["cannot be had"], tally
