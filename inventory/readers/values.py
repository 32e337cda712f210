"""Turning one raw value of a user's file into a number, flag, text, name or member of a list.

Each function raises ``FieldError`` with what is wrong and what would be accepted. ``loose`` is for
spreadsheets, where a number may stand as text and a name may have become a number.
"""

import datetime
import re
import tomllib
import unicodedata
from collections.abc import Callable, Sequence
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from typing import TypeVar

S = TypeVar("S")
T = TypeVar("T")

LONGEST_NAME = 60
"""The most characters in an id or the name of a part."""

LONGEST_TEXT = 2_000
"""The most characters in a note."""

_TRUE = ("yes", "true", "1", "y", "x")
_FALSE = ("no", "false", "0", "n")
_DECIMAL = re.compile(r"[+-]?(?:[0-9]{1,60}(?:\.[0-9]{0,60})?|\.[0-9]{1,60})(?:e[+-]?[0-9]{1,2})?")
_RATIO = re.compile(r"([+-]?[0-9]{1,60})/([0-9]{1,60})")
_TURNS_TEXT = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_NO_TEXT = frozenset("\u2028\u2029\ufffe\uffff")


class FieldError(ValueError):
    """A value that cannot be taken: ``code``, what is wrong, what would be accepted.

    ``at`` and ``found`` point at the member of a list that is wrong.
    """

    def __init__(self, code: str, message: str, accepted: str) -> None:
        super().__init__(message)
        self.code = code
        self.accepted = accepted
        self.at: tuple[int, ...] = ()
        self.found: object = None


def is_date(value: object) -> bool:
    """Return whether a spreadsheet took what was typed for a date, as it does with 3/4."""
    return isinstance(value, datetime.date | datetime.time)


def to_text(value: object, *, loose: bool, most: int = LONGEST_TEXT) -> str:
    """Return a text of at most ``most`` characters, without control characters but line ends."""
    text = _plain_text(value, loose, "text in quotes").replace("\r\n", "\n").replace("\r", "\n")
    if len(text) > most:
        raise FieldError(
            "too-long", f"{len(text):,} characters long", f"at most {most:,} characters"
        )
    for letter in text:
        if letter not in "\n\t" and (unicodedata.category(letter) in "Cc Cs" or letter in _NO_TEXT):
            raise FieldError("bad-character", f"holds U+{ord(letter):04X}", "printable characters")
    return text


def to_name(value: object, *, loose: bool, most: int = LONGEST_NAME) -> str:
    """Return an id or name: one line, not empty, nothing in it that turns the text round."""
    text = to_text(value, loose=loose, most=most)
    if not text:
        raise FieldError("empty", "it is empty", f"1 to {most} characters")
    for letter in text:
        if letter in "\n\t" or letter in _TURNS_TEXT:
            raise FieldError("bad-character", f"holds U+{ord(letter):04X}", "printable characters")
    return text


def to_number(value: object, *, decimal_comma: bool = False) -> Fraction:
    """Return a number: 11.5, "11.50", "$11.50" or, exact where no decimal is, "100/3"."""
    accepted = "a number such as 11.50"
    if isinstance(value, str):
        text = value.strip().strip("$€£¥").strip().lower()
        if decimal_comma and text.count(",") == 1 and "." not in text:
            text = text.replace(",", ".")
        if _DECIMAL.fullmatch(text):
            return Fraction(text)
        if (ratio := _RATIO.fullmatch(text)) and int(ratio[2]):
            return Fraction(int(ratio[1]), int(ratio[2]))
        if text.lstrip("+-") in ("nan", "inf", "infinity"):
            raise FieldError("not-finite", "not a finite number", accepted)
        raise FieldError("wrong-type", "not a number", accepted)
    if isinstance(value, float):
        value = Decimal(repr(value))
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise FieldError("not-finite", "not a finite number", accepted)
        if value and not -40 <= value.adjusted() <= 40:
            raise FieldError("out-of-range", "too many digits", accepted)
        return Fraction(value)
    if isinstance(value, int) and not isinstance(value, bool):
        return Fraction(value)
    raise FieldError("wrong-type", "not a number", accepted)


def to_whole(value: object, *, loose: bool, least: int, most: int) -> int:
    """Return a whole number from ``least`` to ``most``."""
    accepted = f"a whole number from {least:,} to {most:,}"
    if loose and isinstance(value, str | float | Decimal):
        try:
            number = to_number(value)
        except FieldError:
            raise FieldError("wrong-type", "not a whole number", accepted) from None
        value = int(number) if number.denominator == 1 else value
    if isinstance(value, bool) or not isinstance(value, int):
        raise FieldError("wrong-type", "not a whole number", accepted)
    check_range(value, least, most, accepted)
    return value


def check_range(number: int | Fraction, least: int, most: int, accepted: str) -> None:
    """Raise where ``number`` is not from ``least`` to ``most``."""
    if number < least:
        raise FieldError("out-of-range", f"less than {least:,}", accepted)
    if number > most:
        raise FieldError("out-of-range", f"over the limit of {most:,}", accepted)


def to_flag(value: object, *, loose: bool) -> bool:
    """Return true or false; from a spreadsheet also yes, no, 1, 0."""
    if isinstance(value, bool):
        return value
    if loose:
        word = str(value).strip().lower()
        if word in _TRUE or word in _FALSE:
            return word in _TRUE
        raise FieldError("wrong-type", "neither yes nor no", "yes or no")
    raise FieldError("wrong-type", "neither true nor false", "true or false")


def to_choice(value: object, choices: Sequence[str], *, loose: bool) -> str:
    """Return the one of ``choices`` that is meant; capitals, dashes and spaces do not matter."""
    accepted = ", ".join(f'"{choice}"' for choice in choices)
    text = _plain_text(value, loose, accepted)
    for choice in choices:
        if _folded(text) == _folded(choice):
            return choice
    near = nearest(text, choices)
    hint = f'; did you mean "{near}"?' if near else ""
    raise FieldError("unknown-choice", f"not one of the words known here{hint}", accepted)


def to_list(value: object, *, loose: bool, decimal_comma: bool = False) -> list[object]:
    """Return the members of a list; a single value is a list of one.

    In a spreadsheet's cell they are parted by semicolons, else by commas (where a comma is not the
    decimal mark), or stand as a TOML list in brackets.
    """
    if isinstance(value, list):
        return list(value)
    if not (loose and isinstance(value, str)):
        return [value]
    if value.startswith("["):
        nested = to_nested(value)
        return nested if isinstance(nested, list) else [nested]
    parted = ";" if ";" in value or decimal_comma else ","
    return [part.strip() for part in value.split(parted) if part.strip()]


def to_members(
    take: Callable[[S], T], items: Sequence[S], *, least: int = 0, most: int = 10_000
) -> list[T]:
    """Return every member of a list taken by ``take``; a wrong one is named by its number."""
    if not least <= len(items) <= most:
        wanted = f"{least}" if least == most else f"{least} to {most:,}"
        raise FieldError(
            "wrong-number",
            f"it holds {len(items)} value{'s' * (len(items) != 1)}",
            f"{wanted} values",
        )
    members = []
    for number, item in enumerate(items):
        try:
            members.append(take(item))
        except FieldError as wrong:
            if not wrong.at:
                wrong.found = item
            wrong.at = (number, *wrong.at)
            raise
    return members


def to_points(value: object, *, loose: bool) -> list[list[object]]:
    """Return the raw pairs of an outline: [["1", "2"], …] or, in a cell, "1; 2 | 3; 4"."""
    accepted = "points such as [[1, 2], [3, 2], [3, 4]]"
    if loose and isinstance(value, str):
        if value.startswith("["):
            value = to_nested(value)
        else:
            value = [[side.strip() for side in pair.split(";")] for pair in value.split("|")]
    if not isinstance(value, list):
        raise FieldError("wrong-type", "not a list of points", accepted)

    def pair(point: object) -> list[object]:
        if not isinstance(point, list) or len(point) != 2:
            raise FieldError("wrong-type", "not a point", "a point such as [1, 2]")
        return point

    return to_members(pair, value, most=1_000)


def to_nested(text: str) -> object:
    """Return the TOML table or list that a spreadsheet's cell holds."""
    try:
        return tomllib.loads(f"v = {text}", parse_float=Decimal)["v"]
    except (ValueError, ArithmeticError, RecursionError):
        accepted = """a TOML table or list on one line, such as {strips = ["2", "6"]}"""
        raise FieldError("toml-syntax", "not readable as TOML", accepted) from None


def nearest(word: str, known: Sequence[str]) -> str | None:
    """Return the word of ``known`` that ``word`` is likely meant for, None where none is near."""
    folded = {_folded(name): name for name in known}
    found = get_close_matches(_folded(word[:80]), list(folded), n=1, cutoff=0.6)
    return folded[found[0]] if found else None


def _folded(word: str) -> str:
    return " ".join(word.lower().replace("_", " ").replace("-", " ").split())


def _plain_text(value: object, loose: bool, accepted: str) -> str:
    if isinstance(value, str):
        return value.strip()
    if loose and not isinstance(value, list | dict) and not is_date(value):
        if isinstance(value, float) and value.is_integer():
            return str(int(value))
        return str(value).lower() if isinstance(value, bool) else str(value)
    raise FieldError("wrong-type", "not a text", accepted)
