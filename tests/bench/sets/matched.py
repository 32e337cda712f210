"""Invented furniture with matches, glue-ups and arches: ten pieces, from 3 parts to 40.

Nothing here is published: pieces and racks are made up (``tests.bench.rooms``), so what counts is
the proven gap. Corners come before money: a bound is one for plans that break no more of them.
"""

from collections.abc import Sequence
from pathlib import Path

from tests.bench.measure import at_most, gaps, percent
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.rooms import PIECES, project, rack
from tests.bench.run import job

SECONDS = 20


def instances(_: Path) -> list[Instance]:
    """Return the ten, in growing order."""
    return [
        Instance(
            f"{name}, {sum(line.count for line in piece.parts)}", name, job(case, name), SECONDS
        )
        for name, piece in PIECES.items()
    ]


def case(name: str) -> Case:
    """Return one piece of furniture with its rack."""
    return Case(project(name), rack(name))


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return the proven gaps."""
    found = gaps(outcomes)
    return [
        at_most("proven gap, median", found, 0.04),
        Measure("proven gap, worst", percent(max(found))),
    ]


SETS = (
    BenchSet(
        "matched",
        "Invented furniture with matches, glue-ups and arches",
        instances,
        measures,
        needs_data=False,
    ),
)
