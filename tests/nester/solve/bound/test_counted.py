"""Pricing of plain sheets with counted copies: against every cut there is."""

from random import Random

import numpy as np
import pytest

from inventory.length import MM
from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound import counted
from nester.solve.bound.counted import CountedPricer, counted_pricer
from nester.solve.bound.ladder import BUDGETS, Rung, groups
from nester.solve.bound.pricing import PlatePricer
from nester.solve.plate.pieces import Wanted
from tests.bench.plates import Item, Plate, sheets_job
from tests.nester.maker import part, read, sheet, shop
from tests.nester.solve.plate.test_best import by_hand


def problem_of(plate: Plate, items: list[Item], *, kerf: int = 0, turn: bool = False) -> Problem:
    """Return the problem of cutting items from plates [units]."""
    project, stock = sheets_job("trial", [plate], items, kerf=kerf, turn=turn)
    return build(project.parts, stock, project.shop)


def pricer(problem: Problem) -> CountedPricer:
    """Return the pricer of the only kind of sheet."""
    copies = [d.copies for d in problem.demands]
    return CountedPricer(arrays(problem), 0, copies)


def drawn(rng: Random) -> tuple[Problem, list[Wanted]]:
    """Return a problem of one small sheet, and its blanks as they lie, kerf in them."""
    kerf, turn = rng.choice((0, 1)), rng.random() < 0.5
    plate = Plate(rng.randint(8, 11), rng.randint(7, 10))
    items = [
        Item(rng.randint(2, 6), rng.randint(2, 6), rng.randint(1, 3))
        for _ in range(rng.choice((2, 3)))
    ]
    problem = problem_of(plate, items, kerf=kerf, turn=turn)
    item = problem.stock[0]
    wanted = []
    for d, demand in enumerate(problem.demands):
        ways = [(o.length + item.kx, o.width + item.ky) for o in item.options if o.demand == d]
        wanted.append(Wanted(tuple(ways), 0, demand.copies))
    return problem, wanted


@pytest.mark.parametrize("seed", range(25))
def test_against_every_cut_there_is(seed: int) -> None:
    """At any prices, the value is the most that layouts of the wanted copies are worth."""
    rng = Random(seed)
    problem, wanted = drawn(rng)
    item = problem.stock[0]
    price = pricer(problem)
    for scale in (50, 10**11):
        prices = np.array([rng.randint(0, scale) for _ in wanted], np.int64)
        left = np.array([rng.randint(0, w.copies) for w in wanted], np.int64)
        valued = [
            Wanted(w.ways, int(p), int(n)) for w, p, n in zip(wanted, prices, left, strict=True)
        ]
        best = by_hand(item.nx + item.kx, item.ny + item.ky, valued)
        found = price(prices, 0, left)
        worth = int(found.counts.astype(np.int64) @ prices)
        assert (found.counts <= left).all()
        assert worth <= best <= found.value
        # Prices are rounded up to a part in 2^24 of the dearest, for each of a few blanks.
        assert found.value <= best + 100 * (int(prices.max()) // 2**24)
        assert worth >= best - 100 * (int(prices.max()) // 2**24)


def test_what_is_not_better_than_asked_is_not_found() -> None:
    """Where no layout is worth more than asked for, that is the value and nothing is found."""
    problem = problem_of(Plate(10, 10), [Item(6, 6, 1), Item(5, 4, 2)])
    price = pricer(problem)
    prices = np.array([d.area for d in problem.demands], np.int64)
    best = price(prices).value
    again = price(prices, best)
    assert (again.value, again.found) == (best, False)
    assert price(prices, best - 1).found


def test_with_little_work_the_bound_is_loose_and_true(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped at once, its value is no less than what it proves when it goes on to the end."""
    rng = Random(3)
    items = [Item(rng.randint(20, 60), rng.randint(20, 60), 2) for _ in range(12)]
    problem = problem_of(Plate(150, 120), items)
    prices = np.array([d.area for d in problem.demands], np.int64)
    whole = pricer(problem)(prices)
    monkeypatch.setattr(counted, "BUDGET", 0)
    hasty = pricer(problem)(prices)
    assert int(hasty.counts.astype(np.int64) @ prices) <= whole.value <= hasty.value
    assert hasty.work < whole.work


def test_what_was_cut_short_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked the same again and again, it proves no less each time, until it is proven.

    Other prices asked for meanwhile have no part in it, and it has none in them.
    """
    rng = Random(3)
    items = [Item(rng.randint(20, 60), rng.randint(20, 60), 2) for _ in range(12)]
    problem = problem_of(Plate(150, 120), items)
    prices = np.array([d.area // MM**2 for d in problem.demands], np.int64)
    other = prices + np.arange(len(prices))
    monkeypatch.setattr(counted, "BUDGET", 1_000)
    price = pricer(problem)
    at_once = price(other).value
    found = [price(prices)]
    while price.more():
        found.append(price(prices))
    values = [priced.value for priced in found]
    assert len(values) > 2
    assert values == sorted(values, reverse=True)
    assert values[-1] < values[0]
    assert values[-1] == int(found[-1].counts.astype(np.int64) @ prices)
    assert price(prices).work == 0
    assert price(other).value == at_once
    monkeypatch.setattr(counted, "BUDGET", 10**9)
    whole = pricer(problem)(prices)
    assert whole.value == values[-1]
    assert max(priced.work for priced in found) < whole.work


def test_what_was_cut_short_goes_on_only_for_what_is_worth_more() -> None:
    """Where less is enough than was asked for before, it begins anew and finds it."""
    problem = problem_of(Plate(10, 10), [Item(6, 6, 1), Item(5, 4, 2)])
    price = pricer(problem)
    prices = np.array([d.area for d in problem.demands], np.int64)
    best = pricer(problem)(prices).value
    assert not price(prices, best).found
    assert price(prices, 0).found
    again = price(prices, best)
    assert (again.value, again.found) == (best, False)


def test_later_rungs_count_copies() -> None:
    """The first rung repeats blanks without limit, the next takes each as often as wanted."""
    problem = problem_of(Plate(10, 10), [Item(6, 6, 1), Item(5, 4, 2)])
    found = arrays(problem)
    first, second = (
        Rung(problem, found, groups(problem), budget).pricers[0][0] for budget in BUDGETS[:2]
    )
    assert isinstance(first, PlatePricer)
    assert isinstance(second, CountedPricer)


def test_sheets_whose_offcuts_earn_credit_are_not_counted() -> None:
    """Where leftovers are worth something, the other pricing knows it and this one does not."""
    for credit, counts in (("0", True), ("0.5", False)):
        project, stock = read(
            sheet(length="20", width="16"),
            part(material="plywood", length="7", width="3", count=3),
            shop(offcut_credit=credit, grid="1", tape="1"),
        )
        problem = build(project.parts, stock, project.shop)
        copies = [demand.copies for demand in problem.demands]
        found = counted_pricer(arrays(problem), 0, problem.stock[0], copies)
        assert (found is not None) is counts


def test_sheets_with_too_many_positions_are_not_counted() -> None:
    """Where sums of sizes reach nearly every cell of a large sheet, a table would take too long."""
    for length, width, counts in ((200, 150, True), (2400, 1200, False)):
        problem = problem_of(Plate(length, width), [Item(31 + i, 17 + i, 30) for i in range(9)])
        copies = [demand.copies for demand in problem.demands]
        found = counted_pricer(arrays(problem), 0, problem.stock[0], copies)
        assert (found is not None) is counts
