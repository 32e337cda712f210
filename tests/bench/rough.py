"""Boards with flaws and parts cut out of them, so that a plan is known.

Sizes here are cells of 1/8 in. Boards are square and straight on all sides, nothing is lost but the
kerf of one cell, and a part may lie right beside a flaw.
"""

import random
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from inventory.length import INCH
from inventory.stock import Board, Edges, Ends, Flaw, FlawKind, Surface
from nester.model import Kerfs, Part, PlaneOff, Project, Shop, System
from nester.shop_defaults import INCH_SHOP

CELL = INCH // 8
KERF = 1
SHORTEST = 6 * 8
"""A part is at least this long; what is shorter between two flaws is waste."""
LEFT_OUT = 0.15

Rect: TypeAlias = tuple[int, int, int, int]
"""x1, y1, x2, y2 [cells]."""


@dataclass(frozen=True, slots=True)
class Sawn:
    """Pieces in a row along ``axis``, each from ``start`` to ``end``: a part or a row across."""

    axis: str
    pieces: tuple[tuple[int, int, "Sawn | str"], ...]


@dataclass(frozen=True, slots=True)
class Lumber:
    """A job with a known plan: for each board that it uses, how the board is sawn."""

    project: Project
    boards: tuple[Board, ...]
    known: tuple[tuple[Board, Sawn], ...]


SHOP: Shop = replace(
    INCH_SHOP,
    tape=CELL,
    grid=CELL,
    kerf=Kerfs(crosscut=CELL, rip=CELL, rough_rip=CELL, sheet=CELL, resaw=CELL),
    blank_extra_length=0,
    blank_extra_width=0,
    plane_off=PlaneOff(rough=0, skip_planed=0, s2s=0, s4s=0),
    panel_off=0,
    end_trim=0,
    edge_trim=0,
    flaw_margin=0,
    split_margin=0,
    metal_clear=0,
    shortest_milled=0,
    shortest_rip=0,
)


def lumber(m: int, number: int, *, tight: bool) -> Lumber:
    """Return a job whose parts come out of ``m`` of ``2 m`` boards.

    ``tight``: all the parts; otherwise 15 % of them are left out. The same ``m`` and ``number``
    give the same boards either way.
    """
    rng = random.Random(f"lumber {m} {number}")
    ids = [f"B-{i:02}" for i in range(1, 2 * m + 1)]
    rng.shuffle(ids)
    boards = [_board(rng, name) for name in ids]
    sawn = [_cut_up(rng, board) for board in boards[:m]]
    sizes = [size for rows, found in sawn for size in found]
    names = [f"part {i:03}" for i in range(1, len(sizes) + 1)]
    rng.shuffle(names)
    out = set() if tight else set(rng.sample(names, round(LEFT_OUT * len(names))))
    given = iter(names)
    known = []
    for board, (row, found) in zip(boards, sawn, strict=False):
        kept = _named(row, {str(i): next(given) for i in range(len(found))}, out)
        if kept is not None:
            known.append((board, kept))
    parts = [_part(name, size) for name, size in zip(names, sizes, strict=True) if name not in out]
    kind = "tight" if tight else "workshop"
    project = Project(
        name=f"{kind} {m}-{number:02}",
        units=System.INCH,
        shop=SHOP,
        parts=tuple(sorted(parts, key=lambda part: part.name)),
    )
    return Lumber(project, tuple(sorted(boards, key=lambda board: board.id)), tuple(known))


def _part(name: str, size: tuple[int, int]) -> Part:
    length, width = size
    return Part(
        name=name,
        length=length * CELL,
        width=width * CELL,
        thickness=INCH,
        materials=("oak",),
    )


def _board(rng: random.Random, name: str) -> Board:
    length, width = rng.randint(60 * 8, 132 * 8), rng.randint(5 * 8, 11 * 8)
    flaws = []
    for _ in range(rng.randint(0, 4)):
        long, wide = rng.randint(4, 20), rng.randint(2, 12)
        x, y = rng.randint(0, length - long), rng.randint(0, width - wide)
        flaws.append(Flaw(FlawKind.KNOT, x * CELL, y * CELL, long * CELL, wide * CELL))
    return Board(
        id=name,
        species="oak",
        length=length * CELL,
        width_a=width * CELL,
        width_b=width * CELL,
        thickness=INCH,
        sold_as=INCH,
        surface=Surface.S4S,
        ends=Ends.SQUARE,
        edges=Edges.STRAIGHT,
        price=Fraction(8),
        flaws=tuple(flaws),
    )


def _cut_up(rng: random.Random, board: Board) -> tuple[Sawn, list[tuple[int, int]]]:
    """Return how a board is crosscut, ripped and crosscut, and the sizes of the parts by number."""
    length, width = board.length // CELL, board.width // CELL
    flaws = [
        (f.x // CELL, f.y // CELL, (f.x + f.length) // CELL, (f.y + f.width) // CELL)
        for f in board.flaws
    ]
    sizes: list[tuple[int, int]] = []
    sections = []
    for left, right in _split(rng, 0, length, 16 * 8, 44 * 8):
        strips = []
        for near, far in _split(rng, 0, width, 12, 40):
            pieces = []
            for start, end in _clear(left, right, near, far, flaws):
                for a, b in _split(rng, start, end, 8 * 8, 36 * 8):
                    pieces.append((a, b, str(len(sizes))))
                    sizes.append((b - a, far - near))
            strips.append((near, far, Sawn("x", tuple(pieces))))
        sections.append((left, right, Sawn("y", tuple(strips))))
    return Sawn("x", tuple(sections)), sizes


def _split(
    rng: random.Random, start: int, end: int, least: int, most: int
) -> list[tuple[int, int]]:
    """Return neighbours with a kerf between that fill a range, as random as its length allows."""
    found = []
    while True:
        size = rng.randint(least, most)
        if end - start - size - KERF < least:
            found.append((start, end))
            return found
        found.append((start, start + size))
        start += size + KERF


def _clear(left: int, right: int, near: int, far: int, flaws: list[Rect]) -> list[tuple[int, int]]:
    """Return the ranges of a strip that hold no flaw and are long enough for a part."""
    found = []
    at = left
    for x1, y1, x2, y2 in sorted(flaws):
        if y1 >= far or y2 <= near or x2 <= left or x1 >= right:
            continue
        # The saw needs its kerf between two parts; it may run through the flaw.
        if x1 - at >= SHORTEST:
            found.append((at, x1))
        at = max(at, x2)
    if right - at >= SHORTEST:
        found.append((at, right))
    return found


def _named(row: Sawn, names: dict[str, str], out: set[str]) -> Sawn | None:
    """Return a row with names for numbers, without the parts left out; None where none is left."""
    pieces: list[tuple[int, int, Sawn | str]] = []
    for start, end, piece in row.pieces:
        if isinstance(piece, Sawn):
            inner = _named(piece, names, out)
            if inner is not None:
                pieces.append((start, end, inner))
        elif names[piece] not in out:
            pieces.append((start, end, names[piece]))
    return Sawn(row.axis, tuple(pieces)) if pieces else None
