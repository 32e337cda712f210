"""Exact numbers: JSON numbers to whole units of 1/320 mm and to fractions, and back to text."""

from decimal import Decimal
from fractions import Fraction

from inventory.length import MM

_MOST_DIGITS = 40
_LEAST_EXPONENT = -40
_MOST_EXPONENT = 20


def exact(value: object) -> Fraction | None:
    """Return a JSON number as a fraction, None where ``value`` is no number that a plan may hold.

    A float stands for the shortest decimal that reads back as it, so for the number that was
    written. Numbers of more than 40 digits, or outside 1e-40 to 1e20, are refused: no length,
    area or price comes near, and their exact arithmetic could take for ever.
    """
    if isinstance(value, float):
        value = Decimal(repr(value))
    return Fraction(value) if isinstance(value, int | Decimal) and is_held(value) else None


def is_held(value: object) -> bool:
    """Whether ``value`` is a number that a plan may hold; see ``exact``."""
    if isinstance(value, float):
        value = Decimal(repr(value))
    if isinstance(value, Decimal):
        _, digits, exponent = value.as_tuple()
        return (
            isinstance(exponent, int)  # it is a letter where the number is not finite
            and len(digits) <= _MOST_DIGITS
            and _LEAST_EXPONENT <= exponent <= _MOST_EXPONENT
        )
    return isinstance(value, int) and not isinstance(value, bool) and value.bit_length() <= 128


def whole_units(number: Fraction) -> int | None:
    """Return ``number`` millimetres as whole units of 1/320 mm, None where they are not whole."""
    units, rest = divmod(number.numerator * MM, number.denominator)
    return None if rest else units


def up(length: int | Fraction, grid: int) -> int:
    """Return ``length`` rounded up to the grid (all in 1/320 mm)."""
    return -int(-length // grid) * grid


def down(length: int | Fraction, grid: int) -> int:
    """Return ``length`` rounded down to the grid (all in 1/320 mm)."""
    return int(length // grid) * grid


def mm(length: int | Fraction) -> str:
    """Return a length of ``length`` 1/320 mm as text in millimetres, to six places at most."""
    return f"{decimal(Fraction(length) / MM, 6)} mm"


def decimal(number: Fraction, places: int) -> str:
    """Return ``number`` as a plain decimal of at most ``places`` places."""
    scaled = round(number * 10**places)
    whole, rest = divmod(abs(scaled), 10**places)
    text = f"{whole}.{rest:0{places}d}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text
