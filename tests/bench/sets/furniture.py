"""Orders of a furniture maker: fewest equal plates for high demands, cuts of any number of stages.

Macedo, R.; Alves, C.; Valério de Carvalho, J. M. (2010), "Arc-flow model for the two-dimensional
guillotine cutting stock problem", Computers & OR 37(6), 991-1001. Optima for any number of stages:
Becker, H. (2022), thesis, UFRGS, Porto Alegre, Table 7.4. Where none is published, the two-stage
optimum and a shelf packing are costs that are possible, and the area is a bound.
"""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from tests.bench.data import number_or_none, order_file, rows
from tests.bench.measure import every, proven, settled, total
from tests.bench.plates import sheets_job
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job

FOLDER = "cuttingstock_furniture"


def fixed(data: Path) -> list[Instance]:
    """Return the 43 orders with the grain along the plate."""
    return [
        Instance(row["instance"], FOLDER, job(order, data, row, turn=False))
        for row in rows(data / FOLDER / "values.csv")
    ]


def turned(data: Path) -> list[Instance]:
    """Return the orders whose optimum is published for items that may lie either way."""
    return [
        Instance(row["instance"], FOLDER, job(order, data, row, turn=True))
        for row in rows(data / FOLDER / "values.csv")
        if row["rot_any_stages_opt"].strip()
    ]


def order(data: Path, row: dict[str, str], *, turn: bool, kerf: int = 0) -> Case:
    """Return one order; see ``sheets_job`` for what a kerf does to it."""
    plate, items = order_file(data / FOLDER / f"{row['instance']}.txt")
    project, stock = sheets_job(row["instance"], [plate], items, turn=turn, kerf=kerf)
    optimum = number_or_none(row["rot_any_stages_opt" if turn else "fixed_any_stages_opt"])
    others = ("fixed_any_stages_opt", "fixed_2stage_nonexact_opt", "ffdh_ub_computed_here")
    possible = [optimum, *(number_or_none(row[key]) for key in others)]
    least = int(row["area_lb"]) if optimum is None else optimum
    known = min(value for value in possible if value is not None)
    return Case(
        project,
        stock,
        known=Fraction(known),
        lower=Fraction(least),
        whole=True,
        words=str(optimum) if optimum is not None else f"{least} to {known}",
    )


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how many published optima are met."""
    closed = settled(outcomes)
    found = [proven(outcomes)]
    if closed:
        met = sum(o.reached for o in closed)
        found.insert(0, every("published optimum met", met, len(closed)))
    rest = [o for o in outcomes if o not in closed]
    if rest:
        possible = sum((o.known or Fraction(0) for o in rest), Fraction(0))
        found.append(total("plates where no optimum is published", rest, possible))
    return found


SETS = (
    BenchSet(
        "furniture",
        "Furniture orders, grain along the plate",
        fixed,
        measures,
        ("sheets",),
    ),
    BenchSet(
        "furniture-turned",
        "Furniture orders, items either way",
        turned,
        measures,
        ("sheets",),
    ),
)
