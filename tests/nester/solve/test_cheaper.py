"""Better plans for bars: dives and choices, round by round."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.cheaper import Cheaper, Found
from nester.solve.lengths import bar_makers
from tests.bench.plates import bars_job
from tests.bench.sets.onedim import instances
from tests.benchmarks import published
from tests.nester.solve.test_delve import triplets


def plans(problem: Problem) -> Cheaper:
    """Return the search for plans of a problem."""
    fill = bar_makers(problem, arrays(problem), groups(problem))
    assert fill is not None
    return Cheaper(problem, fill)


def rounds(search: Cheaper, most: int, count: int, workers: int = 1) -> list[Found]:
    """Run so many rounds, or until something is found; all boards cost the same."""
    made: list[Found] = []
    bound, value = 0, search.problem.stock[0].value
    with ThreadPoolExecutor(workers) as pool:
        for i in range(count):
            made.append(search.round(pool, bound, most, (2 * i, 2 * i + 1), 60.0))
            bound = max(bound, -(-made[-1].bound // value) * value)
            if made[-1].drafts:
                break
    return made


def test_a_bound_and_a_plan_come_of_it() -> None:
    """Lengths of 12 boards cut without waste: the first round proves 12, and soon 12 are found."""
    problem = triplets(4, 12)
    value = problem.stock[0].value
    made = rounds(plans(problem), 12 * value, 12)
    assert 11 * value < made[0].bound <= 12 * value
    assert made[-1].drafts[0].complete
    assert made[-1].drafts[0].cost == 12 * value
    assert all(found.work > 0 for found in made)


def test_any_number_of_workers_finds_the_same() -> None:
    """One worker and two: the same layouts in the same order, and the same work."""
    problem = triplets(5, 25)
    most = 25 * problem.stock[0].value
    one, two = (rounds(plans(problem), most, 5, workers) for workers in (1, 2))
    assert [found.work for found in one] == [found.work for found in two]
    told = [[c.counts for d in found.drafts for c in d.columns] for found in one]
    assert told == [[c.counts for d in found.drafts for c in d.columns] for found in two]


def test_what_cannot_be_is_looked_for_once() -> None:
    """Lengths of 6 and of 5 on boards of 10: the sum is that of three boards, and it takes four."""
    project, stock = bars_job("trial", 10, [(6, 2), (5, 3)])
    problem = build(project.parts, stock, project.shop)
    value = problem.stock[0].value
    search = plans(problem)
    made = rounds(search, 3 * value, 6)
    assert not any(found.drafts for found in made)
    assert made[-1].work == 0
    assert rounds(search, 4 * value, 6)[-1].drafts[0].complete


@pytest.mark.parametrize("name", ["Hard28_BPP766", "Hard28_BPP832", "Falkenauer_t120_00"])
def test_published_optima_that_quick_ways_miss(name: str) -> None:
    """As many boards as BPPLIB lists as the optimum (Delorme, Iori and Martello 2018)."""
    data = published("cuttingstock_1d").parent
    asked = next(each for each in instances(data) if each.name == name)
    case = asked.run.args[0]()
    problem = build(case.project.parts, case.stock, case.project.shop)
    most = int(case.known) * problem.stock[0].value
    found = rounds(plans(problem), most, 40)[-1].drafts
    assert found
    assert found[0].complete
    assert found[0].cost == most
