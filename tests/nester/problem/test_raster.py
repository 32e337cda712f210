"""Flaw shapes on the grid: outward for what must be avoided, inward for what is taken off."""

from fractions import Fraction
from itertools import pairwise
from math import floor
from random import Random

import pytest

from inventory.polygon import outline_fault
from inventory.stock import Board, Flaw, FlawKind
from nester.blanks import Obstacle
from nester.problem.raster import blocks_of, clipped, far_edge, inside, joined, merged, spans
from nester.verify.records import Flaw as Judged
from nester.verify.shapes import Rect, touches

GRID = 10


def rectangle(x: int, y: int, length: int, width: int) -> Flaw:
    """Return a knot that is a rectangle."""
    return Flaw(FlawKind.KNOT, x, y, length, width)


def outlined(*points: tuple[int, int]) -> Flaw:
    """Return wane with an outline."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    return Flaw(FlawKind.WANE, *box, outline=points)


def test_on_the_grid_nothing_is_added() -> None:
    """A rectangle on the grid is its own cells, and no others."""
    assert blocks_of(Obstacle(rectangle(20, 10, 30, 20), 0, 0), GRID, 20, 10) == [(2, 1, 5, 3)]


def test_off_the_grid_it_grows_outward() -> None:
    """Cells that are only touched are blocked too."""
    assert blocks_of(Obstacle(rectangle(21, 9, 28, 22), 0, 0), GRID, 20, 10) == [(2, 0, 5, 4)]


def test_margin_first_then_the_grid() -> None:
    """6 of margin on a flaw at 26 reaches 20, which is on the grid: nothing is rounded."""
    assert blocks_of(Obstacle(rectangle(26, 26, 8, 8), 6, 6), GRID, 20, 10) == [(2, 2, 4, 4)]


def test_clipped_to_the_stock() -> None:
    """What reaches past the stock is left out."""
    assert blocks_of(Obstacle(rectangle(0, 0, 20, 20), 25, 25), GRID, 4, 4) == [(0, 0, 4, 4)]
    assert clipped([(-3, -2, -1, 5), (3, 3, 9, 9)], 4, 4) == [(3, 3, 4, 4)]


def test_a_triangle() -> None:
    """A right triangle of 40 x 40 blocks a staircase, a step for every cell."""
    found = blocks_of(Obstacle(outlined((0, 0), (40, 0), (40, 40)), 0, 0), GRID, 10, 10)
    assert sorted(found) == [(0, 0, 1, 1), (1, 0, 2, 2), (2, 0, 3, 3), (3, 0, 4, 4)]


def test_inside_a_triangle() -> None:
    """Wholly inside it lie fewer: the staircase one step down."""
    found = inside(outlined((0, 0), (40, 0), (40, 40)), GRID, 10, 10)
    assert sorted(found) == [(1, 0, 2, 1), (2, 0, 3, 2), (3, 0, 4, 3)]
    assert inside(rectangle(21, 9, 28, 22), GRID, 20, 10) == [(3, 1, 4, 3)]


def test_spans_round_outward() -> None:
    """Between two places a polygon covers its lowest to its highest point there."""
    assert spans(((0, 0), (40, 0), (40, 40)), 10, 20) == [(0, 20)]
    assert spans(((0, 0), (3, 0), (3, 1)), 1, 2) == [(0, 1)]  # 1/3 to 2/3 go outward
    assert spans(((0, 0), (40, 0), (40, 40)), 50, 60) == []


def test_joined() -> None:
    """Ranges that touch or overlap become one."""
    assert joined([(5, 7), (0, 2), (2, 3), (6, 9)]) == [(0, 3), (5, 9)]


def test_merged() -> None:
    """Neighbours of equal height become one block; a gap or another height does not."""
    columns = [(0, 1, 1, 3), (1, 1, 2, 3), (2, 1, 3, 4), (4, 1, 5, 4)]
    assert merged(columns) == [(0, 1, 2, 3), (2, 1, 3, 4), (4, 1, 5, 4)]


def test_far_edge_of_a_taper() -> None:
    """A board of 40 x 40 to 20 blocks what lies past its narrowest width over each cell."""
    tapered = Board("M-1", "maple", 40, 40, 20, 10, 10)
    assert far_edge(tapered, 0, GRID, 4, 4) == [(0, 3, 2, 4), (2, 2, 4, 4)]
    assert far_edge(tapered, 5, GRID, 4, 4) == [(0, 3, 1, 4), (1, 2, 3, 4), (3, 1, 4, 4)]


@pytest.mark.parametrize("seed", range(40))
def test_far_edge_cell_by_cell(seed: int) -> None:
    """Each column is blocked from the narrowest width over it, less the loss, rounded down."""
    rng = Random(seed)
    length, wide, narrow = rng.randint(20, 200), rng.randint(10, 90), rng.randint(10, 90)
    board, loss = Board("M-1", "maple", length, wide, narrow, 10, 10), rng.choice([0, 3, 12])
    nx, ny = length // GRID, max(wide, narrow) // GRID
    blocks = far_edge(board, loss, GRID, nx, ny)
    found = {(x, y) for a, b, c, d in blocks for x in range(a, c) for y in range(b, d)}
    edge = [wide + Fraction((narrow - wide) * n * GRID, length) for n in range(nx + 1)]
    assert found == {
        (x, y)
        for x in range(nx)
        for y in range(ny)
        if (y + 1) * GRID > floor(min(edge[x], edge[x + 1])) - loss
    }
    assert all(a[2] == b[0] and a[1] != b[1] for a, b in pairwise(blocks))


def simple(rng: Random) -> Flaw | None:
    """Return a random simple polygon, or None where the points make none."""
    points = tuple((rng.randint(0, 95), rng.randint(0, 55)) for _ in range(rng.randint(3, 5)))
    return None if outline_fault(points) else outlined(*points)


def judged(flaw: Flaw) -> Judged:
    """Return the flaw as the checker's records hold it."""
    return Judged(
        kind="wane",
        x=flaw.x,
        y=flaw.y,
        length=flaw.length,
        width=flaw.width,
        face="both",
        sound=False,
        outline=flaw.outline,
    )


@pytest.mark.parametrize("seed", range(25))
def test_blocks_say_what_the_shapes_say(seed: int) -> None:
    """A rectangle on the grid meets a block just where it meets the grown shape, by exact geometry.

    With a margin the checker grows the rectangle, the solver the flaw: the same thing.
    """
    rng = Random(seed)
    flaw = None
    while flaw is None:
        flaw = simple(rng)
    mx, my = rng.choice(((0, 0), (7, 0), (4, 4), (13, 6)))
    found = blocks_of(Obstacle(flaw, mx, my), GRID, 10, 6)
    for x1 in range(10):
        for x2 in range(x1 + 1, 11):
            for y1 in range(6):
                for y2 in range(y1 + 1, 7):
                    box = Rect(x1 * GRID, y1 * GRID, x2 * GRID, y2 * GRID).grown(mx, my)
                    met = any(a < x2 and c > x1 and b < y2 and d > y1 for a, b, c, d in found)
                    assert met == touches(judged(flaw), box), (x1, y1, x2, y2)


@pytest.mark.parametrize("seed", range(25))
def test_cells_inside_lie_inside(seed: int) -> None:
    """No cell that counts as inside reaches out of the shape: all of it is covered."""
    from fractions import Fraction

    from nester.verify.areas import covered

    rng = Random(100 + seed)
    flaw = None
    while flaw is None:
        flaw = simple(rng)
    for x1, y1, x2, y2 in inside(flaw, GRID, 10, 6):
        box = Rect(x1 * GRID, y1 * GRID, x2 * GRID, y2 * GRID).corners()
        area = (x2 - x1) * (y2 - y1) * GRID * GRID
        assert flaw.outline is not None
        assert covered(box, [flaw.outline]) == Fraction(area)
