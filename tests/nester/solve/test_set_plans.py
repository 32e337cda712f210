"""Whole plans on sets of few boards: boards of one width at a price of their length."""

from concurrent.futures import ThreadPoolExecutor
from itertools import combinations

import numpy as np

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.improve import Attempt
from nester.solve.offered import classes_of
from nester.solve.pack import Manner
from nester.solve.plans import Draft
from nester.solve.set_plans import LISTED, SEARCHES, SetPlans, set_plans
from nester.solve.widen import whole_plan
from tests.nester.maker import board, part, read, shop

LENGTHS = (30, 40, 50, 100)
PLENTY = 10**12


def job(lengths: tuple[int, ...] = LENGTHS, credit: float = 0) -> tuple[Problem, Arrays]:
    """Return boards 6 in wide and four blanks, of which two lie side by side in 18 in and more."""
    stock = "".join(
        board(f"B-{i:02}", length=str(n), width="6", price=n) for i, n in enumerate(lengths)
    )
    wanted = part(length="18", width="2 1/2", count=4)
    project, items = read(stock, wanted, shop(grid="1/2", offcut_credit=credit))
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def plan(problem: Problem, found: Arrays, stock: tuple[int, ...]) -> Attempt:
    """Return what one narrow search on a set of boards comes to."""
    weight = np.ones(len(problem.demands))
    holds = np.bincount(stock, minlength=len(problem.stock)).astype(np.int16)
    order = classes_of(found, stock)
    return whole_plan(problem, found, weight, order, Manner(50), np.inf, holds)


def chosen(sets: SetPlans, best: Draft) -> tuple[int, ...]:
    """Return the set that comes next."""
    i = sets.next(best)
    assert i is not None
    return sets.stocks[i]


def test_every_set_with_room_is_listed_once() -> None:
    """Of all sets of four boards those with room for the blanks, told by their area and kerfs."""
    problem, found = job()
    taken = int(found.takes @ np.array([4]))
    every = [s for n in range(5) for s in combinations(range(4), n)]
    with_room = {s for s in every if sum(int(found.room[i]) for i in s) >= taken}
    assert len(with_room) < len(every) - 1  # a board of 30 in has none
    sets = SetPlans(problem, found)
    assert sorted(sets.stocks) == sorted(with_room)


def test_a_plan_keeps_to_its_boards() -> None:
    """It comes out on a board that is long enough, and on one that is not it leaves blanks out."""
    problem, found = job()
    on_long, on_short = plan(problem, found, (3,)), plan(problem, found, (0,))
    assert on_long.draft.complete
    assert {column.stock for column in on_long.draft.columns} == {3}
    assert on_short.draft.missing == (2,)


def test_a_dearer_board_counts_where_its_offcut_comes_back() -> None:
    """The board of 100 costs more than a plan on that of 50; with an offcut of two thirds less."""
    for credit, able in ((0.0, False), (0.9, True)):
        problem, found = job((50, 100), credit)
        best = plan(problem, found, (0,)).draft
        assert best.complete
        assert problem.stock[1].value > best.cost
        sets = SetPlans(problem, found)
        expected = dict(zip(sets.stocks, sets.expected(best), strict=True))
        assert bool(np.isfinite(expected[1,])) is able


def test_a_set_that_leaves_blanks_out_goes_behind_others() -> None:
    """That of 40 is expected to cost least, and once it has failed that of 50."""
    problem, found = job()
    sets = SetPlans(problem, found)
    best = plan(problem, found, (3,)).draft
    assert chosen(sets, best) == (1,)
    sets.under_way = [sets.stocks.index((1,))]
    sets.end([plan(problem, found, (0,))])  # half of the blanks left out
    assert chosen(sets, best) == (2,)


def test_what_a_set_has_cost_is_what_it_is_expected_to_cost() -> None:
    """Little more each time that it is searched, so that one as cheap has its turn."""
    problem, found = job((40, 40, 100))
    sets = SetPlans(problem, found)
    best = plan(problem, found, (2,)).draft
    seen = []
    for _ in range(4):
        seen.append(chosen(sets, best))
        sets.under_way = [sets.stocks.index(seen[-1])]
        sets.end([plan(problem, found, seen[-1])])
    assert sorted(seen) == [(0,), (0,), (1,), (1,)]


def test_searches_keep_to_their_share_of_the_effort() -> None:
    """None without effort, a round's number with plenty, and none where no set can cost less."""
    problem, found = job()
    best = plan(problem, found, (3,)).draft
    weight = np.ones(1)
    with ThreadPoolExecutor(1) as pool:
        sets = SetPlans(problem, found)
        assert sets.begin(pool, best, weight, 0, 0, 1) == []
        jobs = sets.begin(pool, best, weight, 0, PLENTY, 1)
        assert len(sets.under_way) == len(jobs) == SEARCHES
        sets.end([made.result() for made in jobs])
        assert sets.spent > 0
        assert not sets.under_way
        assert min(made.result().draft.cost for made in jobs) < best.cost
        cheapest = plan(problem, found, (1,)).draft
        assert sets.begin(pool, cheapest, weight, 0, PLENTY, 1) == []


def test_sets_of_many_boards_are_not_listed() -> None:
    """They are planned otherwise."""
    few, many = (40,) * LISTED, (40,) * (LISTED + 1)
    assert set_plans(*job(few)) is not None
    assert set_plans(*job(many)) is None
