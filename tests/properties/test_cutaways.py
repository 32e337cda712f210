"""What holds of every plan with shaped parts, whatever the project."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from inventory.polygon import outline_fault
from inventory.stock import Board, Flaw, FlawKind, Stock
from nester.cutouts import seats
from nester.layout import BlankUse
from nester.model import Arch, Cutaway, Outline, Part, Project
from nester.plan import Status
from tests.nester.maker import checked
from tests.properties.projects import projects
from tests.properties.test_plans import FEW, MORE, examples


@st.composite
def cutaways(draw: st.DrawFn, part: Part) -> Cutaway | None:
    """An arch or an outline in a part; None where the points drawn make no outline."""
    if draw(st.integers(0, 2)):
        span = draw(st.integers(part.length // 2, part.length))
        start = draw(st.integers(0, part.length - span))
        rise = draw(st.integers(1, min(span // 2, part.width - 1)))
        return Arch(draw(st.sampled_from(("near", "far"))), start, span, rise)
    across = st.one_of(st.sampled_from((0, part.width)), st.integers(0, part.width))
    points = draw(st.lists(st.tuples(st.integers(0, part.length), across), min_size=3, max_size=5))
    return None if outline_fault(points) else Outline(tuple(points))


@st.composite
def shaped(draw: st.DrawFn) -> tuple[Project, list[Stock]]:
    """A project some of whose parts have cutaways, and knots along the edges of its boards."""
    project, stock = draw(projects())
    parts = []
    for part in project.parts:
        found = [draw(cutaways(part)) for _ in range(draw(st.sampled_from((1, 1, 2))))]
        parts.append(replace(part, cutaways=tuple(c for c in found if c is not None)))
    return replace(project, parts=tuple(parts)), [draw(knotty(item)) for item in stock]


@st.composite
def knotty(draw: st.DrawFn, item: Stock) -> Stock:
    """The same stock with up to three knots, most of them low ones near its near edge."""
    wide = min(item.width_a, item.width_b) if isinstance(item, Board) else item.width
    knots = []
    for _ in range(draw(st.integers(0, 3))):
        long, tall = item.length // 30, wide // draw(st.sampled_from((8, 12, 30)))
        x = draw(st.integers(0, item.length - long))
        y = draw(st.sampled_from((wide // 40, wide // 12, wide - tall)))
        knots.append(Flaw(FlawKind.KNOT, x, y, long, tall))
    return replace(item, flaws=(*item.flaws, *knots))


@examples(80)
@given(shaped())
def test_every_plan_with_shaped_parts_holds(asked: tuple[Project, list[Stock]]) -> None:
    """The checker finds nothing wrong, the bound is under the cost, every shape is in its blank."""
    project, stock = asked
    plan = checked(project, stock, FEW)
    assert plan.missing or plan.bound is not None
    assert plan.bound is None or plan.bound <= plan.cost
    parts = {part.name: part for part in plan.parts}
    for layout in plan.layouts:
        for node, seat in seats(layout.tree, parts, project.shop.grid):
            assert isinstance(node.use, BlankUse)
            for p, q in ((0, 0), (seat.part.length, seat.part.width)):
                x, y = seat.on_stock(p, q)
                assert node.x <= x <= node.x + node.length
                assert node.y <= y <= node.y + node.width


@examples(25)
@given(shaped())
def test_a_cutaway_never_costs_more(asked: tuple[Project, list[Stock]]) -> None:
    """A complete plan that is proven costs no more for cutaways; nor is the bound above the cost.

    Whatever can be cut without them can be cut with them.
    """
    project, stock = asked
    whole = replace(project, parts=tuple(replace(part, cutaways=()) for part in project.parts))
    one = checked(whole, stock, MORE)
    two = checked(project, stock, MORE)
    if one.missing or two.missing:
        return
    assert two.bound is not None
    assert two.bound <= one.cost
    if one.status is two.status is Status.OPTIMAL:
        assert float(two.cost) <= float(one.cost) + 0.001
