"""The bound by whole pieces, by pencil and by trying all sets of stock."""

from collections.abc import Callable
from itertools import product
from typing import TypeAlias

import pytest

from nester.problem import Problem, build
from nester.solve.bound.area import area_bound
from nester.solve.bound.bought import Bought
from nester.solve.bound.whole import whole_bound
from tests.bench.rough import lumber
from tests.nester.maker import board, part, read, shop
from tests.oracle.cases import case
from tests.oracle.planner import best_plan

Bound: TypeAlias = Callable[[Problem], int]


def by_area(problem: Problem) -> int:
    """Return the bound by area without kerfs."""
    return area_bound(problem).bound


def by_area_with_kerfs(problem: Problem) -> int:
    """Return it with kerfs."""
    return area_bound(problem, kerfs=True).bound


def by_sets(problem: Problem) -> int:
    """Return the bound by sets of boards after some steps, which it is at every moment."""
    bought = Bought(problem)
    for _ in range(STEPS_OF_SETS):
        if not bought.done:
            bought.step()
    return bought.bound


QUICK = (by_area, by_area_with_kerfs, whole_bound, by_sets)

STEPS_OF_SETS = 16


def by_pieces(stock: str, parts: str, **keys: float) -> float:
    """Return the bound for boards on whole inches, sawn with a kerf of one inch [money]."""
    habits = shop(**{"grid": "1", "tape": "1", "offcut_credit": 0, "flaw_margin": 0, **keys})
    project, items = read(stock, parts, habits)
    problem = build(project.parts, items, project.shop)
    return float(whole_bound(problem) / problem.ticks)


def test_a_little_over_one_board_costs_two() -> None:
    """Three blanks of 20 x 6 are 63 x 7 with their kerfs, a board 61 x 7: by area $61.97."""
    stock = board() + board("M-2", price=70)
    assert by_pieces(stock, part(width="6", count=3)) == pytest.approx(130, rel=1e-6)


def test_what_is_left_of_whole_boards_earns_its_credit() -> None:
    """Of 2 x 61 x 7 cells those blanks take 63 x 7; the rest may earn half of $60 / 360 each."""
    stock = board() + board("M-2")
    found = by_pieces(stock, part(width="6", count=3), offcut_credit=0.5)
    assert found == pytest.approx(120 - (2 * 61 * 7 - 63 * 7) * 0.5 * 60 / 360, rel=1e-6)


def test_stock_too_small_proves_nothing() -> None:
    assert by_pieces(board(), part(width="6", count=4)) == 0


def test_the_cheapest_set_is_found() -> None:
    """Boards of many lengths and prices, one or two of each, against all sets of them.

    A set has room where its boards, longer and wider by a kerf, come to the area of the blanks.
    """
    sizes = ((31, 24, 2), (43, 41, 1), (52, 44, 2), (70, 66, 2), (97, 88, 1))
    stock = "".join(
        board(f"M-{i}", length=f"{long}", price=price, count=count)
        for i, (long, price, count) in enumerate(sizes)
    )
    for number in range(1, 20):
        need = number * 21 * 4
        least = min(
            (
                sum(n * price for n, (_, price, _) in zip(taken, sizes, strict=True))
                for taken in product(*(range(count + 1) for *_, count in sizes))
                if sum(n * (long + 1) * 7 for n, (long, *_) in zip(taken, sizes, strict=True))
                >= need
            ),
            default=0,
        )
        # Fifteen millionths of the area are lost to rounding at the most.
        assert by_pieces(stock, part(count=number)) == pytest.approx(least, rel=1e-6)


@pytest.mark.parametrize("m", [1, 2, 3, 6])
@pytest.mark.parametrize("bound", QUICK)
def test_no_quick_bound_is_above_a_known_plan(bound: Bound, m: int) -> None:
    """Boards cut up with next to nothing lost (94 % are parts, most of the rest is kerf)."""
    for number in range(1, 16):
        job = lumber(m, number, tight=True)
        problem = build(job.project.parts, job.boards, job.project.shop)
        used = {made.id for made, _ in job.known}
        known = sum(item.value for item in problem.stock if item.id in used)
        assert 0 < bound(problem) <= known


@pytest.mark.parametrize("first", range(0, 60, 20))
@pytest.mark.parametrize("bound", QUICK)
def test_no_quick_bound_is_above_the_best_plan(bound: Bound, first: int) -> None:
    """Tapered, crooked and flawed stock, offcuts with a credit: an exhaustive planner's plans."""
    proven = 0
    for seed in range(first, first + 20):
        asked = case(seed)
        best = best_plan(asked.parts, asked.stock, asked.shop)
        problem = build(asked.parts, asked.stock, asked.shop)
        if best.missing == 0:
            found = float(bound(problem) / problem.ticks)
            assert found <= best.cost + 1e-6, f"case {seed}"
            proven += found > 0
    assert proven
