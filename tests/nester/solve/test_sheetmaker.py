"""Making layouts of plain sheets with limited copies, and plans of them."""

import numpy as np

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.delve import Delve, Manner
from nester.solve.makers import Makers
from nester.solve.rows import blanks, usable
from nester.solve.sheetmaker import sheet_makers
from tests.bench.plates import Item, Plate, sheets_job
from tests.nester.maker import part, read, sheet, shop


def trial(items: list[Item], kerf: int = 0) -> tuple[Problem, Makers]:
    """Return the job of cutting items from plates of 20 by 10, and what makes its layouts."""
    project, stock = sheets_job("trial", [Plate(20, 10)], items, kerf=kerf)
    problem = build(project.parts, stock, project.shop)
    makers = sheet_makers(problem, arrays(problem), groups(problem))
    assert makers is not None
    return problem, makers


def test_the_best_layout_counts_copies() -> None:
    """One of 20 by 4 is wanted and two of 10 by 6: that fills a plate, and nothing twice."""
    problem, makers = trial([Item(20, 4, 1), Item(10, 6, 2)])
    wanted = np.array([d.copies for d in problem.demands])
    made = makers.make[0].price(np.array([d.area for d in problem.demands]), wanted)
    assert sorted(made.counts) == [1, 2]
    assert made.value == int(made.counts @ [d.area for d in problem.demands])
    assert made.work > 0
    layout = makers.make[0].layout(made.counts, made.row)
    assert layout is not None
    assert layout.counts == tuple(made.counts)
    item = problem.stock[0]
    boxes = [box for _, box in blanks(layout.row, usable(item))]
    assert len(boxes) == 3
    assert sum((x2 - x1) * (y2 - y1) for x1, y1, x2, y2 in boxes) == item.nx * item.ny


def test_what_is_not_wanted_any_more_is_left_out() -> None:
    """Of a layout of three blanks one is cut, by its own row and by one that is looked for."""
    problem, makers = trial([Item(20, 4, 1), Item(10, 6, 2)])
    wanted = np.array([d.copies for d in problem.demands])
    made = makers.make[0].price(np.array([d.area for d in problem.demands]), wanted)
    one = np.minimum(made.counts, 1)
    for row in (made.row, None):
        layout = makers.make[0].layout(one, row)
        assert layout is not None
        assert layout.counts == (1, 1)
    assert makers.make[0].layout(np.array([9, 9]), made.row) is None


def test_sheets_without_waste_are_found() -> None:
    """Four plates' worth of blanks that fill plates go onto four plates, saw cuts and all."""
    items = [Item(20, 4, 2), Item(10, 6, 4), Item(12, 10, 1), Item(8, 5, 4), Item(12, 5, 2)]
    problem, makers = trial(items)
    most = 4 * problem.stock[0].value
    dive = Delve(problem, makers, (), most, 0, Manner())
    dive.run(10**10)
    assert dive.draft is not None
    assert dive.draft.complete
    assert dive.draft.cost == most


def test_kerfs_are_kept() -> None:
    """Two of 10 fit into 20 without a kerf and not with one."""
    for kerf, fits in ((0, 2), (1, 1)):
        text = sheet(length="20", width="10")
        habits = shop(kerf={"sheet": kerf}, sheet_stages="any", offcut_credit=0, tape="1", grid="1")
        asked, stock = read(
            text, part(material="plywood", length="10", width="10", count=2), habits
        )
        problem = build(asked.parts, stock, asked.shop)
        makers = sheet_makers(problem, arrays(problem), groups(problem))
        assert makers is not None
        made = makers.make[0].price(np.array([1000]), np.array([2]))
        assert made.counts[0] == fits
        layout = makers.make[0].layout(made.counts, made.row)
        assert layout is not None
        assert layout.counts == (fits,)


def test_staged_sheets_are_left_to_the_search() -> None:
    """A sheet that is cut in so many stages has no maker."""
    text = sheet(length="20", width="10")
    asked, stock = read(text, part(material="plywood", length="9", width="9"), shop())
    problem = build(asked.parts, stock, asked.shop)
    assert sheet_makers(problem, arrays(problem), groups(problem)) is None
