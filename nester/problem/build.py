"""From parts and stock to the problem in whole grid cells."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from inventory.length import Length
from inventory.measure import value_of
from inventory.stock import Board, Face, Flaw, FlawKind, Stock
from nester.area import wood_area
from nester.blanks import (
    Needed,
    Obstacle,
    crosscut_kerf,
    end_trim,
    far_loss,
    near_loss,
    near_losses,
    needed,
    obstacles,
    refusal,
    rip_kerf,
    round_up,
)
from nester.blanks.cutaways import Lie
from nester.blanks.cutaways import lies as lies_of
from nester.model import FirstCut, Match, Part, Shop
from nester.problem.excuses import Excuse, excuse
from nester.problem.gluing import Gluer
from nester.problem.kinds import Kind, Line, Strip
from nester.problem.lists import Ground
from nester.problem.matches import Chooser, Taken, taken
from nester.problem.possible import possible
from nester.problem.raster import Block, blocks_of, clipped, far_edge, inside, widths_floor
from nester.problem.records import Blocks, Demand, Option, Problem, StockItem

Excused: TypeAlias = tuple[tuple[Obstacle, Excuse | None], ...]
Lists: TypeAlias = dict[Excused, int]

TICKS_IN_ALL = 10**12
"""The stock's whole value in ticks: fine enough to round money, coarse enough for 64 bits."""


def build(
    parts: Sequence[Part], stock: Sequence[Stock], shop: Shop, matches: Sequence[Match] = ()
) -> Problem:
    """Return the problem of cutting ``parts`` from ``stock``, matched as ``matches`` say.

    Stock that can give none of the parts is left out. Raises ``ValueError`` where a part asks for
    something that cannot be planned (the readers' business to have said so).
    """
    groups = _grouped(parts)
    found = taken(matches, parts)
    singles = [_single(group, found) for group in groups]
    values = [value_of(item) for item in stock]
    total = sum((v * s.count for v, s in zip(values, stock, strict=True)), Fraction(0))
    ticks = TICKS_IN_ALL / total if total > 0 else Fraction(1)
    kinds: list[Kind] = []
    number = {part.name: d for d, group in enumerate(groups) for part in group}
    chooser = Chooser(parts, stock, kinds, lambda part: number[part.name])
    gluer = Gluer(stock, shop, kinds)
    chooser.first = gluer.first = len(groups)
    penalty = _up((shop.corner_penalty or Fraction(0)) * ticks)
    choices = chooser.choices(matches, penalty)
    for d, group in enumerate(groups):
        gluer.part(d, group[0])
    for k, kind in enumerate(list(kinds)):
        if isinstance(kind, Line):
            gluer.line(len(groups) + k, kind)
    glues = gluer.glues()
    items = []
    for item, value in zip(stock, values, strict=True):
        made = _stock_item(item, value * ticks, [group[0] for group in groups], shop, kinds)
        if made is not None:
            items.append(made)
    demands = [*singles, *(_composite(kind, shop) for kind in kinds)]
    together = tuple(chooser.together(matches, penalty))
    more = Counter(kind for t in together for kind in t.kinds * len(t.parts))
    demands = [replace(d, copies=d.copies + more[i]) for i, d in enumerate(demands)]
    problem = Problem(
        shop.grid, ticks, tuple(demands), tuple(items), tuple(choices), tuple(glues), together
    )
    return possible(problem)


def _single(group: Sequence[Part], found: Taken) -> Demand:
    """Return the demand for parts that are not in a match."""
    belong = tuple(found.of(part.name) for part in group)
    left = [part.copies - used for part, used in zip(group, belong, strict=True)]
    return Demand(
        parts=tuple((part.name, copies) for part, copies in zip(group, left, strict=True)),
        copies=sum(left),
        area=group[0].length * group[0].width,
        taken=belong if any(belong) else (),
    )


def _composite(kind: Kind, shop: Shop) -> Demand:
    """Return a kind of blank that is only wanted where a match or a panel is made of it."""
    if isinstance(kind, Strip):
        longest = max(part.length for part in kind.parts)
        return Demand((), 0, longest * kind.width * shop.grid, size=0)
    area = sum(part.length * part.width for part in kind.parts)
    return Demand((), 0, area, size=len(kind.parts))


def _grouped(parts: Sequence[Part]) -> list[list[Part]]:
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in parts:
        if part.copies == 0:
            continue
        key = (
            part.length + part.extra_length,
            part.width + part.extra_width,
            part.thickness,
            part.length * part.width,
            frozenset(part.materials),
            part.grain,
            part.quality,
            part.allow,
            frozenset(part.from_stock),
            frozenset(part.not_from),
            part.sawn,
            part.blank_extra_length,
            part.blank_extra_width,
            part.plane_off,
            part.pulled_flat,
            (part.length, part.width, part.cutaways) if part.cutaways else (),
            part.glue_up,
        )
        groups.setdefault(key, []).append(part)
    return sorted(groups.values(), key=lambda g: (-g[0].length * g[0].width, g[0].name))


def _stock_item(
    item: Stock, value: Fraction, parts: Sequence[Part], shop: Shop, kinds: Sequence[Kind] = ()
) -> StockItem | None:
    ways = [
        (d, part, way)
        for d, part in enumerate(parts)
        for way in needed(part, item, shop)
        if refusal(part, item, shop, way) is None
    ]
    if not ways and not kinds:
        return None
    grid = shop.grid
    nx, ny = item.length // grid, item.width // grid
    trim = end_trim(item, shop)
    x0, x1 = trim // grid, (item.length - trim) // grid
    edge = _edge_blocks(item, shop, nx, ny)
    metal = _metal(item, shop, nx, ny)
    kerf = crosscut_kerf(item, shop) // grid
    if trim and any(
        (a < x0 and c > x0 - kerf) or (a < x1 + kerf and c > x1) for a, _, c, _ in metal
    ):
        return None  # the saw would meet metal where the ends are squared
    if trim and not isinstance(item, Board):
        y0 = near_loss(item, shop, item.length) // grid
        y1 = (item.width - far_loss(item, shop)) // grid
        rip = rip_kerf(item, shop) // grid
        if any((b < y0 and d > y0 - rip) or (b < y1 + rip and d > y1) for _, b, _, d in metal):
            return None  # nor may it where a sheet's other edges are trimmed
    lists: Lists = {}
    options = tuple(o for d, part, way in ways for o in _options(d, part, way, item, shop, lists))
    listed = [_listed(edge, found, grid, nx, ny) for found in lists]
    ground = Ground(item, shop, edge, (nx, ny), len(listed))
    for d, kind in enumerate(kinds, len(parts)):
        options += tuple(kind.options(d, ground))
    if not options:
        return None
    listed += [_rows(found) for found in ground.lists]
    board = isinstance(item, Board)
    least = shop.offcut_min if board else shop.sheet_offcut_min
    stages = shop.stages if board else shop.sheet_stages
    area = wood_area(item)
    return StockItem(
        id=item.id,
        board=board,
        count=item.count,
        nx=nx,
        ny=ny,
        x0=x0,
        x1=x1,
        kx=crosscut_kerf(item, shop) // grid,
        ky=rip_kerf(item, shop) // grid,
        near=np.array(near_losses(item, shop, nx), dtype=np.int32) // grid,
        blocks=tuple(blocks for blocks, _ in listed),
        metal=metal,
        options=options,
        first_x=not board or shop.first_cut is not FirstCut.RIP,
        first_y=not board or shop.first_cut is not FirstCut.CROSSCUT,
        stages=stages or 0,
        rip_min=_rip_min(item, shop),
        off_length=round_up(least[0], grid) // grid,
        off_width=round_up(least[1], grid) // grid,
        off_either=not board,
        credit=_credit(item, grid, nx, ny),
        beyond=_beyond(item, grid, nx, ny),
        square=_square(item, grid),
        far=(item.width - far_loss(item, shop)) // grid if _square(item, grid) else -1,
        value=int(value),
        cell_credit=_up(value * shop.offcut_credit * grid * grid / area),
        excuses=tuple(rows for _, rows in listed) if any(rows for _, rows in listed) else (),
    )


def _beyond(item: Stock, grid: int, nx: int, ny: int) -> int:
    ragged_end, ragged_edge = item.length % grid > 0, item.width % grid > 0
    return ny * ragged_end + nx * ragged_edge + (ragged_end and ragged_edge)


def _square(item: Stock, grid: int) -> bool:
    if isinstance(item, Board) and item.width_a != item.width_b:
        return False
    return item.length % grid == 0 and item.width % grid == 0


def _up(value: Fraction) -> int:
    return -(-value.numerator // value.denominator)


def _rip_min(item: Stock, shop: Shop) -> int:
    if not isinstance(item, Board) or shop.shortest_rip == 0:
        return -1
    return round_up(shop.shortest_rip, shop.grid) // shop.grid


def _options(
    demand: int, part: Part, way: Needed, item: Stock, shop: Shop, lists: Lists
) -> list[Option]:
    """Return the ways to take a blank lying this way: one, or more where a cutaway matters."""
    faces = obstacles(part, way, item, shop)
    either = Face.BOTH in faces
    order = [False, True]
    if item.show_face is Face.B:
        order = [True, False]
    best = Lie(way.turned, False, order[0])
    lies = [best] if either else [Lie(way.turned, False, flipped) for flipped in order]
    if part.cutaways:
        lies = sorted(lies_of(way.turned), key=lambda lie: (lie.flipped != order[0], lie.reversed))
    shows: dict[int, Lie] = {}
    for lie in lies:
        face = Face.BOTH if either else Face.B if lie.flipped else Face.A
        found = tuple((o, excuse(part, lie, o.flaw, item, shop.grid)) for o in faces[face])
        shows.setdefault(lists.setdefault(found, len(lists)), lie)
    pairs = list(shows.items())
    return [
        Option(
            demand=demand,
            length=way.length // shop.grid,
            width=way.width // shop.grid,
            turned=way.turned,
            shows=tuple((index, lie.flipped) for index, lie in pairs[i : i + 2]),
            reversed=tuple(lie.reversed for _, lie in pairs[i : i + 2]) if part.cutaways else (),
        )
        for i in range(0, len(pairs), 2)
    ]


def _listed(
    edge: Sequence[Block], found: Excused, grid: Length, nx: int, ny: int
) -> tuple[Blocks, tuple[tuple[int, Excuse], ...]]:
    """Return the blocks of a list in order, and which of them are excused where."""
    rows: dict[tuple[Block, Excuse | None], None] = dict.fromkeys((block, None) for block in edge)
    for obstacle, excused in found:
        for block in blocks_of(obstacle, grid, nx, ny):
            rows[(block, excused)] = None
    return _rows(sorted(rows, key=lambda row: row[0]))


def _rows(
    rows: Sequence[tuple[Block, Excuse | None]],
) -> tuple[Blocks, tuple[tuple[int, Excuse], ...]]:
    blocks = np.array([block for block, _ in rows], dtype=np.int32).reshape(-1, 4)
    return blocks, tuple((i, excused) for i, (_, excused) in enumerate(rows) if excused)


def _edge_blocks(item: Stock, shop: Shop, nx: int, ny: int) -> list[Block]:
    loss = far_loss(item, shop)
    if isinstance(item, Board):
        return far_edge(item, loss, shop.grid, nx, ny)
    return clipped([(0, (item.width - loss) // shop.grid, nx, ny)], nx, ny)


def _metal(item: Stock, shop: Shop, nx: int, ny: int) -> Blocks:
    clear = shop.metal_clear
    return _array(
        [
            block
            for flaw in item.flaws
            if flaw.kind is FlawKind.METAL
            for block in blocks_of(Obstacle(flaw, clear, clear), shop.grid, nx, ny)
        ]
    )


def _array(blocks: Sequence[Block]) -> Blocks:
    return np.array(sorted(set(blocks)), dtype=np.int32).reshape(-1, 4)


def _credit(item: Stock, grid: int, nx: int, ny: int) -> NDArray[np.int32]:
    """Return prefix sums of cells that may hold creditable wood, so never too few."""
    cells = np.ones((ny, nx), dtype=np.int32)
    if isinstance(item, Board):
        widths = widths_floor(item, grid, nx)
        widest = np.maximum(widths[:-1], widths[1:]) + 1
        cells[np.arange(ny)[:, None] >= -(-widest // grid)] = 0
    for flaw in _unsound(item.flaws):
        for x1, y1, x2, y2 in inside(flaw, grid, nx, ny):
            cells[y1:y2, x1:x2] = 0
    # What lies beyond the last whole cell is counted with it.
    cells[:, -1] *= 1 + (item.length % grid > 0)
    cells[-1, :] *= 1 + (item.width % grid > 0)
    sums = np.zeros((ny + 1, nx + 1), dtype=np.int32)
    np.cumsum(np.cumsum(cells, axis=0, dtype=np.int32), axis=1, dtype=np.int32, out=sums[1:, 1:])
    return sums


def _unsound(flaws: Sequence[Flaw]) -> list[Flaw]:
    return [flaw for flaw in flaws if not flaw.sound]
