"""Rough lumber with a known plan, from a seeded generator.

Boards of random size with up to four flaws; parts cut out of m of them by crosscuts, rips and
crosscuts, and as many boards beside. In *tight* jobs the parts use the m boards up but for kerf and
flaws; in *workshop* jobs 15 % of them are left out again. The known cost is that of the plan the
parts came from: the m boards, less the credit for the leftovers that are big enough to keep where
parts were left out. That plan is written as a document and checked before anything is planned.
"""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from nester.plan import plan_json
from nester.verify import verify_text
from tests.bench.known import known_plan
from tests.bench.measure import at_most, gaps, overs, share_of
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.rough import lumber
from tests.bench.run import job, money

SIZES = {3: 10, 6: 10, 12: 30, 25: 30}
"""Seconds for each number of boards."""
EACH = 10
SMALL = ("m = 3", "m = 6")


def instances(_: Path, *, tight: bool) -> list[Instance]:
    """Return ten jobs of each size."""
    return [
        Instance(f"{m}-{k:02}", f"m = {m}", job(case, m, k, tight=tight), seconds)
        for m, seconds in SIZES.items()
        for k in range(1, EACH + 1)
    ]


def case(m: int, number: int, *, tight: bool) -> Case:
    """Return one job; raises ``ValueError`` where its known plan does not hold."""
    job = lumber(m, number, tight=tight)
    plan = known_plan(job)
    faults = verify_text(plan_json(plan))
    if faults:
        raise ValueError(f"the known plan does not hold: {faults[0].line()}")
    return Case(job.project, job.boards, known=plan.cost, words=money(plan.cost))


def tight_measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how far plans are above the known ones."""
    found = []
    for name, goal, chosen in _halves(outcomes, 0.03, 0.06):
        found.append(at_most(f"{name}: over the known cost, median", overs(chosen), goal))
        met = sum(o.reached for o in chosen)
        found.append(Measure(f"{name}: known cost or cheaper", f"{met} of {len(chosen)}"))
    return found


def workshop_measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how many known plans are met, and the proven gaps."""
    found = []
    for (name, goal, chosen), (_, share, _) in zip(
        _halves(outcomes, 0.04, 0.06), _halves(outcomes, 0.9, 0.75), strict=True
    ):
        met = sum(o.reached for o in chosen)
        found.append(share_of(f"{name}: known cost or cheaper", met, len(chosen), share))
        found.append(at_most(f"{name}: proven gap, median", gaps(chosen), goal))
        found.append(
            Measure(
                f"{name}: over the known cost, median",
                at_most("", overs(chosen), 0).found,
            )
        )
    return found


def _halves(
    outcomes: Sequence[Outcome], small: float, large: float
) -> list[tuple[str, float, list[Outcome]]]:
    few = [o for o in outcomes if o.group in SMALL]
    many = [o for o in outcomes if o.group not in SMALL]
    halves = [("m = 3, 6", small, few), ("m = 12, 25", large, many)]
    return [half for half in halves if half[2]]


SETS = (
    BenchSet(
        "lumber-workshop",
        "Lumber with a known plan, 15 % of the parts left out",
        partial(instances, tight=False),
        workshop_measures,
        ("lumber",),
        needs_data=False,
    ),
    BenchSet(
        "lumber-tight",
        "Lumber with a known plan that uses the boards up",
        partial(instances, tight=True),
        tight_measures,
        ("lumber",),
        needs_data=False,
    ),
)
