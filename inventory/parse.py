"""Reading a length as a person writes it.

``parse_length(value, units, round_up=...)`` turns a number or a text into a whole count of
1/320 mm. Everything is done in exact fractions; the only rounding is the last one, and it is named
by the caller: up for parts, down for stock.

Accepted, in an inch or a millimetre file alike::

    23.375    "23 3/8"    "23-3/8"    '23 3/8"'    "23⅜"    '1\\' 11 3/8"'    "6'"    "6 ft 2 in"
    "594 mm"  "59.4 cm"   "0.594 m"   "23 3/8 in"

A text without a unit is in the file's units. With ``thickness=True`` a text n/4 with n of 4 or more
("4/4", "5/4") is quarters of an inch in every file.
"""

import difflib
import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal, TypeAlias, get_args

from inventory.issue import clipped
from inventory.length import FOOT, INCH, LONGEST, MM, Length

Units: TypeAlias = Literal["in", "mm"]
"""The units of a file, and of what is printed from it."""

UNITS: tuple[Units, ...] = get_args(Units)

ACCEPTED = """a length such as 23 3/8, 23.375, 1' 11 3/8", 594 mm, 59.4 cm or 0.594 m"""
"""What to say where a length was expected and something else was found."""

ACCEPTED_UNITS = "mm, cm, m, in, ft"

_UNIT_NAMES: dict[str, Length] = {
    "mm": MM,
    "millimetre": MM,
    "millimetres": MM,
    "millimeter": MM,
    "millimeters": MM,
    "cm": 10 * MM,
    "centimetre": 10 * MM,
    "centimetres": 10 * MM,
    "centimeter": 10 * MM,
    "centimeters": 10 * MM,
    "m": 1000 * MM,
    "metre": 1000 * MM,
    "metres": 1000 * MM,
    "meter": 1000 * MM,
    "meters": 1000 * MM,
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "ft": FOOT,
    "foot": FOOT,
    "feet": FOOT,
    "'": FOOT,
}

_LONGEST_TEXT = 80  # characters; no length takes more to write
_MOST_DIGITS = 40  # before and after the point together

_SAME_AS = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "′": "'",
        "´": "'",
        "`": "'",
        "ʹ": "'",
        "ʼ": "'",
        "”": '"',
        "“": '"',
        "„": '"',
        "″": '"',
        "˝": '"',
        "ʺ": '"',
        "⁄": "/",
        "∕": "/",
        "‐": "-",
        "‑": "-",
        "‒": "-",
        "–": "-",
        "—": "-",
        "−": "-",
    }
)
_SMALL_FRACTION = re.compile("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)[⁄/∕]([₀₁₂₃₄₅₆₇₈₉]+)")

_NUMBER = r"(?:[0-9]+\.[0-9]+|\.[0-9]+|[0-9]+\.?)"
_MIXED = rf"(?:(?:[0-9]+(?: ?- ?| ))?[0-9]+ ?/ ?[0-9]+|{_NUMBER})"
_PLAIN = re.compile(rf"""({_MIXED}) ?([^0-9./ -].*)?""")
_FEET_INCHES = re.compile(
    rf"""([0-9]+) ?(?:'|ft\.?|feet|foot) ?-? ?({_MIXED}) ?(?:"|in\.?|inch|inches)?"""
)
_QUARTERS = re.compile(r"""([0-9]{1,3}) ?/ ?4""")


class LengthError(ValueError):
    """A value that is not a usable length.

    ``str(error)`` says what is wrong, ``value`` is what was found, ``accepted`` what would be
    accepted in its place, ``code`` a stable word for the kind of mistake: "wrong-type", "empty",
    "not-finite", "negative", "zero", "too-long", "over-zero", "unknown-unit" or "not-a-length".
    """

    def __init__(self, code: str, message: str, value: str, accepted: str = ACCEPTED) -> None:
        super().__init__(message)
        self.code = code
        self.value = value
        self.accepted = accepted


def parse_length(
    value: object,
    units: Units,
    *,
    round_up: bool,
    thickness: bool = False,
    size: bool = False,
    decimal_comma: bool = False,
) -> Length:
    """Return ``value`` as a length [1/320 mm].

    Parameters
    ----------
    value
        A number (int, float, Decimal, Fraction) in the file's units, or a text.
    units
        The file's units, "in" or "mm".
    round_up
        Which way a value between two units goes: True for parts, False for stock.
    thickness
        Read a text n/4 (n of 4 or more) as quarters of an inch.
    size
        Refuse zero, as for the size of a piece; elsewhere (a trim, a warp) zero is a good value.
    decimal_comma
        Read "59,4" as 59.4, as in files whose columns are parted by semicolons.

    Raises
    ------
    LengthError
        For anything that is no length, negative, not finite or over 30 m.
    """
    text = shown(value)
    exact = _exact(value, units, thickness, decimal_comma)
    if exact < 0:
        raise LengthError("negative", "a length cannot be negative", text)
    if exact > LONGEST:
        raise LengthError("too-long", "longer than 30 m", text, "at most 30 m (98 ft)")
    units_of_320 = math.ceil(exact) if round_up else math.floor(exact)
    if size and units_of_320 == 0:
        raise LengthError("zero", "a size cannot be zero", text, f"more than zero: {ACCEPTED}")
    return units_of_320


def shown(value: object) -> str:
    """Return a value from a file as its user would know it, for a message."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, float | Decimal) and not math.isfinite(value):
        return str(float(value))  # nan, inf, as TOML writes them
    if isinstance(value, int) and value.bit_length() > 4 * _LONGEST_TEXT:
        return "a number of many digits"  # Python refuses to write out the longest ones
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(shown(item) for item in value[:4]) + (", …]" if value[4:] else "]")
    return str(value)


def is_bare_fraction(value: object) -> bool:
    """Return whether ``value`` is a text with a fraction and no unit ("3/4", "23 3/8").

    In a millimetre file that is read as millimetres, which is seldom what was meant.
    """
    if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
        return False
    plain = _PLAIN.fullmatch(_normal(value))
    return plain is not None and "/" in plain[1] and plain[2] is None


def is_quarters(value: object) -> bool:
    """Return whether ``value`` is a thickness in quarters of an inch ("4/4", "5/4")."""
    if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
        return False
    return _quarters(_normal(value)) is not None


def _exact(value: object, units: Units, thickness: bool, decimal_comma: bool) -> Fraction:
    """Return ``value`` in units of 1/320 mm, not rounded."""
    unit = INCH if units == "in" else MM
    if isinstance(value, bool) or value is None:
        raise LengthError("wrong-type", "not a length", shown(value))
    if isinstance(value, int | Fraction):
        return Fraction(value) * unit
    if isinstance(value, float):
        value = Decimal(repr(value))
    if isinstance(value, Decimal):
        return _of_decimal(value) * unit
    if isinstance(value, str):
        return _of_text(value, unit, thickness, decimal_comma)
    raise LengthError("wrong-type", "not a length", shown(value))


def _of_decimal(value: Decimal) -> Fraction:
    if not value.is_finite():
        raise LengthError("not-finite", "not a finite number", str(value))
    if value and not -_MOST_DIGITS <= value.adjusted() <= _MOST_DIGITS:
        if value < 0:
            raise LengthError("negative", "a length cannot be negative", str(value))
        if value.adjusted() > 0:
            raise LengthError("too-long", "longer than 30 m", str(value), "at most 30 m (98 ft)")
        raise LengthError("not-a-length", "too small to mean anything", str(value))
    return Fraction(value)


def _of_text(text: str, unit: Length, thickness: bool, decimal_comma: bool) -> Fraction:
    found = text.strip()
    if not found:
        raise LengthError("empty", "the length is empty", found)
    if len(found) > _LONGEST_TEXT:
        raise LengthError("not-a-length", "not a length", clipped(found))
    plain = _normal(found)
    if decimal_comma and plain.count(",") == 1 and "." not in plain:
        plain = plain.replace(",", ".")
    if plain.lstrip("+-") in ("nan", "inf", "infinity"):
        raise LengthError("not-finite", "not a finite number", found)
    if plain.startswith("-") and plain.lstrip("- "):
        _of_text(plain[1:], unit, thickness, decimal_comma)  # else it is no length at all
        raise LengthError("negative", "a length cannot be negative", found)
    if thickness and (quarters := _quarters(plain)) is not None:
        return Fraction(quarters * INCH, 4)
    if feet := _FEET_INCHES.fullmatch(plain):
        inches = _mixed(feet[2], found)
        if inches >= 12:
            raise LengthError(
                "not-a-length", "the inches after the feet are 12 or more", found, ACCEPTED
            )
        return int(feet[1]) * FOOT + inches * INCH
    match = _PLAIN.fullmatch(plain)
    if match is None:
        _refuse_comma(plain, found)
        raise LengthError("not-a-length", "not a length", found)
    number = _mixed(match[1], found)
    name = (match[2] or "").removesuffix(".")
    if not name:
        return number * unit
    if name not in _UNIT_NAMES:
        _refuse_comma(plain, found)
        raise _unknown_unit(name, found)
    return number * _UNIT_NAMES[name]


def _quarters(plain: str) -> int | None:
    match = _QUARTERS.fullmatch(plain)
    return int(match[1]) if match and int(match[1]) >= 4 else None


def _mixed(text: str, found: str) -> Fraction:
    """Return "23 3/8", "23-3/8", "3/8" or "23.375" as a fraction."""
    if "/" not in text:
        return Fraction(text.removesuffix("."))
    front, below = (side.strip() for side in text.split("/"))
    *whole, above = front.replace("-", " ").split()
    if int(below) == 0:
        raise LengthError("over-zero", "the fraction is over zero", found)
    part = Fraction(int(above), int(below))
    if whole and part >= 1:
        raise LengthError("not-a-length", "the fraction after the whole number is 1 or more", found)
    return part + (int(whole[0]) if whole else 0)


@lru_cache(maxsize=10_000)
def _normal(text: str) -> str:
    """Return ``text`` in lower case with one kind of prime, dash, slash, space and fraction."""
    text = _SMALL_FRACTION.sub(
        lambda m: f" {unicodedata.normalize('NFKC', m[0])}".translate(_SAME_AS), text
    )
    letters = []
    for letter in text:
        if unicodedata.decomposition(letter).startswith("<fraction>"):
            letters.append(" " + unicodedata.normalize("NFKC", letter))
        else:
            letters.append(letter)
    plain = "".join(letters).translate(_SAME_AS).replace("''", '"').lower()
    return re.sub(r"\s+", " ", plain).strip()


def _refuse_comma(plain: str, found: str) -> None:
    if "," in plain:
        raise LengthError(
            "not-a-length", "not a length: a comma stands in it", found, f"a point: {ACCEPTED}"
        )


def _unknown_unit(name: str, found: str) -> LengthError:
    near = difflib.get_close_matches(name, [n for n in _UNIT_NAMES if n.isalpha()], n=1, cutoff=0.6)
    hint = f" (did you mean {near[0]}?)" if near else ""
    message = f'unknown unit "{clipped(name, 30)}"{hint}'
    return LengthError("unknown-unit", message, found, ACCEPTED_UNITS)
