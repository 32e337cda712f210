"""What holds of every plan, whatever the project."""

import re
from dataclasses import replace
from random import Random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.stock import Stock
from nester.model import Project
from nester.plan import Missing, Plan, Status, parse_plan, plan_json
from nester.solve.stop import AnyOf, GapAtMost, Work
from tests.nester.maker import Rounds, checked
from tests.properties.projects import boards, projects

FEW = AnyOf(GapAtMost(0.0), Rounds(3), Work(3_000_000))
MORE = AnyOf(GapAtMost(0.0), Rounds(6), Work(20_000_000))


def examples(most: int) -> settings:
    """Return settings for so many examples, the same ones each time."""
    return settings(
        max_examples=most,
        deadline=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def text(plan: Plan) -> str:
    """Return a plan's document without the seconds it took."""
    return re.sub(r'"seconds": [0-9.e+-]+', "", plan_json(plan))


@examples(100)
@given(projects())
def test_every_plan_holds(asked: tuple[Project, list[Stock]]) -> None:
    """The checker finds nothing wrong; the bound is under the cost; missing parts have a reason.

    Written and read again it is the same plan.
    """
    project, stock = asked
    plan = checked(project, stock, FEW)
    copies = sum(part.count + part.spare for part in project.parts)
    assert sum(entry.count for entry in plan.missing) <= copies
    if plan.missing:
        assert plan.status is Status.SHORT
        assert plan.bound is None
        assert plan.gap is None
        assert all(entry.count > 0 and entry.reason for entry in plan.missing)
    else:
        assert plan.status is not Status.SHORT
        assert plan.bound is not None
        assert plan.gap is not None
        assert 0 <= plan.bound <= plan.cost
        assert 0 <= plan.gap <= 1
    document = plan_json(plan)
    again, issues = parse_plan(document)
    assert again is not None, issues
    assert plan_json(again) == document
    assert [one.tree for one in again.layouts] == [one.tree for one in plan.layouts]
    assert again.stock == plan.stock


@examples(20)
@given(projects(), st.integers(0, 2**16))
def test_the_order_of_things_and_the_workers_change_nothing(
    asked: tuple[Project, list[Stock]], seed: int
) -> None:
    """Parts and stock in another order, and another number of workers, give the same bytes."""
    project, stock = asked
    first = text(checked(project, stock, Work(200_000), workers=1))
    assert text(checked(project, stock, Work(200_000), workers=2)) == first
    shuffled, parts = list(stock), list(project.parts)
    Random(seed).shuffle(shuffled)
    Random(seed).shuffle(parts)
    other = checked(replace(project, parts=tuple(parts)), shuffled, Work(200_000))
    assert text(replace(other, parts=project.parts, missing=listed(other, project))) == first


def listed(plan: Plan, project: Project) -> tuple[Missing, ...]:
    """Return what is missing in the order of the project's part list."""
    by_name = {entry.part: entry for entry in plan.missing}
    return tuple(by_name[part.name] for part in project.parts if part.name in by_name)


@examples(30)
@given(projects(), boards("S-9"))
def test_one_more_board_never_costs_more(asked: tuple[Project, list[Stock]], more: Stock) -> None:
    """With more to choose from a complete plan that is proven costs no more.

    Nor is its bound above what the plan without that board costs, proven or not.
    """
    project, stock = asked
    one = checked(project, stock, MORE)
    if one.missing:
        return
    two = checked(project, [*stock, more], MORE)
    if two.missing:
        return
    assert two.bound is not None
    assert two.bound <= one.cost
    if one.status is two.status is Status.OPTIMAL:
        assert float(two.cost) <= float(one.cost) + 0.001
