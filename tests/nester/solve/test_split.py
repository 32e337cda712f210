"""Parts of a problem that have no stock in common."""

from nester.problem import build
from nester.solve.split import independent
from tests.nester.maker import board, part, planned, read, sheet, shop

MIXED = board("M-1") + board("O-1", species="oak") + sheet("P-1") + board("M-2")
PARTS = (
    part("rail")
    + part("leg", material="oak", length="30")
    + part("panel", material="plywood", length="20", width="10")
    + part("top", material="elm")
)


def test_materials_apart() -> None:
    """Maple, oak and plywood are planned apart; what has no stock belongs to none of them."""
    project, items = read(MIXED, PARTS, shop())
    problem = build(project.parts, items, project.shop)
    names = {
        frozenset(item.id for item in part.stock): [d.parts[0][0] for d in part.demands]
        for part, _, _ in independent(problem)
    }
    assert names == {
        frozenset({"M-1", "M-2"}): ["rail"],
        frozenset({"O-1"}): ["leg"],
        frozenset({"P-1"}): ["panel"],
    }


def test_places_in_the_whole() -> None:
    """Each part of the problem knows where its stock and demands stand in the whole."""
    project, items = read(MIXED, PARTS, shop())
    problem = build(project.parts, items, project.shop)
    for part_of, stock, demands in independent(problem):
        assert [problem.stock[s].id for s in stock] == [item.id for item in part_of.stock]
        assert [problem.demands[d] for d in demands] == list(part_of.demands)
        for item in part_of.stock:
            assert {option.demand for option in item.options} <= set(range(len(demands)))


def test_a_part_of_either_wood_joins_them() -> None:
    """A part that may be of maple or oak makes one problem of both."""
    text = part("rail") + part("leg", material="oak") + part("peg", material=["maple", "oak"])
    project, items = read(MIXED, text, shop())
    problem = build(project.parts, items, project.shop)
    ((whole, _, _),) = independent(problem)
    assert len(whole.stock) == 3
    assert len(whole.demands) == 3


def test_the_plan_of_the_whole() -> None:
    """Layouts of all parts of the problem come together, and what has no stock is missing."""
    plan = planned(MIXED, PARTS)
    assert {layout.stock for layout in plan.layouts} <= {"M-1", "M-2", "O-1", "P-1"}
    assert len(plan.layouts) == 3
    assert [missing.part for missing in plan.missing] == ["top"]
    assert plan.missing[0].reason.startswith("there is no elm in the stock")
