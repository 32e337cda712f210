"""Instances without a kerf, made over for a saw that takes one: the answer stays the same.

A kerf k is the same job with every item and every plate k larger both ways, if the last kerf may
run off the plate. So items and plates k smaller, sawn with kerf k, need as many plates as the
published ones; only instances with all items larger than k will do.
"""

from pathlib import Path

from tests.bench.data import order_file, rows, valued_file
from tests.bench.plates import Item
from tests.bench.records import BenchSet, Instance
from tests.bench.run import job
from tests.bench.sets import fewest, furniture

KERF = 3


def instances(data: Path) -> list[Instance]:
    """Return furniture orders and fewest-plates instances with a kerf of 3 units."""
    found = []
    for row in rows(data / furniture.FOLDER / "values.csv"):
        _, items = order_file(data / furniture.FOLDER / f"{row['instance']}.txt")
        if _larger(items):
            run = job(furniture.order, data, row, turn=False, kerf=KERF)
            found.append(Instance(row["instance"], "furniture", run))
    for row in rows(data / "knapsack" / "min_plates_values.csv"):
        _, valued = valued_file(data / row["file"])
        if _larger([item for item, _ in valued]):
            run = job(fewest.case, data, row, kerf=KERF)
            found.append(Instance(f"plates {row['instance']}", "fewest plates", run))
    return found


def _larger(items: list[Item]) -> bool:
    return all(min(item.length, item.width) > KERF for item in items)


SETS = (
    BenchSet(
        "kerf",
        f"Sheets again with a kerf of {KERF} units, same answers",
        instances,
        furniture.measures,
        ("sheets",),
    ),
)
