"""Equal bins, fewest of them, with and without turning, cuts of any number of stages.

Classes 1 to 6: Berkey, J. O.; Wang, P. Y. (1987), JORS 38(5), 423-429. Classes 7 to 10: Martello,
S.; Vigo, D. (1998), Management Science 44(3), 388-399. Bounds and best counts by instance: Becker,
H. (2022), thesis, UFRGS, Porto Alegre, Tables 7.5 and 7.6, and shelf packings. Totals without
turning: Pisinger, D.; Sigurd, M. (2007), INFORMS J. on Computing 19(1), 36-51, 7266 bins with
3,600 s each; Fontan, F.; Libralesso, L. (2020), preprint, 7278 bins with 60 s each.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import partial
from pathlib import Path

from tests.bench.data import bin_file, rows
from tests.bench.measure import every, proven, settled, total
from tests.bench.plates import sheets_job
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job, money

FOLDER = "binpacking_class"
ALL = 500
GOAL = 7300
SHOWN = 7292
"""The best published counts of the 500 instances added up, without turning."""


def instances(data: Path, *, turn: bool) -> list[Instance]:
    """Return the 500 instances."""
    return [
        Instance(row["instance"], f"class {row['class']}", job(case, data, row, turn=turn))
        for row in rows(data / FOLDER / "values.csv")
    ]


def case(data: Path, row: dict[str, str], *, turn: bool) -> Case:
    """Return one instance."""
    plate, items = bin_file(data / FOLDER / f"{row['instance']}.txt")
    project, stock = sheets_job(row["instance"], [plate], items, turn=turn)
    kind = "RG" if turn else "OG"
    low, high = Fraction(row[f"{kind}_lb"]), Fraction(row[f"{kind}_ub"])
    words = money(high) if low == high else f"{money(low)} to {money(high)}"
    return Case(project, stock, known=high, lower=low, whole=True, words=words)


def known_sum(outcomes: Sequence[Outcome]) -> Fraction:
    """Return the published counts of these instances added up."""
    return sum((o.known or Fraction(0) for o in outcomes), Fraction(0))


def fixed_measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return the total of bins; the goal for all 500 is taken in proportion over a sample."""
    goal, aims = Fraction(GOAL), "aim at 7278, then 7266"
    if len(outcomes) != ALL:
        scale = known_sum(outcomes) / SHOWN
        goal = Fraction(int(GOAL * scale))
        aims = f"aim at {float(7278 * scale):.1f}, then {float(7266 * scale):.1f}"
    return [total("total bins", outcomes, goal, aims), *_beside(outcomes)]


def turned_measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return the total of bins; the goal is the best published counts added up."""
    return [total("total bins", outcomes, known_sum(outcomes)), *_beside(outcomes)]


def _beside(outcomes: Sequence[Outcome]) -> list[Measure]:
    low = sum((o.lower or Fraction(0) for o in outcomes), Fraction(0))
    closed = settled(outcomes)
    found = [
        Measure("published bounds and counts", f"{low} to {known_sum(outcomes)}"),
        proven(outcomes),
    ]
    if closed:
        met = every("published optimum met", sum(o.reached for o in closed), len(closed))
        found.append(Measure(met.what, met.found))
    fewer = sum(o.cost is not None and o.known is not None and o.cost < o.known for o in outcomes)
    found.append(Measure("fewer bins than published", str(fewer)))
    return found


SETS = (
    BenchSet(
        "bins",
        "Bin packing, no turning",
        partial(instances, turn=False),
        fixed_measures,
        ("sheets",),
    ),
    BenchSet(
        "bins-turned",
        "Bin packing, items either way",
        partial(instances, turn=True),
        turned_measures,
        ("sheets",),
    ),
)
