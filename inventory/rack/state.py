"""A piece of stock as one line of JSON, complete and always the same for the same piece.

Lengths are whole counts of 1/320 mm and fractions are texts such as "23/2", so nothing is rounded.
"""

import json
import re
from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from typing import Any, TypeVar

from inventory.issue import Source
from inventory.stock import (
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Sawn,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)

_BOARD = "board"
_SHEET = "sheet"

Record = TypeVar("Record", Board, Sheet, Flaw)


class StateError(ValueError):
    """A text that is no state of a piece of stock."""


def state_of(stock: Stock) -> str:
    """Return the state of a piece as text."""
    entry = {"kind": _BOARD if isinstance(stock, Board) else _SHEET, **_plain(stock)}
    return json.dumps(entry, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def stock_of(state: str, source: Source | None = None) -> Stock:
    """Return the piece whose state is ``state``.

    Raises
    ------
    StateError
        Where the text is not the state of a piece, or not in the form that ``state_of`` gives.
    """
    try:
        entry = json.loads(state)
        kind = entry.pop("kind")
        flaws = tuple(_flaw(flaw) for flaw in entry.pop("flaws"))
        if kind == _BOARD:
            stock: Stock = _built(Board, entry, flaws=flaws, source=source)
        elif kind == _SHEET:
            stock = _built(Sheet, entry, flaws=flaws, source=source)
        else:
            raise StateError(f'neither a board nor a sheet: "{kind}"')
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise StateError(f"not the state of a piece of stock: {error}") from error
    if state_of(stock) != state:
        raise StateError("not in the form in which a piece of stock is kept")
    return stock


def _plain(record: Stock | Flaw) -> dict[str, Any]:
    entry = {}
    for key in type(record).__dataclass_fields__:
        if key != "source":
            entry[key] = _plain_value(getattr(record, key))
    return entry


def _plain_value(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, Flaw):
        return _plain(value)
    if isinstance(value, tuple):
        return [_plain_value(item) for item in value]
    return value


def _flaw(entry: dict[str, Any]) -> Flaw:
    outline = entry.pop("outline")
    points = None if outline is None else tuple((_whole(x), _whole(y)) for x, y in outline)
    return _built(Flaw, entry, outline=points)


def _built(kind: type[Record], entry: dict[str, Any], **ready: Any) -> Record:
    """Return the record of ``entry``, every value turned by its reader; no key more or less."""
    values = {key: _READERS[key](value) for key, value in entry.items()}
    wanted = set(kind.__dataclass_fields__) - {"source"}
    if set(values) | (set(ready) - {"source"}) != wanted:
        raise StateError("keys are missing or unknown")
    return kind(**values, **ready)


def _whole(value: Any) -> int:
    if type(value) is not int:
        raise StateError(f'not a whole number: "{value}"')
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise StateError(f'not a text: "{value}"')
    return value


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise StateError(f'neither true nor false: "{value}"')
    return value


def _fraction(value: Any) -> Fraction:
    if not re.fullmatch(r"[0-9]{1,99}(/[1-9][0-9]{0,99})?", _text(value)):
        raise StateError(f'not a fraction: "{value}"')
    return Fraction(value)


def _or_none(read: Callable[[Any], Any]) -> Callable[[Any], Any]:
    return lambda value: None if value is None else read(value)


_READERS: dict[str, Callable[[Any], Any]] = {
    **dict.fromkeys(("id", "species", "material", "lot", "hollow_edge", "shelf", "note"), _text),
    **dict.fromkeys(("length", "width", "width_a", "width_b", "thickness", "sold_as"), _whole),
    **dict.fromkeys(("nominal", "count", "bow", "crook", "cup", "twist", "x", "y"), _whole),
    "surface": Surface,
    "ends": Ends,
    "edges": Edges,
    "sawn": _or_none(Sawn),
    "grain": SheetGrain,
    "per": Per,
    "price": _fraction,
    "moisture": _or_none(_fraction),
    "show_face": _or_none(Face),
    "hollow_face": _or_none(Face),
    "kind": FlawKind,
    "face": Face,
    "sound": _flag,
}
