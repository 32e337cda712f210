"""The shipped example: how soon the first complete plan stands, and a gap of 2 % is proven."""

from collections.abc import Sequence
from importlib.resources import as_file, files
from pathlib import Path

from inventory.readers.stock import read_stock
from nester.readers.project import read_project
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job

FIRST = 0.5
NEAR = 10.0


def instances(_: Path) -> list[Instance]:
    """Return the one job."""
    return [Instance("the shipped example", "demo", job(case), 20)]


def case() -> Case:
    """Return the example; raises ``ValueError`` where it cannot be read."""
    with as_file(files("nester") / "data" / "demo") as folder:
        project, issues = read_project(folder / "project.toml")
        stock, found = read_stock(folder / "stock.toml")
    if project is None:
        raise ValueError("; ".join(issue.message for issue in [*issues, *found]))
    return Case(project, tuple(stock))


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return both times, from the start of solving, with the kernels compiled before."""
    (only,) = outcomes
    gap = "no plan" if only.gap is None else f"{100 * only.gap:.2f} %"
    return [
        _time("first complete plan", only.first, FIRST),
        _time("gap of 2 % proven", only.near, NEAR),
        Measure("gap at the end", gap),
    ]


def _time(what: str, found: float | None, goal: float) -> Measure:
    asked = f"<= {goal:g} s"
    if found is None:
        return Measure(what, "never", asked, False)
    return Measure(what, f"{found:.2f} s", asked, found <= goal)


SETS = (BenchSet("demo", "The shipped example", instances, measures, needs_data=False),)
