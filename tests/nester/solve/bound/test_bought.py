"""The bound by sets of boards, by pencil: boards of 60 x 6 for $60, a kerf of one inch."""

from typing import Any

import pytest

from nester.model import FirstCut
from nester.problem import Problem, build
from nester.solve.bound.board_sets import MOST_PIECES, BoardSets
from nester.solve.bound.bought import Bought
from nester.solve.bound.by_sections import BySections
from nester.solve.bound.whole import whole_bound
from tests.bench.rough import lumber
from tests.nester.maker import board, part, read, shop

HABITS = {"grid": "1", "tape": "1", "offcut_credit": 0, "flaw_margin": 0}


def problem_of(stock: str, parts: str, **keys: Any) -> Problem:
    """Return a problem on whole inches, boards crosscut first."""
    habits = shop(**{**HABITS, "first_cut": FirstCut.CROSSCUT.value, **keys})
    project, items = read(stock, parts, habits)
    return build(project.parts, items, project.shop)


def by_sets(problem: Problem) -> float:
    """Return the bound, worked out to the end [money]."""
    bought = Bought(problem)
    while not bought.done:
        bought.step()
    return float(bought.bound / problem.ticks)


def test_what_is_too_wide_for_two_strips_needs_more_boards() -> None:
    """Of 25 x 4 a board holds two, end to end; by area, 390 of 427 are enough for three."""
    problem = problem_of(board() + board("M-2"), part(length="25", width="4", count=3))
    assert float(whole_bound(problem) / problem.ticks) == pytest.approx(60, rel=1e-5)
    assert by_sets(problem) == pytest.approx(120, rel=1e-5)


def test_what_is_left_of_the_length_earns_its_credit() -> None:
    """Beside 30 x 6 and a kerf lie 29 x 6, at half of $1/6 a cell; a second blank has no room."""
    one = part(length="30", width="6")
    problem = problem_of(board(), one, offcut_credit=0.5, offcut_min=["24", "2"])
    assert by_sets(problem) == pytest.approx(60 - 29 * 6 / 12, rel=1e-5)


def test_copies_of_a_board_are_pieces() -> None:
    """Two of one item, as two items."""
    parts = part(length="25", width="4", count=3)
    assert by_sets(problem_of(board(count=2), parts)) == pytest.approx(120, rel=1e-5)


def knot(y: str) -> list[dict[str, Any]]:
    """Return the flaws of a board with one knot, 2 x 2 at 20 along."""
    return [{"kind": "knot", "x": "20", "y": y, "length": "2", "width": "2"}]


def test_a_knot_counts_where_it_lies() -> None:
    """Of 29 x 4 a board holds two, one with a knot amidst; by an edge it is in nobody's way.

    By area, or by strips that know no place, the two cheaper boards would hold all four.
    """
    parts = part(length="29", width="4", count=4)
    for y, cost in (("2", 120), ("4", 110)):
        stock = board("M-1", flaws=knot(y), price=50) + board("M-2") + board("M-3")
        problem = problem_of(stock, parts)
        assert by_sets(problem) == pytest.approx(cost, rel=1e-5)
        sections = BySections(BoardSets(problem))
        while not sections.done:
            sections.step()
        assert float(sections.boards.bound / problem.ticks) == pytest.approx(110, rel=1e-5)


def test_a_row_is_sawn_from_whole_sections() -> None:
    """Of 40 x 4 a board holds one and never half another: by length, 41 of 61, three hold four."""
    parts = part(length="40", width="4", count=4)
    stock = "".join(board(f"M-{i}") for i in range(1, 5))
    assert by_sets(problem_of(stock, parts)) == pytest.approx(240, rel=1e-5)


def test_it_goes_on_for_so_much_effort_and_time() -> None:
    """No effort or no time is no step; more than it takes brings it to its end."""
    bought = Bought(problem_of(board("M-1") + board("M-2"), part(length="25", width="4", count=3)))
    assert bought.go_on(0, seconds=60) == 0
    assert bought.go_on(10**9, seconds=0) == 0
    assert not bought.done
    assert 0 < bought.go_on(1, seconds=60) < bought.go_on(10**12, seconds=60)
    assert bought.done
    assert bought.go_on(10**12, seconds=60) == 0


def test_it_does_not_apply_elsewhere() -> None:
    """Boards that may be ripped first; more pieces than all sets could be listed of."""
    one = part(length="25", width="4")
    for stock, keys in (
        (board(), {"first_cut": FirstCut.EITHER.value}),
        (board(count=MOST_PIECES + 1), {}),
    ):
        bought = Bought(problem_of(stock, one, **keys))
        assert (bought.done, bought.bound) == (True, 0)


@pytest.mark.parametrize("number", [2, 3, 5])
def test_it_is_higher_than_by_area_and_below_a_known_plan(number: int) -> None:
    """Boards of which some are narrow for most blanks; the plan leaves some of three out."""
    job = lumber(3, number, tight=False)
    problem = build(job.project.parts, job.boards, job.project.shop)
    used = {made.id for made, _ in job.known}
    known = sum(item.value for item in problem.stock if item.id in used) / problem.ticks
    assert float(whole_bound(problem) / problem.ticks) * 1.01 < by_sets(problem) <= known
