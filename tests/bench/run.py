"""Running one job: the plan is made, written as a document, and checked."""

import math
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

from nester.plan import Plan, Status, plan_json
from nester.planning import make_plan
from nester.solve.callbacks import Callbacks
from nester.solve.stop import AnyOf, GapAtMost, Progress, Seconds, Stop
from nester.verify import verify_text
from tests.bench.records import Case, Instance, Limits, Outcome, Runner

MADE = "2026-01-01T00:00:00Z"
NEAR = 0.02
ROUNDING = 1e-6
MOST_FAULTS = 3


@dataclass(frozen=True, slots=True)
class Settled:
    """Stop once no whole number lies between bound and cost."""

    def __call__(self, progress: Progress) -> str | None:
        if progress.missing or progress.bound is None or progress.cost is None:
            return None
        return "gap" if math.ceil(progress.bound - ROUNDING) >= progress.cost - ROUNDING else None


@dataclass(slots=True)
class Watch(Callbacks):
    """Notes when the first complete plan stood and when a small gap was proven."""

    first: float | None = None
    near: float | None = None

    def progress(self, progress: Progress) -> None:
        """Note the times that are reached."""
        if progress.missing or progress.cost is None:
            return
        if self.first is None:
            self.first = progress.seconds
        if self.near is None and progress.gap is not None and progress.gap <= NEAR:
            self.near = progress.seconds


def planned(case: Case, limits: Limits, watch: Watch) -> Plan:
    """Return the plan for a job."""
    rules: list[Stop] = [Seconds(limits.seconds), GapAtMost(0)]
    if case.whole:
        rules.append(Settled())
    return make_plan(
        case.project,
        case.stock,
        stop=AnyOf(*rules),
        workers=limits.workers,
        callbacks=watch,
        made=MADE,
    )


def job(load: Callable[..., Case], *given: object, **named: object) -> Runner:
    """Return the way to run an instance that is a job to be planned; ``load`` gives the job."""
    return partial(run_plan, partial(load, *given, **named))


def run_plan(load: Callable[[], Case], instance: Instance, limits: Limits) -> Outcome:
    """Plan a job and return what came of it. Whatever goes wrong is in its faults."""
    case = load()
    watch = Watch()
    begun = time.monotonic()
    try:
        made = planned(case, limits, watch)
    except Exception as error:
        return broken(instance, case, time.monotonic() - begun, error)
    return outcome(instance, case, made, watch, time.monotonic() - begun)


def outcome(instance: Instance, case: Case, plan: Plan, watch: Watch, seconds: float) -> Outcome:
    """Return what a plan comes to once its document is checked."""
    complete = plan.status is not Status.SHORT
    faults = tuple(fault.line() for fault in verify_text(plan_json(plan)))
    bound = plan.bound
    if bound is not None and case.whole:
        bound = Fraction(math.ceil(bound))
    return Outcome(
        name=instance.name,
        group=instance.group,
        cost=plan.cost if complete else None,
        bound=bound,
        known=case.known,
        lower=case.lower,
        seconds=seconds,
        status=_status(plan, bound),
        words=case.words,
        first=watch.first,
        near=watch.near,
        faults=_few(faults),
    )


def attempted(instance: Instance, limits: Limits) -> Outcome:
    """Run an instance; an exception of whatever it does is its fault, and the run goes on."""
    begun = time.monotonic()
    try:
        return instance.run(instance, limits)
    except Exception as error:
        return broken(instance, None, time.monotonic() - begun, error)


def broken(instance: Instance, case: Case | None, seconds: float, error: Exception) -> Outcome:
    """Return the outcome of a run that an exception ended."""
    return Outcome(
        name=instance.name,
        group=instance.group,
        cost=None,
        bound=None,
        known=case.known if case else None,
        lower=case.lower if case else None,
        seconds=seconds,
        status="broken",
        words=case.words if case else "",
        faults=(fault_of(error),),
    )


def fault_of(error: Exception) -> str:
    """Return an exception and where it came from, in one line."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    file = Path(where.filename).name
    return f"{type(error).__name__}: {error} ({file}, line {where.lineno}, {where.name})"


def complaints(found: Outcome) -> list[str]:
    """Return what makes a run fail: a plan that does not hold, or a bound that cannot be true."""
    said = [f"{found.name}: {fault}" for fault in found.faults]
    sign = -1 if found.most else 1
    if _beyond(found.bound, found.known, sign):
        wrong = "below" if found.most else "above"
        possible = f"the bound {money(found.bound)} is {wrong} what is possible"
        said.append(f"{found.name}: {possible}, {money(found.known)}")
    if _beyond(found.lower, found.cost, sign):
        better = f"{money(found.cost)} is better than a proven bound"
        said.append(f"{found.name}: {better}, {money(found.lower)}")
    return said


_CENT = Fraction(1, 2000)
"""Money is written to three places, so closer than this two sums may be one."""


def _beyond(bound: Fraction | None, cost: Fraction | None, sign: int) -> bool:
    return bound is not None and cost is not None and sign * (bound - cost) > _CENT


def money(value: Fraction | None) -> str:
    """Return a cost or a count as text."""
    if value is None:
        return "-"
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.3f}"


def _status(plan: Plan, bound: Fraction | None) -> str:
    if plan.status is not Status.SHORT and bound is not None and bound >= plan.cost:
        return Status.OPTIMAL.value
    return plan.status.value


def _few(faults: tuple[str, ...]) -> tuple[str, ...]:
    if len(faults) <= MOST_FAULTS:
        return faults
    return (*faults[:MOST_FAULTS], f"and {len(faults) - MOST_FAULTS} faults more")
