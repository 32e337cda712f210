"""Figures over a set's outcomes."""

from collections.abc import Sequence
from fractions import Fraction
from statistics import median

from tests.bench.records import Measure, Outcome
from tests.bench.run import money

INFINITE = float("inf")


def percent(share: float) -> str:
    """Return a share as text; no plan at all counts as infinitely far off."""
    return "no plan" if share == INFINITE else f"{100 * share:.2f} %"


def at_most(what: str, found: Sequence[float], goal: float, *, worst: bool = False) -> Measure:
    """Return the median (or the worst) of some shares, which should be no more than ``goal``."""
    value = max(found) if worst else median(found)
    return Measure(what, percent(value), f"<= {100 * goal:g} %", value <= goal)


def gaps(outcomes: Sequence[Outcome]) -> list[float]:
    """Return the proven gaps; infinite where there is no complete plan."""
    return [INFINITE if o.gap is None else o.gap for o in outcomes]


def overs(outcomes: Sequence[Outcome]) -> list[float]:
    """Return how far costs are above the known ones; infinite where there is no complete plan."""
    return [INFINITE if o.over is None else o.over for o in outcomes]


def share_of(what: str, good: int, among: int, goal: float) -> Measure:
    """Return how many of some are good, which should be at least a share of ``goal``."""
    found = f"{good} of {among} ({100 * good / among:.1f} %)"
    return Measure(what, found, f">= {100 * goal:g} %", good >= goal * among)


def every(what: str, good: int, among: int) -> Measure:
    """Return how many of some are good, which should be all."""
    return Measure(what, f"{good} of {among}", "all", good == among)


def proven(outcomes: Sequence[Outcome]) -> Measure:
    """Return how many plans were proven optimal."""
    good = sum(o.status == "optimal" for o in outcomes)
    return Measure("proven optimal", f"{good} of {len(outcomes)}")


def sum_of(outcomes: Sequence[Outcome]) -> Fraction | None:
    """Return the sum of all costs, None where one is missing."""
    costs = [o.cost for o in outcomes]
    if any(cost is None for cost in costs):
        return None
    return sum((cost for cost in costs if cost is not None), Fraction(0))


def total(what: str, outcomes: Sequence[Outcome], goal: Fraction, aims: str = "") -> Measure:
    """Return the sum of all costs, which should be at most ``goal``."""
    found = sum_of(outcomes)
    asked = f"<= {money(goal)}" + (f"; {aims}" if aims else "")
    if found is None:
        return Measure(what, "no plan for some", asked, False)
    return Measure(what, money(found), asked, found <= goal)


def settled(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Return those of which the optimum is published: a known cost that is a proven bound too."""
    return [o for o in outcomes if o.known is not None and o.known == o.lower]
