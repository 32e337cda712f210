"""The integer programme over layouts, ways and panels."""

import numpy as np

from inventory.length import INCH
from nester.problem import Problem, build
from nester.solve.choose_mixed import Limits, choose_mixed
from nester.solve.columns import Column
from nester.solve.config import mix
from nester.solve.sawyer import Sawyer
from tests.nester.maker import board, match, part, read, shop

FREE = Limits(broken=3, whole=(), seconds=10.0, nodes=100)


def layout(problem: Problem, stock: int, *kinds: int) -> Column:
    """Return a layout of one piece that gives blanks of these kinds."""
    counts = np.bincount(kinds, minlength=len(problem.demands))
    ((found,), _) = Sawyer(problem).cut(stock, counts)
    assert np.array_equal(found.counts, counts)
    return found


def strips(problem: Problem) -> dict[float, int]:
    """Return the kinds of strips by their widths [in]."""
    return {width / INCH: kind for kind, width in problem.glues[0].strips}


def test_a_panel_takes_any_strips_that_are_wide_enough_together() -> None:
    """A lid of 9 in: 5 and 4 1/2 will do, 4 1/2 twice is 9 in less what gluing takes."""
    boards = board("dear", width="12", length="24", price=40) + board(
        "cheap", width="12", length="24", price=20
    )
    lid = part("lid", width="9", glue_up={"strips": ["3", "5"]})
    asked, stock = read(boards, lid, shop(offcut_credit=0))
    problem = build(asked.parts, stock, asked.shop)
    by_id = {item.id: s for s, item in enumerate(problem.stock)}
    kind = strips(problem)
    short = layout(problem, by_id["cheap"], kind[4.5], kind[4.5])
    enough = layout(problem, by_id["dear"], kind[5.0], kind[4.5])
    assert choose_mixed(problem, [short], [], FREE) is None
    found = choose_mixed(problem, [short, enough], [], FREE)
    assert found is not None
    columns, config = found
    assert columns == [enough]
    assert config.panels == (((kind[4.5], kind[5.0]),),)
    assert mix(problem, columns, config).complete


def test_strips_of_one_panel_come_from_several_layouts() -> None:
    """Neither board alone gives a lid of 13 in; the two that cost least together are taken."""
    boards = "".join(
        board(name, width="6", length="24", price=price)
        for name, price in (("a", 10), ("b", 20), ("c", 30), ("d", 40))
    )
    lid = part("lid", width="13", glue_up={"strips": ["3", "5"]})
    asked, stock = read(boards, lid, shop(offcut_credit=0))
    problem = build(asked.parts, stock, asked.shop)
    widest = strips(problem)[5.0]
    known = [layout(problem, s, widest) for s in range(len(problem.stock))]
    found = choose_mixed(problem, known, [], FREE)
    assert found is not None
    assert sorted(problem.stock[c.stock].id for c in found[0]) == ["a", "b", "c"]


def test_corners_are_kept_where_they_have_no_price() -> None:
    """Two short boards are cheaper, but only the long one gives both parts in one run."""
    boards = board("short", length="20", width="3", count=2, price=5)
    boards += board("long", length="40", width="3", price=30)
    pair = part("left", length="12", width="2") + part("right", length="12", width="2")
    row = match(how="sequence", parts=["left", "right"])
    asked, stock = read(boards, pair + row, shop(offcut_credit=0))
    problem = build(asked.parts, stock, asked.shop, asked.matches)
    by_id = {item.id: s for s, item in enumerate(problem.stock)}
    (choice,) = problem.choices
    run = next(a for a, arc in enumerate(choice.arcs) if arc.count == 2)
    alone = tuple(a for a, arc in enumerate(choice.arcs) if arc.count == 1)
    kinds = [choice.arcs[a].demand for a in alone]
    known = [layout(problem, by_id["short"], kind) for kind in kinds]
    known.append(layout(problem, by_id["long"], choice.arcs[run].demand))
    for broken, names in ((1, ["short", "short"]), (0, ["long"])):
        limits = Limits(broken, (), seconds=10.0, nodes=100)
        found = choose_mixed(problem, known, [[(run,), alone]], limits)
        assert found is not None
        assert [problem.stock[c.stock].id for c in found[0]] == names
