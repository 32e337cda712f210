"""Which stock is filled next: boards of one width at one price for their size, told by length."""

from collections import Counter
from itertools import combinations

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.candidates import LISTED, Candidates, offcut_cells
from nester.solve.columns import column
from nester.solve.plans import Draft, draft
from nester.solve.rows import Blank, Row
from tests.nester.maker import board, part, read, shop

LENGTHS = (30, 40, 50, 100)


def job(lengths: tuple[int, ...] = LENGTHS, credit: float = 0) -> tuple[Problem, Arrays]:
    """Return boards 6 in wide and four blanks that need 1 ft of them and more."""
    stock = "".join(
        board(f"B-{i:02}", length=str(n), width="6", price=n) for i, n in enumerate(lengths)
    )
    project, items = read(
        stock, part(length="18", width="2 1/2", count=4), shop(grid="1/2", offcut_credit=credit)
    )
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def plan_on(problem: Problem, stock: int, length: int) -> Draft:
    """Return a plan that saws one blank off a board and leaves what is past ``length`` in one."""
    option = problem.stock[stock].options[0]
    strip = Row("x", ((0, option.length, Blank(0)),))
    section = Row("y", ((0, option.width, strip),))
    row = Row("x", ((0, length, section),))
    return draft(problem, [column(problem, stock, row)])


def able(
    problem: Problem, found: Arrays, candidates: Candidates, most: int
) -> set[tuple[int, ...]]:
    """Return all sets that have room and cost less than ``most``, one after another."""
    pieces = range(len(problem.stock))
    sets = (s for size in range(1, len(pieces) + 1) for s in combinations(pieces, size))
    room = {s: sum(int(found.room[i]) for i in s) for s in sets}
    cost = {s: sum(problem.stock[i].value for i in s) for s in room}
    return {s for s in room if room[s] >= candidates.taken and cost[s] < most}


def test_all_sets_that_cost_less_come_in_turn() -> None:
    """Each set filled in vain goes behind the others, so all come once before one comes again."""
    problem, found = job()
    candidates = Candidates(problem, found)
    best = plan_on(problem, 3, 198)
    expected = able(problem, found, candidates, best.cost)
    rng = np.random.default_rng(1)
    seen = Counter[tuple[int, ...]]()
    for _ in range(3 * len(expected)):
        chosen = candidates.next(best, (), rng)
        assert chosen is not None
        candidates.give_up(chosen)
        seen[chosen] += 1
    assert set(seen) <= expected
    roomiest = max(expected, key=lambda s: int(found.room[list(s)].sum()))
    assert seen[roomiest] >= 1


def test_sets_that_are_proven_too_dear_are_left_out() -> None:
    """All sets but that of 40 and 50 are proven to cost what the best plan does."""
    problem, found = job()
    candidates = Candidates(problem, found)
    best = plan_on(problem, 3, 198)
    proven = np.full(2 ** len(LENGTHS), float(best.cost))
    proven[0b0110] = 0.5 * best.cost
    candidates.told(proven)
    rng = np.random.default_rng(1)
    assert {candidates.next(best, (), rng) for _ in range(20)} == {(1, 2)}
    assert candidates.hopeless((0, 2), best)
    assert not candidates.hopeless((1, 2), best)


def told(room_to_spare: dict[int, float]) -> tuple[Candidates, Draft]:
    """Return candidates and a plan that costs the price of 100 in.

    The sets named, a bit a board, are proven to cost a share less than their price; others too
    much.
    """
    problem, found = job()
    candidates = Candidates(problem, found)
    best = plan_on(problem, 3, 198)
    proven = np.full(2 ** len(LENGTHS), np.inf)
    for number, over in room_to_spare.items():
        price = sum(candidates.value[i] for i in range(len(LENGTHS)) if number >> i & 1)
        proven[number] = (1 - over) * price
    candidates.told(proven)
    return candidates, best


def test_what_promises_to_save_most_comes_first() -> None:
    """Of 30 and 20 the first is saved before the other, then half of 30 before half of 20."""
    candidates, best = told({0b0011: 0.15, 0b0101: 0.15})
    rng = np.random.default_rng(1)
    came = []
    for _ in range(3):
        chosen = candidates.next(best, (), rng)
        assert chosen is not None
        candidates.give_up(chosen)
        came.append(chosen)
    assert came == [(0, 1), (0, 2), (0, 1)]


def test_a_set_with_nothing_to_spare_comes_after_those_that_save_less() -> None:
    """50 in alone saves half, but is proven to cost next to all that it does."""
    candidates, best = told({0b0110: 0.15, 0b0100: 0.001})
    assert candidates.next(best, (), np.random.default_rng(1)) == (1, 2)


def test_a_set_that_is_under_way_comes_later() -> None:
    """Of sets that save 30 and 20 the first one comes once; half of 30 is less than 20."""
    candidates, best = told({0b0011: 0.15, 0b0101: 0.15})
    rng = np.random.default_rng(1)
    assert candidates.next(best, (), rng) == (0, 1)
    assert candidates.next(best, [(0, 1)], rng) == (0, 2)


def test_a_board_that_left_blanks_out_makes_its_sets_less_promising() -> None:
    """30 and 40 save most, but 30 alone held less than it should: 40 and 50 come first."""
    candidates, best = told({0b0001: 0.05, 0b0011: 0.05, 0b0110: 0.05})
    rng = np.random.default_rng(1)
    assert candidates.next(best, (), rng) == (0, 1)
    for _ in range(5):
        candidates.tried((0,), 0.3)
    assert candidates.next(best, (), rng) == (1, 2)


def test_what_is_left_out_promises_less() -> None:
    """With nothing left out a set promises all that it saves, and half once filled in vain."""
    candidates, best = told({0b0011: 0.15})
    assert candidates.promises((0, 1), 0.0, best) == best.cost - sum(candidates.value[:2])
    assert candidates.promises((0, 1), 0.01, best) < candidates.promises((0, 1), 0.005, best)
    candidates.give_up((0, 1))
    assert candidates.promises((0, 1), 0.0, best) == (best.cost - sum(candidates.value[:2])) / 2


def test_nothing_costs_less_than_the_cheapest() -> None:
    """The cheapest set with room for 4 x 37 x 6 cells is 40 in alone, 81 x 13 cells."""
    problem, found = job()
    best = plan_on(problem, 1, 78)
    assert Candidates(problem, found).next(best, (), np.random.default_rng(1)) is None


@pytest.mark.parametrize("pieces", [LISTED, LISTED + 1])
def test_listed_or_drawn_it_costs_less_and_has_room(pieces: int) -> None:
    """Twelve boards are listed, thirteen drawn; a set has room for the blanks either way."""
    problem, found = job((100, *[20 + i for i in range(pieces - 1)]))
    candidates = Candidates(problem, found)
    assert (candidates.listed is None) is (pieces > LISTED)
    best = plan_on(problem, 0, 198)
    for seed in range(10):
        chosen = candidates.next(best, (), np.random.default_rng(seed))
        assert chosen is not None
        assert sum(problem.stock[s].value for s in chosen) < best.cost
        assert int(found.room[list(chosen)].sum()) >= candidates.taken


def test_offcuts_that_are_kept_are_not_left_over() -> None:
    """Blanks take 4 x 37 x 6 cells of 201 x 13, a kerf more than there are, along and across.

    A strip beside the blank is kept, 6 x 198 cells; or it is 6 x 99, and 100 x 12 behind it too.
    """
    problem, found = job(credit=0.5)
    candidates = Candidates(problem, found)
    whole, cut = plan_on(problem, 3, 198), plan_on(problem, 3, 99)
    assert offcut_cells(problem, whole.columns[0]) == 6 * 198
    assert offcut_cells(problem, cut.columns[0]) == 6 * 99 + 100 * 12
    assert candidates.left_over(whole) == pytest.approx(1 - 888 / (201 * 13 - 6 * 198))
    assert candidates.left_over(cut) == 0
