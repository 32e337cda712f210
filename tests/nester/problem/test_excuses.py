"""Where flaws are excused, against the arc's own formula and every cell by itself."""

from fractions import Fraction
from itertools import product
from random import Random

import pytest

from inventory.length import INCH, MM
from inventory.stock import Board, Flaw, FlawKind, Point
from nester.blanks.cutaways import Lie, height_of, inside_between, lies
from nester.model import Arch, Cutaway, Outline, Part
from nester.problem.excuses import excuse, in_slot

GRID = INCH


def part_with(*cutaways: Cutaway, length: Fraction, width: Fraction) -> Part:
    """Return a part of so many inches with cutaways."""
    return Part("rail", _units(length), _units(width), INCH, ("maple",), cutaways=cutaways)


def _units(inches: Fraction | int) -> int:
    found = Fraction(inches) * INCH
    assert found.denominator == 1
    return int(found)


def rect(x: Fraction, y: Fraction, length: Fraction, width: Fraction, kind: FlawKind) -> Flaw:
    """Return a flaw of so many inches."""
    return Flaw(kind, _units(x), _units(y), _units(length), _units(width))


def under_arch(arch: Arch, width: int, p: Fraction, q: Fraction) -> bool:
    """Whether a point of the part is in an arch, by R = c**2 / 8 h + h / 2 and Pythagoras."""
    c, h = Fraction(arch.span), Fraction(arch.rise)
    radius = c * c / (8 * h) + h / 2
    up = q if arch.edge == "near" else width - q
    beside = p - arch.start - c / 2
    return up >= 0 and beside**2 + (up + radius - h) ** 2 <= radius**2


def in_outline(points: tuple[Point, ...], cell: list[tuple[Fraction, Fraction]]) -> bool:
    """Whether a cell lies in an outline: its middle does and no side runs through it."""
    low = (min(x for x, _ in cell), min(y for _, y in cell))
    high = (max(x for x, _ in cell), max(y for _, y in cell))
    sides = list(zip(points, (*points[1:], points[0]), strict=True))
    for (x1, y1), (x2, y2) in sides:
        # The stretch of the side inside the open cell, by clipping at its four sides.
        first, last = Fraction(0), Fraction(1)
        for start, step, least, most in (
            (x1, x2 - x1, low[0], high[0]),
            (y1, y2 - y1, low[1], high[1]),
        ):
            if step == 0:
                if not least < start < most:
                    first, last = Fraction(1), Fraction(0)
                continue
            ends = sorted(((least - start) / Fraction(step), (most - start) / Fraction(step)))
            first, last = max(first, ends[0]), min(last, ends[1])
        if first < last:
            return False
    mx, my = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    crossed = sum(
        min(x1, x2) <= mx < max(x1, x2) and y1 + (y2 - y1) * (mx - x1) / (x2 - x1) > my
        for (x1, y1), (x2, y2) in sides
    )
    return crossed % 2 == 1


def on_part(
    part: Part, lie: Lie, blank: tuple[int, int, int, int], x: int, y: int
) -> tuple[Fraction, Fraction]:
    """Return a point of the stock as it lies on the part, from how a maker lays it.

    Spare length is shared; the near edge lies on the blank's edge, or the far edge where all
    arches are there.
    """
    x1, y1, x2, y2 = (value * GRID for value in blank)
    if lie.turned:
        # A quarter turn: near edge to end A, end A to the far edge.
        x, y, x1, y1, x2, y2 = -y, x, -y2, x1, -y1, x2
    p = x - Fraction(x1 + x2 - part.length, 2)
    if lie.reversed:
        p = part.length - p
    arches = [c for c in part.cutaways if isinstance(c, Arch)]
    spare_near = (y2 - y1 - part.width) if arches and all(a.edge == "far" for a in arches) else 0
    low = lie.reversed == lie.flipped
    q = Fraction((y - y1) if low else (y2 - y)) - spare_near
    return p, q


def cell_inside(
    part: Part, cutaway: Cutaway, lie: Lie, blank: tuple[int, int, int, int], i: int, j: int
) -> bool:
    """Whether a cell of the stock lies wholly inside a cutaway."""
    corners = [
        on_part(part, lie, blank, x * GRID, y * GRID) for x, y in product((i, i + 1), (j, j + 1))
    ]
    if isinstance(cutaway, Arch):
        return all(under_arch(cutaway, part.width, p, q) for p, q in corners)
    return in_outline(cutaway.points, corners)


HALF = Fraction(1, 2)
L_SHAPE = ((0, 0), (5, 0), (5, 3), (2, 3), (2, 5), (0, 5))
SLANTED = ((3, 0), (11, 0), (8, 4), (6, 2), (4, 5))
PARTS = {
    "near arch": part_with(
        Arch("near", 2 * INCH, 10 * INCH, 4 * INCH), length=Fraction(15), width=Fraction(6)
    ),
    "far arch, off the middle": part_with(
        Arch("far", INCH, 9 * INCH, 3 * INCH), length=Fraction(14), width=Fraction(11, 2)
    ),
    "two arches": part_with(
        Arch("near", INCH, 8 * INCH, 3 * INCH),
        Arch("far", 4 * INCH, 8 * INCH, 2 * INCH),
        length=Fraction(27, 2),
        width=Fraction(7),
    ),
    "a step": part_with(
        Outline(tuple((x * INCH, y * INCH) for x, y in L_SHAPE)),
        length=Fraction(10),
        width=Fraction(5),
    ),
    "slants": part_with(
        Outline(tuple((x * INCH, y * INCH) for x, y in SLANTED)),
        length=Fraction(23, 2),
        width=Fraction(6),
    ),
}


@pytest.mark.parametrize("name", PARTS)
@pytest.mark.parametrize("seed", range(6))
def test_tables_against_every_cell(name: str, seed: int) -> None:
    """A table says yes exactly where each cell that a flaw reaches into lies in one cutaway."""
    rng = Random(f"{name} {seed}")
    part = PARTS[name]
    stock = Board("B", "maple", 30 * INCH, 30 * INCH, 30 * INCH, INCH, INCH)
    if seed % 3 == 2:
        x, y = rng.randint(8, 14), rng.randint(8, 14)
        corners = [(x, y), (x + 2, y + 1), (x + rng.choice((0, 1)), y + 2)]
        outline = tuple((a * INCH, b * INCH) for a, b in corners)
        flaw = Flaw(FlawKind.KNOT, x * INCH, y * INCH, 2 * INCH, 2 * INCH, outline=outline)
        cells = [
            (i, j) for i, j in product(range(x, x + 2), range(y, y + 2)) if _reaches(outline, i, j)
        ]
    else:
        x, y = rng.randint(16, 28) * HALF, rng.randint(16, 28) * HALF
        long, wide = rng.randint(1, 4) * HALF, rng.randint(1, 4) * HALF
        flaw = rect(x, y, long, wide, FlawKind.KNOT)
        cells = list(
            product(range(int(x), -int(-(x + long) // 1)), range(int(y), -int(-(y + wide) // 1)))
        )
    yes = 0
    for lie in [*lies(False), *lies(True)]:
        found = excuse(part, lie, flaw, stock, GRID)
        for _ in range(400):
            blank = _blank(rng, part, lie, flaw)
            want = any(
                all(cell_inside(part, cutaway, lie, blank, i, j) for i, j in cells)
                for cutaway in part.cutaways
            )
            assert (found is not None and found.holds(*blank)) == want, (lie, blank)
            yes += want
    assert yes > 0


def _blank(rng: Random, part: Part, lie: Lie, flaw: Flaw) -> tuple[int, int, int, int]:
    """Return a blank, often a little larger than needed, that lies over a flaw."""
    a, b = -(-part.length // GRID) + rng.randint(0, 3), -(-part.width // GRID) + rng.randint(0, 2)
    if lie.turned:
        a, b = b, a
    x = flaw.x // GRID - rng.randint(0, a - 1)
    y = flaw.y // GRID - rng.randint(0, b - 1)
    return x, y, x + a, y + b


def _reaches(outline: tuple[Point, ...], i: int, j: int) -> bool:
    """Whether a triangle reaches into a cell: no line between them keeps them apart."""
    cell = [(i * INCH, j * INCH), ((i + 1) * INCH, j * INCH)]
    cell += [((i + 1) * INCH, (j + 1) * INCH), (i * INCH, (j + 1) * INCH)]
    ways = [(1, 0), (0, 1)]
    ways += [
        (y1 - y2, x2 - x1)
        for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True)
    ]
    for a, b in ways:
        one = [a * x + b * y for x, y in outline]
        other = [a * x + b * y for x, y in cell]
        if max(one) <= min(other) or max(other) <= min(one):
            return False
    return True


def test_metal_and_voids_are_never_excused() -> None:
    """Metal and voids count wherever they lie; a knot of the same size does not."""
    part = PARTS["near arch"]
    stock = Board("B", "maple", 30 * INCH, 30 * INCH, 30 * INCH, INCH, INCH)
    for kind in FlawKind:
        flaw = rect(Fraction(10), Fraction(10), Fraction(1), Fraction(1), kind)
        found = excuse(part, Lie(), flaw, stock, GRID)
        assert (found is None) == (kind in (FlawKind.METAL, FlawKind.VOID)), kind


ARCS = [
    # chord, rise, unit, height a quarter of the chord beside the middle, to four figures. From
    # y = sqrt(R**2 - x**2) - (R - h) with R = c**2 / 8 h + h / 2, the sagitta of a chord.
    (30, 2, INCH, "1.5066"),
    (48, 3, INCH, "2.2587"),
    (24, Fraction(3, 2), INCH, "1.1294"),
    (36, Fraction(9, 4), INCH, "1.6940"),
    (600, 40, MM, "30.1322"),
]


@pytest.mark.parametrize(("chord", "rise", "unit", "height"), ARCS)
def test_heights_of_arcs(chord: int, rise: Fraction, unit: int, height: str) -> None:
    """An arch is as high as its circle a quarter of the span beside the middle, and full at it."""
    span, top = chord * unit, int(rise * unit)
    arch = Arch("near", 0, span, top)
    assert height_of(arch, 0) == top
    assert height_of(arch, span) == height_of(arch, -span) == 0
    found = Fraction(height_of(arch, span // 2), unit)
    # Four figures are half of the last one off, and the height is rounded down to 1/320 mm.
    assert abs(found - Fraction(height)) <= Fraction(1, 20000) + Fraction(1, unit)
    assert height_of(arch, span // 2) == height_of(arch, -span // 2)


def test_half_circle() -> None:
    """With a rise of half the span the arc is a half circle: 3, 4, 5."""
    arch = Arch("near", 0, 10 * INCH, 5 * INCH)
    assert height_of(arch, 2 * 3 * INCH) == 4 * INCH
    assert height_of(arch, 2 * 4 * INCH) == 3 * INCH


def test_between_two_places() -> None:
    """What lies in a cutaway over a stretch is what lies in it at every place of the stretch."""
    near, far = Arch("near", 0, 10 * INCH, 5 * INCH), Arch("far", 0, 10 * INCH, 5 * INCH)
    ends = 2 * 8 * INCH, 2 * 9 * INCH
    assert inside_between(near, 7 * INCH, *ends) == [(0, 3 * INCH)]
    assert inside_between(far, 7 * INCH, *ends) == [(4 * INCH, 7 * INCH)]
    assert inside_between(near, 7 * INCH, 18 * INCH, 21 * INCH) == []
    step = Outline(tuple((x * INCH, y * INCH) for x, y in L_SHAPE))
    assert inside_between(step, 5 * INCH, 2 * INCH, 6 * INCH) == [(0, 3 * INCH)]
    assert inside_between(step, 5 * INCH, 2 * INCH, 4 * INCH) == [(0, 5 * INCH)]
    assert inside_between(step, 5 * INCH, 8 * INCH, 12 * INCH) == []


@pytest.mark.parametrize("seed", range(8))
def test_parts_in_a_blank_of_several(seed: int) -> None:
    """What holds for a part by itself holds for it in its place in a larger blank.

    Three pieces end to end or edge to edge; the blank may be larger than needed, which goes to its
    last piece. Each part lies against its joints.
    """
    rng = Random(f"several {seed}")
    part = PARTS["near arch" if seed % 2 else "far arch, off the middle"]
    stock = Board("B", "maple", 90 * INCH, 90 * INCH, 90 * INCH, INCH, INCH)
    length, width = (-(-size // GRID) for size in (part.length, part.width))
    yes = 0
    for lie in [*lies(False), *lies(True)]:
        flaw = rect(*(Fraction(rng.randint(50, 60)) for _ in "xy"), *(HALF, HALF), FlawKind.KNOT)
        alone = excuse(part, lie, flaw, stock, GRID)
        assert alone is not None
        seat = (width, length) if lie.turned else (length, width)
        axis = rng.randrange(2)
        more, kerf = rng.randint(0, 2), rng.randint(0, 2)
        sizes = [seat[axis] + more, seat[axis], seat[axis] + more]
        starts = [0, sizes[0] + kerf, sizes[0] + sizes[1] + 2 * kerf]
        whole = [0, 0, *seat]
        whole[axis + 2] = starts[2] + sizes[2]
        size = (whole[0], whole[1], whole[2], whole[3])
        for i in range(3):
            own = list(size)
            own[axis], own[axis + 2] = starts[i], starts[i] + sizes[i]
            found = in_slot(alone, (own[0], own[1], own[2], own[3]), size, seat)
            for _ in range(300):
                corner = [0, 0]
                for a in (0, 1):
                    reach = own[a + 2]
                    corner[a] = (flaw.x, flaw.y)[a] // GRID - rng.randrange(reach)
                spare = rng.randint(0, 2), rng.randint(0, 2)
                blank = (*corner, *(corner[a] + size[a + 2] + spare[a] for a in (0, 1)))
                held = [*blank]
                # Along the row a part keeps its distance from the first corner; across it is free.
                inside = own[axis] + (more if i == 0 else 0)
                held[axis] = corner[axis] + inside
                held[axis + 2] = corner[axis] + inside + seat[axis]
                want = alone.holds(held[0], held[1], held[2], held[3])
                assert found.holds(blank[0], blank[1], blank[2], blank[3]) == want, (i, blank)
                yes += want
    assert yes > 10
