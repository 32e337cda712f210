"""Five kinds of bins with prices, least cost, no turning, cuts of any number of stages.

Pisinger, D.; Sigurd, M. (2005), "The two-dimensional bin packing problem with variable bin sizes
and costs", Discrete Optimization 2(2), 154-167. No cost by instance is published for sawable
plans; the bound beside is the area at the cheapest price.
"""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from statistics import mean, median

from tests.bench.data import rows, variable_file
from tests.bench.measure import INFINITE, gaps, percent, proven, sum_of
from tests.bench.plates import sheets_job
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job, money

FOLDER = "variable_bins"


def instances(data: Path) -> list[Instance]:
    """Return the 500 instances."""
    return [
        Instance(row["instance"], f"class {row['class']}", job(case, data, row))
        for row in rows(data / FOLDER / "instances.csv")
    ]


def case(data: Path, row: dict[str, str]) -> Case:
    """Return one instance."""
    plates, items = variable_file(data / FOLDER / f"{row['instance']}.txt")
    project, stock = sheets_job(row["instance"], plates, items)
    least = row["trivial_cost_lb"]
    return Case(project, stock, lower=Fraction(least), whole=True, words=f">= {least}")


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return cost and gap; nothing is asked of them."""
    cost = sum_of(outcomes)
    bound = sum((o.lower or Fraction(0) for o in outcomes), Fraction(0))
    proved = gaps(outcomes)
    average = INFINITE if INFINITE in proved else mean(proved)
    return [
        Measure("total cost", "no plan for some" if cost is None else money(cost)),
        Measure("bound by area added up", money(bound)),
        Measure("proven gap, median and mean", f"{percent(median(proved))}, {percent(average)}"),
        proven(outcomes),
    ]


SETS = (
    BenchSet(
        "variable-bins",
        "Bins of several kinds and prices",
        instances,
        measures,
        ("sheets",),
    ),
)
