"""How lengths, areas and money are printed.

A ``Formatter`` knows the units and the finest mark of the tape; values never format themselves::

    f = Formatter.of("in")          # tape 1/16 in;  Formatter("in", tape) for another
    f.length(v)     "23 3/8"        at the nearest mark, without a unit
    f.shows(v)      True            where v lies on a mark
    f.full(v)       "23 3/8"        on a mark; else "23 3/8 in full (594 mm)"
    f.near(v)       "23 3/8"        on a mark; else "23 3/8 (594 mm)", for a table
    f.down(v)       "23 3/8"        at the mark at or under it
    f.with_unit(v)  "23 3/8 in"
    f.marks(v)      Marks("23", 3, 8)    for drawing a real fraction
    f.size(a, b)    "23 3/8 × 5"
    f.area(units²)  "6.25 sq ft"
    exact_text(v, "in")             "23 3/8", a text that is read back as the same length
"""

from dataclasses import dataclass
from fractions import Fraction

from inventory.length import FOOT, INCH, MM, Length
from inventory.parse import Units

_SIXTY_FOURTH = INCH // 64


@dataclass(frozen=True, slots=True)
class Marks:
    """A length at the nearest mark: "23", 3, 8 for 23 3/8.

    ``whole`` is empty where there is only a fraction; ``numerator`` is 0 where there is none. In
    millimetres all of it stands in ``whole``.
    """

    whole: str
    numerator: int = 0
    denominator: int = 1

    def __str__(self) -> str:
        if not self.numerator:
            return self.whole
        space = " " if self.whole.strip("-") else ""
        return f"{self.whole}{space}{self.numerator}/{self.denominator}"


@dataclass(frozen=True, slots=True)
class Formatter:
    """Prints in ``units``, lengths to the marks of a tape whose finest is ``tape`` [1/320 mm].

    An inch tape is read to a half, quarter, eighth … or sixty-fourth, whichever is next to ``tape``
    and not coarser; a millimetre tape to half a millimetre, or to a tenth where ``tape`` is finer.
    """

    units: Units
    tape: Length

    @classmethod
    def of(cls, units: Units) -> "Formatter":
        """Return the formatter for the usual tape: sixteenths, or millimetres."""
        return cls(units, INCH // 16 if units == "in" else MM)

    @property
    def step(self) -> Length:
        """The distance of the marks to which lengths are printed."""
        if self.units == "mm":
            return MM // 2 if self.tape >= MM // 2 else MM // 10
        step = _SIXTY_FOURTH
        while 2 * step <= min(self.tape, INCH // 2):
            step *= 2
        return step

    def nearest(self, value: Length) -> Length:
        """Return the mark nearest to ``value``; from the middle the higher one."""
        return (2 * value + self.step) // (2 * self.step) * self.step

    def shows(self, value: Length) -> bool:
        """Return whether ``value`` lies on a mark, so that it is printed exactly."""
        return value % self.step == 0

    def marks(self, value: Length) -> Marks:
        """Return ``value`` at the nearest mark, in parts."""
        at = self.nearest(value)
        sign = "-" if at < 0 else ""
        if self.units == "mm":
            return Marks(sign + _decimal(Fraction(abs(at), MM), 1))
        whole, rest = divmod(abs(at), INCH)
        part = Fraction(rest, INCH)
        text = f"{sign}{whole}" if whole or not rest else sign
        return Marks(text, part.numerator, part.denominator)

    def length(self, value: Length) -> str:
        """Return ``value`` at the nearest mark: "23 3/8" or "594.5"."""
        return str(self.marks(value))

    def down(self, value: Length) -> str:
        """Return ``value`` at the mark at or under it, for what must not be overstated."""
        return self.length(value // self.step * self.step)

    def with_unit(self, value: Length) -> str:
        """Return ``value`` at the nearest mark with its unit: "23 3/8 in" or "594.5 mm"."""
        return f"{self.length(value)} {self.units}"

    def sold(self, thickness: Length) -> str:
        """Return a thickness as wood is sold by it: "4/4", else with its unit: "27 mm"."""
        quarters, rest = divmod(4 * thickness, INCH)
        if self.units == "in" and quarters >= 4 and not rest:
            return f"{quarters}/4"
        return self.with_unit(thickness) if self.shows(thickness) else self.near(thickness)

    def full(self, value: Length) -> str:
        """Return ``value`` at its mark or, where it lies on none, so that it can still be set.

        "23 3/8 in full (594 mm)" is a little over the mark, "scant" a little under it; in brackets
        stands the length in the other system, and in decimals where neither is round.
        """
        if self.shows(value):
            return self.length(value)
        word = "full" if value > self.nearest(value) else "scant"
        return f"{self.with_unit(value)} {word} ({self._elsewhere(value)})"

    def near(self, value: Length) -> str:
        """Return ``value`` at its mark, for a table: "23 3/8", or "23 3/8 (594 mm)" off a mark."""
        if self.shows(value):
            return self.length(value)
        return f"{self.length(value)} ({self._elsewhere(value)})"

    def _elsewhere(self, value: Length) -> str:
        """Return a length that is on no mark in the other system, or in decimals."""
        mm = f"{_decimal(Fraction(value, MM), 2)} mm"
        if self.units == "in":
            return mm
        if value % _SIXTY_FOURTH == 0:
            return f"{exact_text(value, 'in')} in"
        return f"{mm}, {_decimal(Fraction(value, INCH), 3)} in"

    def size(self, *values: Length) -> str:
        """Return lengths at their nearest marks with a multiplication sign between them."""
        return " × ".join(self.length(value) for value in values)

    def area(self, value: int | Fraction) -> str:
        """Return an area [(1/320 mm)²] in square feet or square metres."""
        if self.units == "in":
            return f"{_places(Fraction(value, FOOT * FOOT), 2)} sq ft"
        return f"{_places(Fraction(value, (1000 * MM) ** 2), 2)} m²"


def money(value: Fraction) -> str:
    """Return an amount of money with two places: "84.00"."""
    return _places(value, 2)


def board_feet(value: Fraction) -> str:
    """Return a measure in board feet: "4.58 bd ft"."""
    return f"{_places(value, 2)} bd ft"


def exact_text(value: Length, units: Units) -> str:
    """Return ``value`` so that ``parse_length(text, units)`` gives the same length back.

    In inches a fraction down to 1/64, with its own unit in millimetres where that is not exact; in
    millimetres a decimal, which always is.
    """
    mm = _decimal(Fraction(value, MM), 6)
    if units == "mm":
        return mm
    if value % _SIXTY_FOURTH:
        return f"{mm} mm"
    return str(Formatter("in", _SIXTY_FOURTH).marks(value))


def exact_number(value: Fraction) -> str:
    """Return ``value`` as a decimal, or as a ratio "100/3" where no decimal is exact."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
    return _decimal(value, places)


def _decimal(value: Fraction, places: int) -> str:
    """Return ``value`` rounded to ``places``, without zeros at the end."""
    text = _places(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _places(value: Fraction, places: int) -> str:
    scale = 10**places
    count = (2 * abs(value) * scale + 1) // 2
    whole, rest = divmod(count, scale)
    sign = "-" if value < 0 and count else ""
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"
