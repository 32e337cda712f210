"""Placing blanks between the sections of layouts that are kept.

Where only some sections of a layout are taken out, what is good about it stays. Each room that
comes free is a class of its own in the beam search, as if it were a piece of stock that begins and
ends where the room does; all rooms are searched together.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem, StockItem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column, column
from nester.solve.decode import Known, decode
from nester.solve.kernels import columns as k
from nester.solve.pack import MOST_ENDS, Manner, Packed, searched, total
from nester.solve.plans import draft
from nester.solve.rows import Row, blanks, clear_of_metal, sawable, usable

MOST_OPENED = 6
"""Layouts from which sections are taken out at once, two at the least."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What is kept of one piece of stock: a layout's sections but some, or none at all."""

    stock: int
    row: Row


@dataclass(frozen=True, slots=True, eq=False)
class Rooms:
    """The rooms between what is kept, as classes of a search; ``of`` says in what each lies.

    A piece of stock of which nothing is kept is one room, of a class for each direction.
    """

    arrays: Arrays
    of: tuple[int, ...]


def opened(
    problem: Problem,
    columns: Sequence[Column],
    enough: int,
    rng: np.random.Generator,
) -> tuple[list[Column], list[Kept]]:
    """Take sections out of a few layouts; return the other layouts, and what is kept of these.

    Sections are drawn until ``enough`` blanks are out, and one is taken in any case.
    """
    few = int(rng.integers(min(2, len(columns)), min(MOST_OPENED, len(columns)) + 1))
    chosen = [int(i) for i in rng.choice(len(columns), size=few, replace=False)]
    pool = [(i, place) for i in chosen for place in range(len(columns[i].row.pieces))]
    out = set[tuple[int, int]]()
    count = 0
    for at in rng.permutation(len(pool)):
        if out and count >= enough:
            break
        i, place = pool[int(at)]
        row = columns[i].row
        section = Row(row.axis, (row.pieces[place],))
        out.add((i, place))
        count += sum(1 for _ in blanks(section, usable(problem.stock[columns[i].stock])))
    kept = []
    for i in chosen:
        row = columns[i].row
        pieces = tuple(piece for place, piece in enumerate(row.pieces) if (i, place) not in out)
        kept.append(Kept(columns[i].stock, Row(row.axis, pieces)))
    return [each for i, each in enumerate(columns) if i not in chosen], kept


def rooms(found: Arrays, kept: Sequence[Kept]) -> Rooms:
    """Return the rooms of what is kept; each costs its share of the whole length."""
    bases, of, number = list[int](), list[int](), 0
    rows, money = list[NDArray[np.int32]](), list[NDArray[np.float64]]()
    for i, each in enumerate(kept):
        pieces = each.row.pieces
        classes = [
            cls
            for cls, way in enumerate(found.directions)
            if way.stock == each.stock
            and not way.bound_only
            and (not pieces or way.rip_first == (each.row.axis == "y"))
        ]
        if not classes:
            continue
        whole = found.classes[classes[0], [k.C_U1, k.C_U2]]
        for span in _spans(found, classes[0], each.row) if pieces else [whole]:
            for cls in classes:
                row, paid = found.classes[cls].copy(), found.money[cls].copy()
                if pieces:
                    row[[k.C_U1, k.C_U2]] = span
                    paid[0] *= (span[1] - span[0]) / (whole[1] - whole[0])
                row[k.C_STOCK] = number
                rows.append(row)
                money.append(paid)
                bases.append(cls)
                of.append(i)
            number += 1
    options = [found.option_index[b * found.demands : (b + 1) * found.demands] for b in bases]
    arrays = replace(
        found,
        directions=tuple(found.directions[b] for b in bases),
        classes=np.array(rows, np.int32).reshape(-1, k.C_COLUMNS),
        metal=found.metal[bases],
        option_index=np.concatenate([*options, np.zeros((1, 2), np.int32)]),
        money=np.array(money, np.float64).reshape(-1, 3),
        copies=np.ones(number, np.int16),
    )
    return Rooms(arrays, tuple(of))


def _spans(found: Arrays, cls: int, row: Row) -> list[tuple[int, int]]:
    """Return from where to where sections may lie between those of a row, a kerf from each."""
    kerf, at, end = (int(found.classes[cls, c]) for c in (k.C_KU, k.C_U1, k.C_U2))
    spans = []
    for first, last, _ in row.pieces:
        if first - kerf > at:
            spans.append((at, first - kerf))
        at = last + kerf
    if end > at:
        spans.append((at, end))
    return spans


def pack_between(
    problem: Problem,
    found: Arrays,
    others: Sequence[Column],
    kept: Sequence[Kept],
    weight: NDArray[np.float64],
    manner: Manner,
    rng: np.random.Generator,
) -> Packed:
    """Place what ``others`` leave out in the rooms of what is kept, which are opened in any order.

    The layouts that come back hold what is kept, where it was, and what was placed beside it.
    """
    made = rooms(found, kept)
    own = [column(problem, each.stock, each.row) for each in kept if each.row.pieces]
    wanted = np.array(draft(problem, [*others, *own]).missing, np.int16)
    order = rng.permutation(len(made.of)).astype(np.int32)
    mean = float(np.mean([item.value for item in problem.stock]))
    laid = replace(manner, slack=manner.slack * mean, open_most=max(1, len(order)))
    record, ends, work = searched(
        made.arrays, wanted, weight, made.arrays.copies, order, laid, most_ends=MOST_ENDS
    )
    known: Known = {}
    tried = []
    for end in ends:
        new = decode(record, int(end), made.arrays, problem.stock, known)
        rows = [each.row for each in kept]
        for cls, row in new:
            i = made.of[cls]
            rows[i] = _joined(rows[i], row, problem.stock[kept[i].stock])
        pairs = zip(kept, rows, strict=True)
        tried.append([column(problem, each.stock, row) for each, row in pairs if row.pieces])
    best = min(tried, key=lambda columns: draft(problem, columns).merit)
    return Packed(tuple(best), total(best, len(problem.demands)), work)


def _joined(kept: Row, new: Row, item: StockItem) -> Row:
    """Return a row with the sections of a room put in; as it is where that cannot be sawn.

    The room may end a little less than a kerf beyond them, or a section end later than its search
    thought, past metal.
    """
    row = Row(new.axis, tuple(sorted((*kept.pieces, *new.pieces), key=lambda piece: piece[0])))
    return row if sawable(row, usable(item), item) and clear_of_metal(row, item) else kept
