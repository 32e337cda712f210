"""What holds of every plan with matches and glue-ups."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from inventory.stock import Stock
from nester.model import Project
from nester.plan import Status, parse_plan, plan_json
from nester.solve.stop import AnyOf, GapAtMost, Work
from tests.nester.maker import Rounds, checked
from tests.properties.projects import matched
from tests.properties.test_plans import examples, text

FEW = AnyOf(GapAtMost(0.0), Rounds(3), Work(3_000_000))


@examples(60)
@given(matched())
def test_every_plan_holds(asked: tuple[Project, list[Stock]]) -> None:
    """The checker agrees, the bound is under the cost, and what is written is read again."""
    project, stock = asked
    plan = checked(project, stock, FEW)
    assert (plan.status is Status.SHORT) == bool(plan.missing)
    assert all(entry.count > 0 and entry.reason for entry in plan.missing)
    if not plan.missing:
        assert plan.bound is not None
        assert 0 <= plan.bound <= plan.cost
    for result in plan.match_results:
        assert result.matched + len(result.broken) == result.corners
    document = plan_json(plan)
    again, issues = parse_plan(document)
    assert again is not None, issues
    assert plan_json(again) == document


@examples(10)
@given(matched(), st.integers(0, 2**16))
def test_the_order_of_things_and_the_workers_change_nothing(
    asked: tuple[Project, list[Stock]], seed: int
) -> None:
    """The same plan to the byte with one worker or two, stock and parts in any order."""
    project, stock = asked
    one = checked(project, stock, FEW, seed=seed, workers=1)
    other = replace(project, parts=project.parts[::-1])
    two = checked(other, stock[::-1], FEW, seed=seed, workers=2)
    again = checked(project, stock, FEW, seed=seed, workers=2)
    assert text(again) == text(one)
    assert two.layouts == one.layouts
    assert two.panels == one.panels
    assert two.match_results == one.match_results
    assert (two.cost, two.bound) == (one.cost, one.bound)
