"""Sequential value correction: whole plans of plain sheets and bars."""

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.correct import Fillers, fillers, refill
from nester.solve.improve import Attempt
from nester.solve.plans import Draft, draft
from tests.bench.data import bin_file, order_file, valued_file
from tests.bench.plates import Item, Plate, sheets_job
from tests.bench.sets import onedim
from tests.benchmarks import published
from tests.nester.maker import board, part, read, sheet, shop


def problem_of(plates: list[Plate], items: list[Item], *, kerf: int = 0) -> Problem:
    """Return the problem of cutting items from plates [units]."""
    project, stock = sheets_job("trial", plates, items, kerf=kerf)
    return build(project.parts, stock, project.shop)


def tried(problem: Problem, now: Draft, seed: int = 1, placings: int = 20_000) -> Attempt:
    """Return what comes of refilling a plan."""
    found = fillers(problem, arrays(problem), groups(problem))
    assert isinstance(found, Fillers)
    none = np.zeros(len(problem.demands))
    return refill(problem, found, now, none, 0, placings, seed)


def searched(problem: Problem, enough: int) -> Draft:
    """Return the best plan of forty tries, each from the best so far; fewer where it is enough."""
    now = draft(problem, ())
    for seed in range(40):
        now = min(now, tried(problem, now, seed).draft, key=lambda d: d.merit)
        if now.complete and len(now.columns) <= enough:
            break
    return now


@pytest.mark.parametrize(
    ("file", "plates"),
    [
        # Optima: Becker, Araujo and Buriol (2021), LAGOS; Becker (2022), thesis, UFRGS, Table 7.4
        # and Table 7.5.
        ("knapsack/fmt59_atp_vu/CHL6.txt", 5),
        ("knapsack/fmt59_atp_vu/CU2.txt", 14),
        ("cuttingstock_furniture/A42.txt", 8),
        ("binpacking_class/CLASS01_020_01.txt", 8),
    ],
)
def test_published_optima(file: str, plates: int) -> None:
    """Some published counts of plates come within forty tries, and never fewer."""
    path = published(file)
    if file.startswith("knapsack"):
        plate, valued = valued_file(path)
        items = [item for item, _ in valued]
    else:
        plate, items = (order_file if "furniture" in file else bin_file)(path)
    problem = problem_of([plate], items)
    now = searched(problem, plates)
    assert now.complete
    assert len(now.columns) == plates


def test_bars_of_a_published_class() -> None:
    """Two hundred lengths of one of Scholl's instances take 107 bars, the optimum (N3C2W2_A).

    Scholl, Klein and Jürgens (1997), Computers & OR 24(7), 627-645; the optimum is BPPLIB's.
    """
    cases = {i.name: i for i in onedim.instances(published("cuttingstock_1d").parent)}
    case = cases["N3C2W2_A"].run.args[0]()
    problem = build(case.project.parts, case.stock, case.project.shop)
    made = searched(problem, int(case.known))
    assert made.complete
    assert len(made.columns) == case.known


def test_the_cheaper_plates_are_taken() -> None:
    """Two small plates for one each beat a large one for five."""
    plates = [Plate(20, 10, price=5), Plate(10, 10, price=1)]
    problem = problem_of(plates, [Item(10, 10, 2)])
    found = tried(problem, draft(problem, ()))
    assert found.draft.complete
    assert found.draft.cost <= 2 * problem.ticks
    assert found.draft.cost > problem.ticks


def test_a_plan_is_never_made_worse() -> None:
    """What comes back costs no more than what was there, and gives all that it gave."""
    items = [Item(7, 5, 9), Item(4, 3, 11), Item(6, 6, 5)]
    problem = problem_of([Plate(20, 14)], items, kerf=1)
    now = tried(problem, draft(problem, ())).draft
    assert now.complete
    for seed in range(5):
        again = tried(problem, now, seed)
        if again.draft.complete:
            assert again.draft.cost <= now.cost + problem.stock[0].value
        assert again.work > 0


def test_the_same_seed_gives_the_same() -> None:
    """Two tries from one seed are alike to the last cut."""
    problem = problem_of([Plate(20, 14)], [Item(7, 5, 9), Item(4, 3, 11), Item(6, 6, 5)])
    one, two = (tried(problem, draft(problem, ()), 7) for _ in range(2))
    assert one.draft.columns == two.draft.columns
    assert one.work == two.work


def test_only_plain_sheets_are_filled() -> None:
    """Boards, sheets with flaws and sheets of few stages are left to the search."""
    plain = sheet("P-1")
    knot = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
    panel = part("side", material="plywood", length="20", width="10", count=3)
    for stock, stages, found in (
        (plain, "any", True),
        (plain, 4, False),
        (sheet("P-2", flaws=[knot]), "any", False),
        (plain + sheet("P-2", flaws=[knot]), "any", False),
    ):
        project, items = read(stock, panel, shop(sheet_stages=stages))
        problem = build(project.parts, items, project.shop)
        assert (fillers(problem, arrays(problem), groups(problem)) is not None) is found
    project, items = read(board(), part(), shop())
    problem = build(project.parts, items, project.shop)
    assert fillers(problem, arrays(problem), groups(problem)) is None
