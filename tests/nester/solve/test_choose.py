"""Choosing among layouts: the integer programme against every choice there is."""

import random
from fractions import Fraction
from itertools import product
from typing import Any, cast

import numpy as np
import pytest

from nester.problem import Demand, Problem, StockItem
from nester.solve.choose import choose
from nester.solve.columns import Column


def board(name: str, count: int) -> StockItem:
    """Return a plain piece of stock; only how many there are of it matters here."""
    none = np.zeros((0, 4), np.int32)
    sizes: dict[str, Any] = {
        "nx": 100, "ny": 10, "x0": 0, "x1": 100, "kx": 1, "ky": 1,
        "near": np.zeros(101, np.int32), "blocks": (), "metal": none, "options": (),
        "first_x": True, "first_y": False, "stages": 3, "rip_min": -1,
        "off_length": 12, "off_width": 3, "off_either": False,
        "credit": np.zeros((11, 101), np.int32), "value": 100, "cell_credit": 0,
        "beyond": 0, "square": True, "far": 10,
    }  # fmt: skip
    return StockItem(id=name, board=True, count=count, **sizes)


def problem(copies: list[int], counts: list[int]) -> Problem:
    """Return a problem of so many copies of each demand and so many pieces of each stock item."""
    demands = tuple(Demand(((f"part {d}", 1),), n, 1) for d, n in enumerate(copies))
    stock = tuple(board(f"B-{s}", n) for s, n in enumerate(counts))
    return Problem(1, Fraction(100), demands, stock)


def layout(stock: int, counts: tuple[int, ...], cost: int) -> Column:
    """Return a layout of a stock item that gives so many of each demand at a cost."""
    return Column(stock, cast(Any, None), counts, cost)


def cheapest(asked: Problem, columns: list[Column]) -> int | None:
    """Return the least cost over every choice, None where none gives all demands."""
    best: int | None = None
    ranges = [range(asked.stock[column.stock].count + 1) for column in columns]
    for times in product(*ranges):
        used = [0] * len(asked.stock)
        given = [0] * len(asked.demands)
        for n, column in zip(times, columns, strict=True):
            used[column.stock] += n
            given = [g + n * c for g, c in zip(given, column.counts, strict=True)]
        if any(u > item.count for u, item in zip(used, asked.stock, strict=True)):
            continue
        if any(g < demand.copies for g, demand in zip(given, asked.demands, strict=True)):
            continue
        cost = sum(n * column.cost for n, column in zip(times, columns, strict=True))
        best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("seed", range(25))
def test_the_choice_is_the_cheapest_there_is(seed: int) -> None:
    """Of random layouts the cheapest choice that is enough is found, or that there is none."""
    chance = random.Random(seed)
    asked = problem([chance.randint(1, 3) for _ in range(3)], [chance.randint(1, 2) for _ in "abc"])
    columns = [
        layout(s, tuple(chance.randint(0, 2) for _ in range(3)), chance.randint(20, 90))
        for s in (0, 0, 1, 1, 2, 2, 2)
    ]
    best = cheapest(asked, columns)
    chosen = choose(asked, columns, seconds=20, nodes=1000).columns
    if best is None:
        assert chosen is None
        return
    assert chosen is not None
    assert sum(column.cost for column in chosen) == best
    for s, item in enumerate(asked.stock):
        assert sum(column.stock == s for column in chosen) <= item.count
    for d, demand in enumerate(asked.demands):
        assert sum(column.counts[d] for column in chosen) >= demand.copies


def test_a_demand_that_no_layout_gives_has_no_choice() -> None:
    """Nothing is chosen where a blank is in none of the layouts."""
    asked = problem([1, 1], [1])
    assert choose(asked, [layout(0, (1, 0), 50)], seconds=20, nodes=10).columns is None


def test_copies_of_one_board_may_be_cut_alike() -> None:
    """One layout may be used as often as there are copies of its stock item."""
    asked = problem([4], [2])
    chosen = choose(
        asked, [layout(0, (2,), 50), layout(0, (1,), 10)], seconds=20, nodes=100
    ).columns
    assert chosen is not None
    assert [column.cost for column in chosen] == [50, 50]


def test_what_costs_as_much_is_of_no_interest() -> None:
    """With a plan at hand only a cheaper choice is asked for."""
    asked = problem([2], [2])
    columns = [layout(0, (2,), 50), layout(0, (1,), 20)]
    found = choose(asked, columns, seconds=20, nodes=100, under=41).columns
    assert found is not None
    assert sum(column.cost for column in found) == 40
    assert choose(asked, columns, seconds=20, nodes=100, under=40).columns is None


def test_what_is_too_dear_is_left_out_at_once() -> None:
    """With a cost to stay under, layouts of no use are not chosen among, and work is counted."""
    asked = problem([2, 2], [3])
    columns = [layout(0, (1, 1), 10), layout(0, (1, 0), 9), layout(0, (0, 1), 9)]
    found = choose(asked, columns, seconds=20, nodes=100, under=21)
    assert found.columns == [columns[0], columns[0]]
    assert found.work > 0
    most = choose(asked, columns, seconds=20, nodes=100, under=20)
    assert most.columns is None
    assert most.work <= found.work


def test_few_are_chosen_from_and_prove_nothing() -> None:
    """Only layouts of the least reduced cost are looked at; that they do not do is no proof."""
    asked = problem([1, 1], [1, 1])
    columns = [layout(0, (1, 0), 10), layout(1, (0, 1), 30), layout(1, (1, 0), 50)]
    found = choose(asked, columns, seconds=20, nodes=100, under=100, most=2)
    assert found.columns == columns[:2]
    one = choose(asked, columns, seconds=20, nodes=100, under=100, most=1)
    assert one.columns is None
    assert not one.none
    # That no choice costs less than 40 holds however few are looked at.
    assert choose(asked, columns, seconds=20, nodes=100, under=40, most=1).none


@pytest.mark.parametrize("seed", range(10))
def test_a_choice_near_the_cheapest_is_near_enough(seed: int) -> None:
    """With a fifth allowed for, the choice costs at most a quarter more than the cheapest."""
    chance = random.Random(seed)
    asked = problem([2, 2, 2], [2, 2, 2])
    columns = [
        layout(s, tuple(chance.randint(0, 2) for _ in range(3)), chance.randint(20, 90))
        for s in (0, 0, 1, 1, 2, 2, 2)
    ]
    best = cheapest(asked, columns)
    chosen = choose(asked, columns, seconds=20, nodes=1000, near=0.2).columns
    assert (chosen is None) == (best is None)
    if chosen is not None and best is not None:
        assert best <= sum(column.cost for column in chosen) <= best / (1 - 0.2)
