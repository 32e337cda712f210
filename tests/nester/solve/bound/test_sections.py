"""What a layout may be worth: pricing is never below the best layout that there is.

The best one is known from the exhaustive planner: for each set of blanks the most sound wood that
can be kept. A pricer may think of more blanks than are asked for and of layouts that cannot be
sawn, so it may be above; below it, bounds would be wrong.
"""

from random import Random

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import BUDGETS, Budget, Rung, groups
from nester.solve.bound.level import UNKNOWN, Level, Rough
from nester.solve.bound.sections import SectionPricer
from nester.solve.bound.sizes import largest_steps
from tests.oracle.cases import Case, case
from tests.oracle.cutting import Sawyer, Sets, sets_of


def worth(asked: Case, problem: Problem, s: int, sets: Sets, prices: "np.ndarray") -> float:
    """Return what the best layout of a stock item is worth at prices, its offcuts' credit in it."""
    item = problem.stock[s]
    stock = next(one for one in asked.stock if one.id == item.id)
    kept = Sawyer(asked.parts, stock, asked.shop, sets).best()
    owner = {name: d for d, demand in enumerate(problem.demands) for name, _ in demand.parts}
    each = np.array([prices[owner[part.name]] if part.name in owner else 0 for part in asked.parts])
    blanks = np.array(sets.counts, np.float64) @ each
    values = blanks + item.cell_credit * kept / problem.grid**2
    # A board that no blank is taken from costs nothing, so earns nothing.
    return float(values[1:][kept[1:] >= 0].max(initial=-np.inf))


KINDS = ({"plain": True}, {"usual": True}, {})


@pytest.mark.parametrize("kind", KINDS, ids=["plain", "usual", "wild"])
@pytest.mark.parametrize("first", range(0, 60, 10))
def test_never_below_the_best_layout(first: int, kind: dict[str, bool]) -> None:
    """At any prices, on every rung of exactness, and however little work is allowed."""
    for seed in range(first, first + 10):
        rng = Random(seed)
        asked = case(seed, **kind)
        problem = build(asked.parts, asked.stock, asked.shop)
        if not problem.stock:
            continue
        found, alike, sets = arrays(problem), groups(problem), sets_of(asked.parts)
        small = (Budget(1e3, flaws=False), Budget(2e4))
        rungs = [Rung(problem, found, alike, budget) for budget in (*small, *BUDGETS[:3])]
        for scale in (0.02, 0.1, 0.3, 1.0):
            top = max(item.value for item in problem.stock) * scale
            prices = np.array([int(rng.random() * top) for _ in problem.demands], np.int64)
            for g, group in enumerate(alike):
                least = worth(asked, problem, group[0], sets, prices)
                for rung in rungs:
                    values = [int(price(prices).value) for price in rung.pricers[g]]
                    if values and least > 0:
                        slack = 1e-6 * problem.stock[group[0]].value
                        assert max(values) >= least - slack, f"case {seed}, {asked.stock[g].id}"


@pytest.mark.parametrize("kind", KINDS, ids=["plain", "usual", "wild"])
@pytest.mark.parametrize("first", range(0, 60, 20))
def test_coarse_to_fine_misses_nothing(first: int, kind: dict[str, bool]) -> None:
    """Levels one after another find what a fine one finds that looks everywhere, or a bound."""
    for seed in range(first, first + 20):
        rng = Random(seed)
        asked = case(seed, **kind)
        problem = build(asked.parts, asked.stock, asked.shop)
        found = arrays(problem)
        for cls, direction in enumerate(found.directions):
            item = problem.stock[direction.stock]
            if not item.board or item.beyond > 0:
                continue  # a level alone may count wood beyond the last whole cells twice
            most, _ = largest_steps(found, cls, item)
            chain = [(step, 1) for step in (4, 2, 1) if step <= most]
            levels = SectionPricer(found, cls, item, len(problem.demands), chain)
            at_once = Level(found, cls, item, 1, 1)
            unknown = np.full(at_once.tables.nu + 1, UNKNOWN, np.int64)
            for share in (0.0, 0.5, 0.9, 1.0, 1.1):
                prices = np.array([rng.randrange(item.value + 1) for _ in problem.demands])
                looked = at_once.best(prices, 0, Rough(unknown, unknown, unknown))
                best = looked.worth + levels.beyond
                least = int(best * share)
                priced = levels(prices, least)
                assert priced.value >= best
                assert priced.found == (best > max(least, levels.beyond))
                if priced.found:
                    assert least < int(priced.counts @ prices) + priced.credit <= best


def test_levels_already_at_hand_are_taken_over() -> None:
    """A rung of the next exactness does not look anew where the one before it has looked."""
    shared = 0
    for seed in range(12):
        rng = Random(seed)
        asked = case(seed, usual=True)
        problem = build(asked.parts, asked.stock, asked.shop)
        found, alike = arrays(problem), groups(problem)
        rough, fine, alone = (
            Rung(problem, found, alike, budget) for budget in (Budget(2e4), BUDGETS[2], BUDGETS[2])
        )
        top = max((item.value for item in problem.stock), default=1)
        prices = np.array([rng.randrange(top) for _ in problem.demands], np.int64)
        for price in (p for group in rough.pricers for p in group):
            price(prices)
        fine.take_over(rough)
        assert fine.steps == alone.steps
        for old, new, other in zip(rough.pricers, fine.pricers, alone.pricers, strict=True):
            for o, n, a in zip(old, new, other, strict=True):
                ours, theirs = n(prices), a(prices)
                assert (ours.value, ours.found, ours.credit) == (
                    theirs.value,
                    theirs.found,
                    theirs.credit,
                )
                if isinstance(o, SectionPricer) and isinstance(n, SectionPricer):
                    shared += bool(
                        {id(level) for level in o.levels} & {id(level) for level in n.levels}
                    )
    assert shared > 0


def test_what_is_cut_short_still_bounds() -> None:
    """With little work allowed less is found out, never less than there is; more can be asked."""
    cuts = 0
    for seed in range(30):
        rng = Random(seed)
        asked = case(seed, usual=True)
        problem = build(asked.parts, asked.stock, asked.shop)
        found = arrays(problem)
        for cls, direction in enumerate(found.directions):
            item = problem.stock[direction.stock]
            if not item.board or item.beyond > 0:
                continue
            most, _ = largest_steps(found, cls, item)
            chain = [(step, 1) for step in (2, 1) if step <= most]
            short = SectionPricer(found, cls, item, len(problem.demands), chain, most_work=50)
            whole = SectionPricer(found, cls, item, len(problem.demands), [(1, 1)])
            prices = np.array([rng.randrange(item.value + 1) for _ in problem.demands])
            priced, best = short(prices), whole(prices)
            assert priced.value >= best.value
            while short.more():
                assert not priced.found
                cuts += 1
                priced = short(prices)
            assert priced.found == best.found
    assert cuts > 0
