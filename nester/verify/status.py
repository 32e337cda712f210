"""What the plan claims of itself: its status, its bound and its gap."""

from collections.abc import Iterator
from fractions import Fraction

from nester.verify.fault import Fault
from nester.verify.number import decimal
from nester.verify.records import Plan

_MONEY = Fraction(1, 1000)  # cost and bound are each rounded to a tenth of a cent
_GAP = Fraction(1, 1_000_000)


def check_status(plan: Plan) -> Iterator[Fault]:
    """A plan is short just when parts are missing; only then has it no bound and no gap."""
    short = plan.status == "short"
    if short and not plan.missing and plan.whole:
        yield Fault("short", "a plan without missing parts is not short", "plan", plan.status)
    if plan.missing and not short:
        message = 'parts are missing, so the status must be "short"'
        yield Fault("short", message, "plan", plan.status)
    for name, number in (("bound", plan.bound), ("gap", plan.gap)):
        if short and number is not None:
            message = f"a short plan has no {name}: it must be null"
            yield Fault("short", message, name, decimal(number, 6))
        if not short and number is None:
            yield Fault(name, f"the {name} is not there", name, "null")
    if plan.status == "optimal" and plan.gap not in (None, 0):
        message = "an optimal plan has a gap of 0"
        yield Fault("status", message, "plan", decimal(plan.gap or Fraction(0), 6))


def check_gap(plan: Plan) -> Iterator[Fault]:
    """The bound is at most the cost, and the gap is the share of the cost between them."""
    if plan.bound is None:
        return
    if plan.bound > plan.cost:
        message = f"the bound is above the cost, {decimal(plan.cost, 6)}"
        yield Fault("bound", message, "bound", decimal(plan.bound, 6))
    if plan.gap is None:
        return
    gap, room = Fraction(0), _GAP
    if plan.cost:
        gap = (plan.cost - plan.bound) / plan.cost
        room += _MONEY / plan.cost
    if abs(plan.gap - gap) > room or plan.gap < 0:
        message = f"the gap must be {decimal(max(gap, Fraction(0)), 6)}"
        yield Fault("gap", message, "gap", decimal(plan.gap, 9))
