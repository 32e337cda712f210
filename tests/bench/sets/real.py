"""Real boards: measured red oak, invented part lists, the allowances of a shop that says nothing.

Boards: Gatchell, C. J.; Thomas, R. E.; Walker, E. S. (1998), "1998 data bank for kiln-dried red oak
lumber", General Technical Report NE-245, USDA Forest Service. Lists, prices and the choice of
boards are made up: a run of doors, a table base, a case piece, each often enough for 5 to 60
boards to be cut up by about a third, clear on one face, on a grid of 1/16 in.
"""

import random
from collections.abc import Sequence
from pathlib import Path
from statistics import median

from inventory.length import INCH, Length
from inventory.measure import area
from inventory.stock import Board
from nester.model import Part, Project, System
from nester.shop_defaults import INCH_SHOP
from tests.bench.measure import INFINITE, at_most, gaps
from tests.bench.oak import oak_boards
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job

BOARDS = (5, 12, 30, 60)
SHARE = 0.36
"""Blanks wanted, as a share of the boards' area: few enough to be had, enough to choose."""
ENOUGH = 12 * INCH

Line = tuple[str, int, float, float, float]
"""A part's name, how many in one piece of furniture, length, width, and both tenons [in]."""

LISTS: dict[str, tuple[Line, ...]] = {
    "doors": (
        ("stile", 2, 27.5, 2.25, 0),
        ("top rail", 1, 11.5, 2.25, 2.5),
        ("bottom rail", 1, 11.5, 3.25, 2.5),
        ("middle rail", 1, 11.5, 2.0, 2.5),
        ("mullion", 1, 10.25, 1.75, 2.0),
    ),
    "table base": (
        ("leg lamination", 8, 28.25, 2.75, 0),
        ("long apron", 2, 54.0, 4.0, 2.5),
        ("short apron", 2, 26.0, 4.0, 2.5),
        ("long stretcher", 1, 56.0, 2.5, 1.5),
        ("short stretcher", 2, 27.0, 2.5, 1.5),
        ("corner brace", 4, 7.0, 2.5, 0),
        ("drawer runner", 4, 24.0, 1.5, 0),
    ),
    "case": (
        ("post", 4, 42.0, 1.75, 0),
        ("side rail", 4, 14.0, 2.75, 2.0),
        ("front rail", 3, 31.0, 1.75, 2.0),
        ("back rail", 2, 31.0, 2.75, 2.0),
        ("drawer front", 2, 30.75, 5.0, 0),
        ("drawer side", 4, 15.0, 4.5, 0),
        ("drawer back", 2, 30.0, 4.0, 0),
        ("shelf lipping", 2, 32.5, 1.5, 0),
        ("plinth front", 1, 34.0, 3.5, 0),
        ("plinth side", 2, 16.0, 3.5, 0),
    ),
}


def instances(data: Path) -> list[Instance]:
    """Return twelve jobs: three lists, four racks."""
    return [
        Instance(f"{name}, {count} boards", name, job(case, data, name, count))
        for name in LISTS
        for count in BOARDS
    ]


def case(data: Path, name: str, count: int) -> Case:
    """Return one job, with as many of the piece as its boards can give with room to choose."""
    boards = _rack(data, name, count)
    room = SHARE * float(sum(area(board) for board in boards))
    once = sum(
        (_length(line) + INCH_SHOP.blank_extra_length)
        * (_inches(line[3]) + INCH_SHOP.blank_extra_width)
        * line[1]
        for line in LISTS[name]
    )
    times = max(1, int(room // once))
    parts = tuple(
        Part(
            name=line[0],
            length=_inches(line[2]),
            width=_inches(line[3]),
            thickness=3 * INCH // 4,
            materials=("red oak",),
            count=line[1] * times,
            extra_length=_inches(line[4]),
        )
        for line in LISTS[name]
    )
    project = Project(f"{name} x {times}", System.INCH, INCH_SHOP, parts)
    return Case(project, tuple(boards))


def _rack(data: Path, name: str, count: int) -> list[Board]:
    rng = random.Random(f"{name} {count}")
    return sorted(rng.sample(oak_boards(data), count), key=lambda board: board.id)


def _length(line: Line) -> Length:
    return max(_inches(line[2]) + _inches(line[4]), ENOUGH - INCH_SHOP.blank_extra_length)


def _inches(value: float) -> Length:
    length = value * INCH
    assert length == int(length)
    return int(length)


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return the proven gaps."""
    found = gaps(outcomes)
    known = [gap for gap in found if gap != INFINITE]
    return [
        at_most("proven gap, median", found, 0.03),
        at_most("proven gap, worst", found, 0.08, worst=True),
        Measure(
            "proven gap, median of those with a plan",
            f"{100 * median(known):.2f} %" if known else "no plan",
        ),
    ]


SETS = (BenchSet("real-boards", "Measured boards", instances, measures, ("real",)),)
