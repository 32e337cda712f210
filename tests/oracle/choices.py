"""Tiny projects with one match or one glue-up, and the best plan over every way to make it.

Each way is a list of plain parts, for which the exhaustive planner is asked: a run with no joint
loss between its parts is one long part, a strip is a part as wide as itself.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, product
from random import Random

from inventory.length import INCH
from inventory.stock import Board
from nester.model import GlueUp, Grain, How, Match, Part
from tests.oracle.cases import HALF, Case, case
from tests.oracle.planner import best_plan


@dataclass(frozen=True)
class Asked:
    """A case with what is to be chosen in it, and the ways to choose.

    Each way is told by how many corners it breaks and by the plain parts that it comes to.
    """

    case: Case
    matches: tuple[Match, ...]
    ways: tuple[tuple[int, tuple[Part, ...]], ...]


def least(asked: Asked) -> dict[int, float]:
    """Return the least cost of a complete plan for each number of broken corners that has one."""
    found: dict[int, float] = {}
    for broken, parts in asked.ways:
        best = best_plan(parts, asked.case.stock, asked.case.shop)
        if not best.missing:
            found[broken] = min(best.cost, found.get(broken, best.cost))
    return found


def matched(seed: int, usual: bool = False) -> Asked:
    """Return a case with one wrap or sequence of three parts and no wood lost at its joints."""
    rng = Random(seed)
    plain = case(seed, plain=usual, usual=usual)
    shop = replace(plain.shop, kerf=replace(plain.shop.kerf, crosscut=0, sheet=0), sheet_trim=0)
    first = replace(plain.parts[0], count=1, grain=Grain.LENGTH)
    lengths = [rng.randint(2, 4) * INCH for _ in range(3)]
    lengths[1] += rng.choice((0, HALF))
    run = [replace(first, name=f"side {i}", length=size) for i, size in enumerate(lengths)]
    other = [replace(part, count=1) for part in plain.parts[1:2]]
    how = rng.choice((How.WRAP, How.SEQUENCE))
    match = Match("case", how, tuple(part.name for part in run))
    ways = tuple(
        (len(groups) - (how is How.SEQUENCE), (*(_joined(group) for group in groups), *other))
        for groups in _groups(run, how is How.WRAP)
    )
    return Asked(Case((*run, *other), plain.stock, shop), (match,), ways)


def _joined(group: Sequence[Part]) -> Part:
    # A run is rounded up to the grid part by part.
    length = sum(-(-part.length // INCH) * INCH for part in group)
    return replace(group[0], length=length) if len(group) > 1 else group[0]


def _groups(run: Sequence[Part], ring: bool) -> Iterator[list[list[Part]]]:
    """Yield every way to part a run; a ring may also be parted anywhere, but whole it begins."""
    n = len(run)
    yield [list(run)]
    for cuts in product((False, True), repeat=n if ring else n - 1):
        if sum(cuts) < (2 if ring else 1):
            continue
        places = [i + 1 for i, cut in enumerate(cuts) if cut]
        if ring:
            starts = places
            ends = [*places[1:], places[0] + n]
            yield [[run[i % n] for i in range(a, b)] for a, b in zip(starts, ends, strict=True)]
        else:
            ends = [*places, n]
            yield [list(run[a:b]) for a, b in zip([0, *places], ends, strict=True)]


def glued(seed: int, usual: bool = False) -> Asked:
    """Return a case with one part that may be glued up, on boards."""
    rng = Random(seed)
    number = seed
    plain = case(number, plain=usual, usual=usual)
    while not all(isinstance(item, Board) for item in plain.stock):
        number += 10_000
        plain = case(number, plain=usual, usual=usual)
    per_strip = rng.choice((0, HALF, INCH // 4))
    shop = replace(
        plain.shop, panel_off=rng.choice((0, INCH // 16)), jointer_width=rng.choice((2, 3)) * INCH
    )
    glue = GlueUp(rng.choice((INCH, 3 * HALF)), 3 * INCH, per_strip, rng.choice((2, 3, 4)))
    panel = replace(
        plain.parts[0],
        name="panel",
        count=1,
        grain=Grain.LENGTH,
        width=rng.choice((3, 4, 5, 6)) * INCH - rng.choice((0, HALF)),
        glue_up=glue,
    )
    other = [replace(part, count=1) for part in plain.parts[1:2]]
    solid = replace(panel, glue_up=None)
    ways = [(0, (solid, *other))]
    low = -(-glue.narrowest // INCH)
    high = min(glue.widest, shop.jointer_width) // INCH
    for n in range(2, glue.max_strips + 1):
        for widths in combinations_with_replacement(range(low, high + 1), n):
            if sum(widths) * INCH - n * per_strip >= panel.width:
                ways.append((0, (*_strips(solid, widths, shop.panel_off), *other)))
    return Asked(Case((panel, *other), plain.stock, shop), (), tuple(ways))


def _strips(panel: Part, widths: Sequence[int], panel_off: int) -> Iterator[Part]:
    for width in sorted(set(widths)):
        yield replace(
            panel,
            name=f"strip {width}",
            width=width * INCH,
            blank_extra_width=0,
            thickness=panel.thickness + panel_off,
            count=list(widths).count(width),
        )
