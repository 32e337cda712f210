"""Whole plans by ever wider beams."""

from dataclasses import replace

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.candidates import Candidates
from nester.solve.improve import Attempt
from nester.solve.pack import Manner
from nester.solve.plans import Draft, draft
from nester.solve.widen import (
    MANNERS,
    MANNERS_OF_BOARDS,
    MOST_NODES,
    NARROWEST,
    Widening,
    whole_plan,
)
from tests.bench.plates import Item, Plate, sheets_job
from tests.nester.maker import board, part, read, shop

# Two plates of 20 by 10 without waste: 20x4 over 8x6 and 12x6; 5x10 beside 15x5 over 15x5.
JIGSAW = [Item(20, 4), Item(8, 6), Item(12, 6), Item(5, 10), Item(15, 5, 2)]


def trial(items: list[Item]) -> tuple[Problem, Arrays, Widening]:
    """Return the job of cutting items from plates of 20 by 10, and the searches to come."""
    project, stock = sheets_job("trial", [Plate(20, 10)], items)
    problem = build(project.parts, stock, project.shop)
    found = arrays(problem)
    order = np.arange(len(found.directions), dtype=np.int32)
    return problem, found, Widening(problem, found, order)


def manners(count: int) -> list[Manner]:
    """Return how the first so many searches of the jigsaw go."""
    problem, _, widening = trial(JIGSAW)
    nothing = draft(problem, ())
    return [widening.next(nothing, i)[1] for i in range(count)]


def searched(items: list[Item], limit: float) -> tuple[Problem, Attempt]:
    """Return what the first search comes to while less than ``limit`` plates are paid for."""
    problem, found, widening = trial(items)
    weight = np.array([d.area for d in problem.demands], np.float64)
    most = limit * problem.stock[0].value
    order, manner = widening.next(draft(problem, ()), 0)
    return problem, whole_plan(problem, found, weight / weight.sum(), order, manner, most)


def test_a_jigsaw_of_two_plates_comes_out() -> None:
    """Blanks cut from two plates without waste go onto two plates again, every copy of them."""
    problem, made = searched(JIGSAW, 3)
    assert made.draft.complete
    assert made.draft.cost == 2 * problem.stock[0].value
    assert made.work > 0


def test_a_search_ends_where_it_would_cost_too_much() -> None:
    """Once one plate is paid for and no more may be, the second is begun at the most."""
    _, made = searched(JIGSAW, 1)
    assert not made.draft.complete
    assert [sum(column.counts) for column in made.draft.columns[1:]] in ([], [1])


def test_each_manner_has_its_turn_before_the_beam_is_wider() -> None:
    """As many searches as there are manners keep the same number of nodes, the next twice it."""
    widths = [manner.width for manner in manners(len(MANNERS) + 1)]
    assert widths == [NARROWEST] * len(MANNERS) + [2 * NARROWEST]


def test_memory_is_bounded() -> None:
    """However often it is widened, a search keeps no more nodes than are allowed."""
    made = manners(200)
    blanks = sum(item.copies for item in JIGSAW)
    assert max(manner.width for manner in made) * blanks <= MOST_NODES
    assert made[-1].noise > 0 == made[0].noise  # what would be the same again is shaken


def boards() -> tuple[Problem, Arrays, Draft]:
    """Return the job of four blanks that fill about 40 in of board, and a plan on 100 in."""
    stock = "".join(board(f"B-{n}", length=str(n), width="6", price=n) for n in (30, 40, 50, 100))
    project, items = read(stock, part(length="18", width="2 1/2", count=4), shop(grid="1/2"))
    problem = build(project.parts, items, project.shop)
    found = arrays(problem)
    order = range(len(found.directions))
    last = np.array([c for c in order if found.directions[c].stock == 3], np.int32)
    narrow = replace(MANNERS_OF_BOARDS[0], width=9)
    return problem, found, whole_plan(problem, found, np.ones(1), last, narrow, np.inf).draft


@pytest.mark.parametrize("seed", range(10))
def test_boards_are_offered_that_the_blanks_would_use_up(seed: int) -> None:
    """They hold the four blanks and cost no more than the 100 in that hold them now."""
    problem, found, now = boards()
    assert now.complete
    order = np.arange(len(found.directions), dtype=np.int32)
    classes, manner = Widening(problem, found, order).next(now, seed)
    offered = {found.directions[c].stock for c in classes}
    room = sum(int(found.room[s]) for s in offered)
    assert room >= int(found.takes @ [d.copies for d in problem.demands])
    assert sum(problem.stock[s].value for s in offered) <= problem.stock[3].value
    assert manner.open_most == len(classes)


def test_boards_that_promise_most_come_now_and_then() -> None:
    """All but the 50 in are proven to cost too much, so it comes alone, unless boards are drawn."""
    problem, found, now = boards()
    candidates = Candidates(problem, found)
    proven = np.full(16, float(now.cost))
    proven[0b0100] = 0.5 * problem.stock[2].value
    candidates.told(proven)
    widening = Widening(
        problem, found, np.arange(len(found.directions), dtype=np.int32), candidates
    )
    for seed in range(20):
        before = len(widening.searched)
        classes, manner = widening.next(now, seed)
        if len(widening.searched) > before:
            assert {found.directions[c].stock for c in classes} == {2}
        assert manner.open_most == len(classes)
    assert widening.searched == [(2,)] * len(widening.searched)
    assert 0 < len(widening.searched) < 20
