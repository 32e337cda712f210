"""Fewest plates for all copies of 42 instances made for one plate, without turning.

Optima for any number of stages: Becker, H.; Araujo, O.; Buriol, L. S. (2021), "Extending an integer
formulation for the guillotine 2D cutting stock problem", LAGOS 2021. The two-stage optima beside
them hold for strips along the plate's length only, so they are shown and not compared.
"""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from tests.bench.data import rows, valued_file
from tests.bench.measure import every, proven
from tests.bench.plates import sheets_job
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job


def instances(data: Path) -> list[Instance]:
    """Return the instances of ``min_plates_values.csv``."""
    return [
        Instance(row["instance"], "fewest plates", job(case, data, row))
        for row in rows(data / "knapsack" / "min_plates_values.csv")
    ]


def case(data: Path, row: dict[str, str], *, kerf: int = 0) -> Case:
    """Return one instance; see ``sheets_job`` for what a kerf does to it."""
    plate, valued = valued_file(data / row["file"])
    items = [item for item, _ in valued]
    project, stock = sheets_job(row["instance"], [plate], items, kerf=kerf)
    optimum = Fraction(row["min_plates_any_stages"])
    staged = row["min_plates_2stage_nonexact"].strip()
    words = f"{optimum} (two stages {staged})" if staged else str(optimum)
    return Case(project, stock, known=optimum, lower=optimum, whole=True, words=words)


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how many optima are met."""
    met = sum(o.reached for o in outcomes)
    return [every("published optimum met", met, len(outcomes)), proven(outcomes)]


SETS = (
    BenchSet(
        "fewest-plates",
        "Fewest plates for all copies",
        instances,
        measures,
        ("sheets",),
    ),
)
