"""Section pricing that counts copies: never more than are of use, never below the best layout."""

from random import Random

import numpy as np
import pytest

from nester.plan import Status
from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.counted_sections import CountedSectionPricer
from nester.solve.bound.ladder import groups
from nester.solve.bound.sections import SectionPricer
from nester.solve.bound.sizes import largest_steps
from tests.nester.maker import PROVEN, board, part, planned, read, shop
from tests.nester.solve.bound.test_sections import KINDS, worth
from tests.oracle.cases import case
from tests.oracle.cutting import sets_of

MANY = 10_000

NO_KERF = dict.fromkeys(("crosscut", "rip", "rough_rip", "sheet", "resaw"), "0")


def pricers(
    problem: Problem, group: tuple[int, ...]
) -> list[tuple[SectionPricer, CountedSectionPricer]]:
    """Return the pricers of a board without and with counting, a pair a direction of first cut."""
    found, item = arrays(problem), problem.stock[group[0]]
    copies = [demand.copies for demand in problem.demands]
    made = []
    for cls, direction in enumerate(found.directions):
        if direction.stock == group[0] and item.board and 0 < item.stages <= 3:
            most, _ = largest_steps(found, cls, item)
            chain = [(step, 1) for step in (4, 2, 1) if step <= most]
            counted = CountedSectionPricer(found, cls, item, copies, chain, MANY)
            made.append((SectionPricer(found, cls, item, len(copies), chain), counted))
    return made


@pytest.mark.parametrize("kind", KINDS, ids=["plain", "usual", "wild"])
@pytest.mark.parametrize("first", range(0, 20, 10))
def test_between_the_best_layout_and_pricing_without_counting(
    first: int, kind: dict[str, bool]
) -> None:
    """At any prices it takes no blank too often and proves at least as much as without counting."""
    tighter = 0
    for seed in range(first, first + 10):
        rng = Random(seed)
        asked = case(seed, **kind)
        problem = build(asked.parts, asked.stock, asked.shop)
        copies = [demand.copies for demand in problem.demands]
        sets = sets_of(asked.parts)
        for group in groups(problem):
            pairs = pricers(problem, group)
            value = problem.stock[group[0]].value
            prices = np.array([int(rng.random() * value) for _ in copies], np.int64)
            found = [(plain(prices), counted(prices)) for plain, counted in pairs]
            for without, with_ in found:
                assert with_.value <= without.value
                assert (with_.counts <= copies).all()
                assert int(with_.counts @ prices) + with_.credit <= with_.value or not with_.found
                tighter += with_.value < without.value
            least = worth(asked, problem, group[0], sets, prices)
            if found and least > 0:
                assert max(with_.value for _, with_ in found) >= least - 1e-6 * value
    assert tighter > 0


def test_three_of_six_that_fit() -> None:
    """By pencil: a board of 60 x 6 for $60, blanks of 10 x 6 at $12, no kerf, half of it credited.

    Six blanks are worth $72. Where three are wanted, those and 30 in left are worth $36 and $15.
    """
    habits = shop(kerf=NO_KERF, offcut_credit=0.5, grid="1", tape="1", offcut_min=[12, 3])
    project, items = read(board(), part(length="10", width="6", count=3), habits)
    problem = build(project.parts, items, project.shop)
    (pair, *_) = pricers(problem, (0,))
    prices = np.array([12 * problem.ticks], np.int64)
    without, counted = (pricer(prices) for pricer in pair)
    assert float(without.value / problem.ticks) == pytest.approx(72)
    assert counted.counts.tolist() == [3]
    assert float((int(counted.counts @ prices) + counted.credit) / problem.ticks) == pytest.approx(
        51
    )
    # Asked for more than that, it proves that there is none.
    nothing = pair[1](prices, int(counted.counts @ prices) + counted.credit)
    assert not nothing.found
    assert float(nothing.value / problem.ticks) == pytest.approx(51)


def test_copies_that_the_master_would_mix() -> None:
    """By pencil: four blanks of 12 x 6 from a board of 61 x 6 for $60, its last inch rotten.

    Five would fit. Three leave 25 in, of which 24 earn; four leave 13, less than the 14 kept, so
    four cost the whole $60. Half of three and half of five would come to less.
    """
    habits = shop(kerf=NO_KERF, offcut_credit=0.5, grid="1", tape="1", offcut_min=[14, 3])
    rot = {"kind": "rot", "x": "60", "y": "0", "length": "1", "width": "6"}
    stock = board(length="61", flaws=[rot])
    plan = planned(stock, part(length="12", width="6", count=4), habits, stop=PROVEN)
    assert (plan.cost, plan.status) == (60, Status.OPTIMAL)
