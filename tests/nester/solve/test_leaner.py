"""Plans on less stock: boards of whole inches whose blanks fill them, told by their length."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.improve import LEAST_WORK, Attempt
from nester.solve.leaner import FEW, PLACINGS, Leaner, empty, filled
from nester.solve.plans import Draft, draft
from nester.solve.widen import MANNERS_OF_BOARDS, whole_plan
from tests.nester.maker import board, part, read, shop

LENGTHS = (30, 40, 50, 100)


def job() -> tuple[Problem, Arrays]:
    """Return boards of one width, at one price for their size, and four blanks for them."""
    stock = "".join(board(f"B-{n}", length=str(n), width="6", price=n) for n in LENGTHS)
    project, items = read(
        stock, part(length="18", width="2 1/2", count=4), shop(grid="1/2", offcut_credit=0)
    )
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def on_the_longest(problem: Problem, found: Arrays) -> Draft:
    """Return a plan of all blanks on the board of 100 in."""
    last = [c for c, d in enumerate(found.directions) if d.stock == 3]
    narrow = replace(MANNERS_OF_BOARDS[0], width=9)
    order = np.array(last, np.int32)
    made = whole_plan(problem, found, np.ones(1), order, narrow, np.inf).draft
    assert made.complete
    return made


@pytest.mark.parametrize("seed", range(6))
def test_all_blanks_come_to_lie_on_boards_that_cost_less(seed: int) -> None:
    """What lies on 100 in has room on 30 and 40 or on 50: some of a few rounds find it."""
    problem, found = job()
    best = on_the_longest(problem, found)
    leaner = Leaner(problem, found)
    made: list[Attempt] = []
    with ThreadPoolExecutor(1) as pool:
        for i in range(8):
            jobs = leaner.begin(pool, best, np.ones(1), 10**12, 100 * seed + i)
            assert len(jobs) <= FEW.slots
            made += leaner.end([each.result() for each in jobs])
            assert leaner.end([]) == []  # a round may begin none
    done = [attempt.draft for attempt in made if attempt.draft.complete]
    assert done
    assert all(plan.cost < best.cost for plan in done)


def test_nothing_is_begun_beyond_its_share_of_effort() -> None:
    """Once more was spent than its share of all there was, it waits."""
    problem, found = job()
    best = on_the_longest(problem, found)
    leaner = Leaner(problem, found)
    leaner.spent = 10
    with ThreadPoolExecutor(1) as pool:
        assert leaner.begin(pool, best, np.ones(1), 10, 1) == []


def test_where_no_stock_costs_less_there_is_nothing_to_fill() -> None:
    """A plan that costs nothing cannot be made cheaper."""
    problem, found = job()
    leaner = Leaner(problem, found)
    assert not leaner.next(0, draft(problem, ()), 1)


def test_what_does_not_fit_is_left_out_and_little_of_it() -> None:
    """On 30 in there is room for one blank beside another, so for two of the four."""
    problem, found = job()
    now = empty(problem, (0,))
    came = filled(problem, found, np.ones(1), now, FEW.widths, PLACINGS, 1)
    assert came.filling.draft.missing == (2,)
    assert came.filling.stock == (0,)
    assert came.filling.left == 2 * problem.demands[0].area
    # However little a search of two blanks takes, a job of them comes to its end.
    assert len(came.columns) <= PLACINGS // LEAST_WORK + 1


def test_what_the_first_search_leaves_out_is_told() -> None:
    """On 30 in two of four blanks find room, in the first search as in those after it."""
    problem, found = job()
    nothing = empty(problem, (0,))
    came = filled(problem, found, np.ones(1), nothing, FEW.widths, 1, 1)
    assert came.first == came.filling.left == 2 * problem.demands[0].area


def test_a_filling_gives_way_to_a_set_that_promises_more() -> None:
    """On 30 in half is left out; 40 and 50 are proven to cost a fifth less than their price."""
    problem, found = job()
    best = on_the_longest(problem, found)
    leaner = Leaner(problem, found)
    leaner.fillings[0] = filled(
        problem, found, np.ones(1), empty(problem, (0,)), FEW.widths, 1, 1
    ).filling
    assert leaner.next(0, best, 1)
    assert leaner.fillings[0].stock == (0,)
    proven = np.full(2 ** len(LENGTHS), np.inf)
    proven[0b0001] = 0.0
    proven[0b0110] = 0.8 * sum(problem.stock[s].value for s in (1, 2))
    leaner.candidates.told(proven)
    assert leaner.next(0, best, 1)
    assert leaner.fillings[0].stock == (1, 2)
    assert leaner.candidates.vain[(0,)] == 1
