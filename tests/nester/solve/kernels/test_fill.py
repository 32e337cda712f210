"""Filling a plate with blanks that are each wanted a few times."""

from random import Random

import numpy as np
import pytest

from nester.problem import build
from nester.solve.plates import Filler, places_to_cut
from tests.bench.data import valued_file
from tests.bench.plates import Item, Plate, sheets_job
from tests.benchmarks import published

Items = list[tuple[int, int, int]]
"""Length, width and value of each."""

OPTIMA = [
    # At most the copies of the file, no turning, any number of stages: Furini, Malaguti and
    # Thomopulos (2016), "Modeling two-dimensional guillotine cutting problems via integer
    # programming", INFORMS J. on Computing 28(4), 736-751.
    ("A2s", 3535),
    ("Hchl3s", 12215),
    ("A1s", 2950),
    ("Hchl6s", 61040),
]


def filler(plate: Plate, items: list[Item], *, turn: bool = False, kerf: int = 0) -> Filler:
    """Return what fills a plate with copies of items [units]."""
    project, stock = sheets_job("trial", [plate], items, turn=turn, kerf=kerf)
    return Filler(build(project.parts, stock, project.shop), 0)


def best_of_all(length: int, width: int, items: Items) -> int:
    """Return the most value of a plate by trying every cut, each item (l, w, value) once."""
    best = 0
    for i, (a, b, value) in enumerate(items):
        if a <= length and b <= width:
            others = items[:i] + items[i + 1 :]
            best = max(best, value + rest(length - a, width, length, width - b, a, b, others))
    return best


def rest(
    x1: int, y1: int, x2: int, y2: int, a: int, b: int, items: list[tuple[int, int, int]]
) -> int:
    """Return the most value beside and above an item in a corner, whichever cut comes first."""
    best = 0
    for chosen in range(1 << len(items)):
        one = [item for i, item in enumerate(items) if chosen >> i & 1]
        two = [item for i, item in enumerate(items) if not chosen >> i & 1]
        best = max(best, best_of_all(x1, y1, one) + best_of_all(a, y2, two))
        best = max(best, best_of_all(x1, b, one) + best_of_all(x2, y2, two))
    return best


def test_no_more_than_can_be_had() -> None:
    """Three items on a small plate: never more than the best, and nearly always that."""
    met = 0
    for seed in range(20):
        rng = Random(seed)
        sizes = sorted({(rng.randint(2, 6), rng.randint(2, 6)) for _ in range(3)})
        fill = filler(Plate(9, 8), [Item(*size) for size in sizes])
        values = np.array([o.length * o.width for o in fill.item.options], np.int64)
        found, work = fill(values, np.ones(len(sizes), np.int64))
        assert found is not None
        assert work > 0
        assert max(found.counts) == 1
        best = best_of_all(9, 8, [(a, b, a * b) for a, b in sizes])
        value = int(np.dot(values, found.counts))
        assert value <= best
        met += value == best
    assert met >= 17


@pytest.mark.parametrize(("name", "optimum"), OPTIMA)
def test_near_published_optima(name: str, optimum: int) -> None:
    """On published plates the value is at most the optimum, and within two per cent of it."""
    plate, valued = valued_file(published(f"knapsack/fmt59_atp_vu/{name}.txt"))
    fill = filler(plate, [item for item, _ in valued])
    problem = fill.problem
    values = np.array([0] * len(problem.demands), np.int64)
    for option in fill.item.options:
        values[option.demand] = option.length * option.width
    wanted = np.array([d.copies for d in problem.demands], np.int64)
    found, _ = fill(values, wanted)
    assert found is not None
    assert all(n <= most for n, most in zip(found.counts, wanted, strict=True))
    assert 0.98 * optimum <= int(np.dot(values, found.counts)) <= optimum


def test_a_kerf_lies_between_blanks() -> None:
    """A plate of 20 by 8 gives three of 6 by 8 with a kerf of 1, and not three of 7 by 8."""
    one = np.ones(1, np.int64)
    for length, count in ((7, 3), (8, 2)):
        fill = filler(Plate(21, 9), [Item(length, 9, 5)], kerf=1)
        found, _ = fill(one, 5 * one)
        assert found is not None
        assert found.counts == (count,)


def test_nothing_comes_of_nothing() -> None:
    """Where no blank is wanted, or none is worth anything, there is no layout."""
    fill = filler(Plate(20, 10), [Item(5, 5, 2)])
    none, one = np.zeros(1, np.int64), np.ones(1, np.int64)
    assert fill(one, none) == (None, 0)
    assert fill(none, one) == (None, 0)


def test_some_sums_of_sizes_are_left_out() -> None:
    """Of very many sums about as many as asked for are kept, the largest and those of one size."""
    sizes = np.array([101, 131, 157, 173, 191, 211], np.int64)
    every, _, _, _ = places_to_cut(2000, sizes, np.full(6, 9), 10_000)
    assert len(every) > 500
    found, down, cuts, _ = places_to_cut(2000, sizes, np.full(6, 9), 120)
    assert 60 <= len(found) <= 120
    assert set(found) <= set(every)
    assert found[0] == 0
    assert found[-1] == every[-1]
    assert {101, 202, 909, 211, 1899} <= set(found.tolist())
    assert [int(found[i]) for i in cuts] == sizes.tolist()
    assert all(found[down[x]] <= x for x in range(2001))
