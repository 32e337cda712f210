"""How much wood the blanks are, by material, against what there is of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from inventory.length import FOOT
from inventory.measure import board_feet, cubic_metres, square_feet, value_of, yard_tally
from inventory.stock import Stock
from nester.blanks.eligible import plain
from nester.check.blank_table import BlankRow
from nester.check.candidates import boards_in, sheets_in


@dataclass(frozen=True, slots=True)
class NeedRow:
    """One material: what its blanks come to and what the stock holds, true measure.

    Boards are in board feet, with the yard's own ``tally`` of them, and by ``volume_needed`` and
    ``volume_held`` in cubic metres; sheets are in square feet, and these are None. ``value`` is the
    money in the stock of it.
    """

    kind: str  # "boards" or "sheets"
    materials: tuple[str, ...]
    needed: Fraction
    held: Fraction
    tally: Fraction | None
    value: Fraction
    volume_needed: Fraction | None = None
    volume_held: Fraction | None = None


def need_table(rows: Sequence[BlankRow], stock: Sequence[Stock]) -> list[NeedRow]:
    """Return a row for each set of materials asked for, in the order of the parts.

    A part that names several materials is counted once, under all of them together.
    """
    groups: dict[tuple[str, tuple[str, ...]], list[BlankRow]] = {}
    for row in rows:
        names = tuple(dict.fromkeys(plain(name) for name in row.part.materials))
        if row.board_feet is not None:
            groups.setdefault(("boards", names), []).append(row)
        if row.area is not None:
            groups.setdefault(("sheets", names), []).append(row)
    return [_need(kind, names, group, stock) for (kind, names), group in groups.items()]


def _need(
    kind: str, names: tuple[str, ...], group: Sequence[BlankRow], stock: Sequence[Stock]
) -> NeedRow:
    held = [item for item in stock if plain(item.material) in names]
    if kind == "boards":
        boards = boards_in(held)
        return NeedRow(
            kind,
            group[0].part.materials,
            sum((row.board_feet or Fraction(0) for row in group), Fraction(0)),
            sum((board_feet(board) * board.count for board in boards), Fraction(0)),
            yard_tally(boards),
            sum((value_of(board) * board.count for board in boards), Fraction(0)),
            sum((row.volume or Fraction(0) for row in group), Fraction(0)),
            sum((cubic_metres(board) * board.count for board in boards), Fraction(0)),
        )
    sheets = sheets_in(held)
    return NeedRow(
        kind,
        group[0].part.materials,
        Fraction(sum(row.area or 0 for row in group), FOOT * FOOT),
        sum((square_feet(sheet) * sheet.count for sheet in sheets), Fraction(0)),
        None,
        sum((value_of(sheet) * sheet.count for sheet in sheets), Fraction(0)),
    )
