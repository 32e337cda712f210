"""Stock as plain records under the keys of the stock file, ready for any format.

A value that is the default is left out. Lengths are texts that are read back exactly in ``units``.
"""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from inventory.formatter import exact_number, exact_text
from inventory.length import INCH, MM, Length
from inventory.lumber_tables import quarters
from inventory.parse import Units
from inventory.stock import SOUND_BY_DEFAULT, Board, Flaw, Sheet, Stock

_SIXTY_FOURTH = INCH // 64
_HALF_MILLIMETRE = MM // 2


@dataclass(frozen=True, slots=True)
class Number:
    """A number, exact: a decimal text, or a ratio such as 100/3."""

    text: str

    @property
    def is_ratio(self) -> bool:
        """Whether no decimal is exact."""
        return "/" in self.text


Points: TypeAlias = tuple[tuple[str, str], ...]
Value: TypeAlias = str | int | bool | Number | tuple[str, str] | Points
Record: TypeAlias = dict[str, Value]


def stock_record(stock: Stock, units: Units) -> Record:
    """Return a board or sheet without its flaws."""
    return _board(stock, units) if isinstance(stock, Board) else _sheet(stock, units)


def flaw_record(flaw: Flaw, units: Units) -> Record:
    """Return a flaw: its rectangle, or its outline where it has one."""
    record: Record = {"kind": flaw.kind.value}
    if flaw.outline is None:
        for key in ("x", "y", "length", "width"):
            record[key] = exact_text(getattr(flaw, key), units)
    else:
        record["outline"] = tuple(
            (exact_text(x, units), exact_text(y, units)) for x, y in flaw.outline
        )
    _add(record, flaw, units, "face")
    if flaw.sound != (flaw.kind in SOUND_BY_DEFAULT):
        record["sound"] = flaw.sound
    _add(record, flaw, units, "note")
    return record


def usual_units(stocks: list[Stock]) -> Units:
    """Return the system in which more of the stock's sizes are round; inches where they tie.

    Sizes that are round in both, as 5 in is 127 mm, tell nothing.
    """
    sizes = [size for stock in stocks for size in (stock.length, stock.width)]
    inches = sum(size % _SIXTY_FOURTH == 0 != size % _HALF_MILLIMETRE for size in sizes)
    metric = sum(size % _HALF_MILLIMETRE == 0 != size % _SIXTY_FOURTH for size in sizes)
    return "mm" if metric > inches else "in"


def is_named_in_quarters(thickness: Length) -> bool:
    """Return whether a thickness has a name such as 4/4 or 5/4."""
    number = quarters(thickness)
    return number is not None and number >= 4


def sold_name(thickness: Length, units: Units) -> str:
    """Return a thickness as lumber is sold: "5/4" from 4/4 up, else the length."""
    if is_named_in_quarters(thickness):
        return f"{quarters(thickness)}/4"
    return exact_text(thickness, units)


def _board(board: Board, units: Units) -> Record:
    record: Record = {"id": board.id, "species": board.species}
    record["length"] = exact_text(board.length, units)
    near, far = (exact_text(width, units) for width in (board.width_a, board.width_b))
    record["width"] = near if near == far else (near, far)
    record["thickness"] = exact_text(board.thickness, units)
    if board.sold_as != board.thickness or is_named_in_quarters(board.sold_as):
        record["sold_as"] = sold_name(board.sold_as, units)
    _add(record, board, units, "surface", "ends", "edges", "sawn", "count", "bow", "crook", "cup")
    _add(record, board, units, "twist", "price", "per", "lot", "show_face", "hollow_face")
    _add(record, board, units, "hollow_edge", "moisture", "shelf", "note")
    return record


def _sheet(sheet: Sheet, units: Units) -> Record:
    record: Record = {"id": sheet.id, "material": sheet.material}
    for key in ("length", "width", "thickness"):
        record[key] = exact_text(getattr(sheet, key), units)
    if sheet.nominal != sheet.thickness:
        record["nominal"] = exact_text(sheet.nominal, units)
    _add(
        record, sheet, units, "grain", "count", "price", "per", "lot", "show_face", "shelf", "note"
    )
    return record


_LENGTHS = ("bow", "crook", "cup", "twist")


def _add(record: Record, item: Stock | Flaw, units: Units, *keys: str) -> None:
    """Add the values of ``item`` under ``keys``, but for those that are the default."""
    fields = type(item).__dataclass_fields__
    for key in keys:
        value = getattr(item, key)
        if value == fields[key].default:
            continue
        if isinstance(value, Enum):
            record[key] = str(value.value)
        elif isinstance(value, Fraction):
            record[key] = Number(exact_number(value))
        else:
            record[key] = exact_text(value, units) if key in _LENGTHS else value
