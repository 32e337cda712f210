"""Filling bars: blanks end to end, none more often than it is wanted."""

import numpy as np

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.lengths import BarFiller, bar_filler
from nester.solve.rows import blanks, usable
from tests.bench.plates import bars_job
from tests.nester.maker import board, part, read, shop

PLAIN = {"surface": "S4S", "ends": "square", "edges": "straight"}


def filler(problem: Problem) -> BarFiller | None:
    """Return what fills the first board of a problem."""
    return bar_filler(problem, arrays(problem), 0)


def test_a_bar_holds_what_is_worth_most() -> None:
    """Of 6, 5 and 4 on a bar of 13: two of 4 and one of 5 where 4 is wanted twice; else 6 and 5."""
    project, stock = bars_job("trial", 13, [(6, 1), (5, 1), (4, 2)])
    problem = build(project.parts, stock, project.shop)
    fill = filler(problem)
    assert fill is not None
    values = np.array([6, 5, 4], np.int64)
    found, work = fill(values, np.array([1, 1, 2]))
    assert found is not None
    assert work > 0
    assert found.counts == (0, 1, 2)
    assert found.cost == problem.stock[0].value
    found, _ = fill(values, np.array([1, 1, 0]))
    assert found is not None
    assert found.counts == (1, 1, 0)
    ends = [(box[0], box[2]) for _, box in blanks(found.row, usable(problem.stock[0]))]
    assert ends == [(0, 6), (6, 11)]


def test_nothing_comes_of_nothing() -> None:
    """Where no blank is wanted there is no layout."""
    project, stock = bars_job("trial", 13, [(6, 1)])
    problem = build(project.parts, stock, project.shop)
    fill = filler(problem)
    assert fill is not None
    assert fill(np.array([6], np.int64), np.array([0]))[0] is None


def test_kerfs_and_end_trims_are_kept() -> None:
    """A board of 100 with trims of 1 at its ends and kerfs of 1/8 gives three of 32, not of 33."""
    for length, count in (("32", 3), ("33", 2)):
        project, stock = read(
            board(length="100", width="4", **{**PLAIN, "ends": "rough"}),
            part(count=5, length=length, width="4"),
            shop(
                end_trim="1",
                kerf={"crosscut": "1/8"},
                blank_extra_length="0",
                blank_extra_width="0",
                stages=3,
            ),
        )
        problem = build(project.parts, stock, project.shop)
        fill = filler(problem)
        assert fill is not None
        found, _ = fill(np.full(1, problem.stock[0].value), np.array([5]))
        assert found is not None
        assert found.counts == (count,)
        assert min(box[0] for _, box in blanks(found.row, usable(problem.stock[0]))) >= 16


def test_what_is_no_bar_is_left_to_the_search() -> None:
    """A board wide enough for two blanks side by side, and one with a knot."""
    knot = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
    for stock in (
        board(length="100", width="9", **PLAIN),
        board(length="100", width="4", flaws=[knot], **PLAIN),
    ):
        project, items = read(stock, part(count=5, length="30", width="4"), shop())
        assert filler(build(project.parts, items, project.shop)) is None
