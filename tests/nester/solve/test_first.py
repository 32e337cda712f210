"""First plans on the cheapest stock first."""

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.first import by_price, first_plans
from tests.nester.maker import board, part, read, sheet, shop


def problem_of(stock: str, parts: str) -> Problem:
    project, items = read(stock, parts, shop())
    return build(project.parts, items, project.shop)


def test_stock_is_opened_by_its_price_for_the_room() -> None:
    """The small board costs less, but the large one less for its size."""
    stock = board("M-1", length="30", price=40) + board("M-2", length="60", price=60)
    problem = problem_of(stock, part(length="25", width="4"))
    found = arrays(problem)
    order = [problem.stock[found.directions[c].stock].value for c in by_price(problem, found)]
    assert order == sorted(order, reverse=True)
    assert len(set(order)) == 2


def test_each_way_gives_a_plan() -> None:
    """Two searches of growing width, and one plan by each rule of thumb where there are sheets."""
    for stock, ways in ((board("M-1"), 2), (sheet("P-1"), 5)):
        material = {} if ways == 2 else {"material": "plywood"}
        problem = problem_of(stock, part(length="20", width="4", **material))
        found = arrays(problem)
        weight = found.takes / found.takes.sum()
        plans = first_plans(problem, found, weight, by_price(problem, found))
        assert len(plans) == ways
        assert all(plan.draft.complete for plan in plans)
        assert all(plan.draft.cost == sum(c.cost for c in plan.columns) for plan in plans)
