"""Compiling the kernels before any clock runs."""

from tests.bench.plates import Item, Plate, bars_job, sheets_job
from tests.bench.records import Case, Limits
from tests.bench.rough import lumber
from tests.bench.run import Watch, planned
from tests.bench.sets.kernel import Wanted, best_limited, best_value

SECONDS = 0.5


def warm_up(workers: int) -> None:
    """Plan a few small jobs of every kind and forget them."""
    rough = lumber(3, 0, tight=True)
    jobs = [
        (rough.project, rough.boards),
        bars_job("warm", 60, [(25, 3), (17, 2)]),
        sheets_job("warm", [Plate(40, 30)], [Item(21, 16, 3), Item(9, 7, 5)]),
        sheets_job("warm", [Plate(40, 30)], [Item(21, 16, 3), Item(9, 7, 5)], turn=True),
    ]
    best_value(Plate(40, 30), [Wanted(21, 16, 7, None)], turn=True)
    best_limited(Plate(40, 30), [Wanted(21, 16, 7, 2), Wanted(9, 7, 1, 5)], SECONDS)
    for project, stock in jobs:
        planned(Case(project, stock), Limits(SECONDS, workers), Watch())
