"""The same jobs, seconds and cores for this planner, for rectpack and for OR-Tools' CP-SAT.

rectpack: the best of all its guillotine packers, orders and choices of bin; it knows no flaws, so
it has no part in the lumber. CP-SAT: a model that only forbids overlaps, so it may find what no saw
can cut; it starts from rectpack's packing. Leftovers are worth nothing here, since neither of the
others knows them.
"""

import random
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path

from inventory.measure import value_of
from nester.model import Project
from tests.bench.data import bin_file, order_file, rows, variable_file
from tests.bench.measure import every, share_of
from tests.bench.model import Bin, cp_sat, missing, offered
from tests.bench.plates import Item, Plate, sheets_job
from tests.bench.records import BenchSet, Case, Instance, Limits, Measure, Outcome
from tests.bench.rivals import rectpack_best, singles
from tests.bench.rough import CELL, KERF, lumber
from tests.bench.run import run_plan
from tests.bench.sets import bins, furniture, variable

RECTPACK = "rectpack"
CP_SAT = "CP-SAT"
MOST_PIECES = 120
"""Larger orders are left out: the model has a choice of bin for every piece."""
EACH = 5
LUMBER = (3, 6)


def instances(data: Path) -> list[Instance]:
    """Return bins of every class, both ways; small furniture orders; bins with prices; lumber."""
    found = []
    table = rows(data / bins.FOLDER / "values.csv")
    for cls in range(1, 11):
        for n, turn in ((20, True), (40, False), (60, True), (80, False)):
            row = _one([r for r in table if (int(r["class"]), int(r["n"])) == (cls, n)], cls, n)
            way = ", either way" if turn else ""
            run = partial(run_bins, data, row["instance"], turn)
            found.append(Instance(row["instance"] + way, "bins" + way, run))
    for row in rows(data / furniture.FOLDER / "values.csv"):
        if int(row["pieces"]) <= MOST_PIECES:
            run = partial(run_order, data, row["instance"])
            found.append(Instance(row["instance"], "furniture", run))
    table = rows(data / variable.FOLDER / "instances.csv")
    for cls in range(1, 11):
        row = _one([r for r in table if (r["class"], r["n"]) == (str(cls), "20")], cls, 20)
        run = partial(run_variable, data, row["instance"])
        found.append(Instance(row["instance"], "variable bins", run))
    for m in LUMBER:
        for k in range(1, EACH + 1):
            found.append(Instance(f"lumber {m}-{k:02}", "lumber", partial(run_lumber, m, k)))
    return found


def _one(rows: list[dict[str, str]], *key: int) -> dict[str, str]:
    return random.Random(f"peers {key}").choice(rows)


def run_bins(data: Path, name: str, turn: bool, instance: Instance, limits: Limits) -> Outcome:
    """Run one instance of equal bins by all three."""
    plate, items = bin_file(data / bins.FOLDER / f"{name}.txt")
    return _run_plates([plate], items, turn, instance, limits)


def run_order(data: Path, name: str, instance: Instance, limits: Limits) -> Outcome:
    """Run one furniture order by all three."""
    plate, items = order_file(data / furniture.FOLDER / f"{name}.txt")
    return _run_plates([plate], items, False, instance, limits)


def run_variable(data: Path, name: str, instance: Instance, limits: Limits) -> Outcome:
    """Run one instance of bins with prices by all three."""
    plates, items = variable_file(data / variable.FOLDER / f"{name}.txt")
    return _run_plates(plates, items, False, instance, limits)


def _run_plates(
    plates: Sequence[Plate],
    items: Sequence[Item],
    turn: bool,
    instance: Instance,
    limits: Limits,
) -> Outcome:
    project, stock = sheets_job(instance.name, plates, items, turn=turn)
    ours = run_plan(lambda: Case(project, stock, whole=True), instance, limits)
    packing = rectpack_best(plates, items, turn=turn, seconds=limits.seconds)
    sizes = singles(items)
    if packing is None:
        room = [
            Bin(k, plate.length, plate.width, plate.price)
            for k, plate in enumerate(plates)
            for _ in sizes
        ]
    else:
        room = offered(plates, packing, len(sizes))
    model = cp_sat(
        room,
        sizes,
        turn=turn,
        seconds=limits.seconds,
        workers=limits.workers,
        start=packing,
    )
    others = {
        RECTPACK: None if packing is None else Fraction(packing.price),
        CP_SAT: None if model is None else Fraction(model),
    }
    return replace(ours, others=others)


def run_lumber(m: int, number: int, instance: Instance, limits: Limits) -> Outcome:
    """Run one job of rough lumber by this planner and by CP-SAT."""
    job = lumber(m, number, tight=False)
    shop = replace(job.project.shop, offcut_credit=Fraction(0))
    project: Project = replace(job.project, shop=shop)
    ours = run_plan(lambda: Case(project, job.boards), instance, limits)
    scale = 10**4
    boards = [
        Bin(
            k,
            board.length // CELL,
            board.width // CELL,
            round(value_of(board) * scale),
            tuple(
                (
                    flaw.x // CELL,
                    flaw.y // CELL,
                    (flaw.x + flaw.length) // CELL,
                    (flaw.y + flaw.width) // CELL,
                )
                for flaw in board.flaws
            ),
        )
        for k, board in enumerate(job.boards)
    ]
    sizes = [
        (part.length // CELL, part.width // CELL)
        for part in job.project.parts
        for _ in range(part.copies)
    ]
    model = cp_sat(boards, sizes, kerf=KERF, seconds=limits.seconds, workers=limits.workers)
    found = None if model is None else Fraction(model, scale)
    return replace(ours, others={CP_SAT: found})


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how often the plan is at least as good as what the others found."""
    beside = [o for o in outcomes if RECTPACK in o.others]
    good = sum(_not_worse(o, RECTPACK) for o in beside)
    found = [every("no worse than rectpack's best", good, len(beside))] if beside else []
    good = sum(_not_worse(o, CP_SAT) for o in outcomes)
    found.append(share_of("no worse than CP-SAT", good, len(outcomes), 0.95))
    for name in (RECTPACK, CP_SAT):
        better = sum(_not_worse(o, name) and not _as_good(o, name) for o in outcomes)
        none = sum(o.others.get(name, Fraction(0)) is None for o in outcomes)
        found.append(Measure(f"better than {name}", f"{better} (it found nothing in {none})"))
    return found


CLOSE = Fraction(1, 1000)


def _not_worse(found: Outcome, name: str) -> bool:
    if name not in found.others:
        return False
    other = found.others[name]
    return other is None or (found.cost is not None and found.cost <= other + CLOSE)


def _as_good(found: Outcome, name: str) -> bool:
    other = found.others.get(name)
    return other is not None and found.cost is not None and found.cost >= other - CLOSE


SETS = (BenchSet("peers", "The same jobs by other means", instances, measures, unready=missing),)
