"""The size of a blank that holds several parts: a run end to end, a stack edge to edge."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import lru_cache

from inventory.length import Length
from inventory.stock import Board, Stock, Surface
from nester.blanks.needed import round_up
from nester.model import How, Match, Part, Shop

DIGITS = 50
"""Digits to which the cosine of a miter is worked out."""

SAME = Decimal(10) ** -30
"""Closer than this, a kerf at an angle is taken to be a whole number of units."""


@dataclass(frozen=True, slots=True)
class Lined:
    """Parts in a line: from where to where each lies, and how wide all of them are.

    ``ends`` are measured along the line from the blank's start, on the grid. ``joint`` is lost
    between neighbours. ``finished`` is the length of the line without extras.
    """

    ends: tuple[tuple[Length, Length], ...]
    across: Length
    joint: Length
    finished: Length

    @property
    def along(self) -> Length:
        """The length of the line, extras included."""
        return self.ends[-1][1]


def joint_loss(match: Match, stock: Stock, shop: Shop) -> Length:
    """Return what is lost between neighbours of a run or a stack, on the grid.

    A saw at an angle takes ``kerf / cos(angle)`` along the face.
    """
    kerf = shop.kerf.sheet
    if isinstance(stock, Board):
        # What is milled goes to the fence, so no part of a stack is ripped rough.
        kerf = shop.kerf.rip if match.how is How.STACK else shop.kerf.crosscut
    if match.how is not How.WRAP or match.miter == 0:
        return round_up(kerf + match.joint_trim, shop.grid)
    return round_up(_slanted(kerf, match.miter) + match.joint_trim, shop.grid)


@lru_cache(maxsize=256)
def _slanted(kerf: Length, degrees: Fraction) -> Length:
    """Return ``kerf / cos(degrees)``, rounded up to 1/320 mm."""
    with localcontext() as context:
        context.prec = DIGITS
        angle = Decimal(degrees.numerator) / degrees.denominator * _pi() / 180
        exact = kerf / _cosine(angle)
        return int((exact - SAME).to_integral_value(rounding="ROUND_CEILING"))


def _pi() -> Decimal:
    # Machin (1706): pi/4 = 4 arctan(1/5) - arctan(1/239).
    return 4 * (4 * _arctan_of_one_over(5) - _arctan_of_one_over(239))


def _arctan_of_one_over(n: int) -> Decimal:
    power = total = Decimal(1) / n
    k = 1
    while power > Decimal(10) ** -DIGITS:
        power /= n * n
        total += power / (2 * k + 1) * (-1 if k % 2 else 1)
        k += 1
    return total


def _cosine(angle: Decimal) -> Decimal:
    term = total = Decimal(1)
    k = 0
    while abs(term) > Decimal(10) ** -DIGITS:
        k += 2
        term *= -angle * angle / (k * (k - 1))
        total += term
    return total


def more_length(parts: Sequence[Part], stock: Stock, shop: Shop) -> Length:
    """Return what is added once to the length of a blank for all these parts."""
    if not isinstance(stock, Board):
        return 0
    return max(
        shop.blank_extra_length if part.blank_extra_length is None else part.blank_extra_length
        for part in parts
    )


def more_width(parts: Sequence[Part], stock: Stock, shop: Shop) -> Length:
    """Return what is added once to the width of a blank for all these parts."""
    if not isinstance(stock, Board):
        return 0
    usual = 0 if stock.surface is Surface.S4S else shop.blank_extra_width
    return max(
        usual if part.blank_extra_width is None else part.blank_extra_width for part in parts
    )


def run_size(
    parts: Sequence[Part], whole: Sequence[Part], stock: Stock, shop: Shop, joint: Length
) -> Lined:
    """Return the blank of parts end to end: the extra length once, half at each outer end.

    ``whole`` are all parts in the blank, where the run is a row of a stack.
    """
    sizes = [part.length + part.extra_length for part in parts]
    across = max(part.width + part.extra_width + more_width([part], stock, shop) for part in parts)
    return _lined(
        sizes,
        more_length(whole, stock, shop),
        round_up(across, shop.grid),
        joint,
        shop.grid,
    )


def stack_size(
    widths: Sequence[Length],
    lengths: Sequence[Length],
    parts: Sequence[Part],
    stock: Stock,
    shop: Shop,
    joint: Length,
) -> Lined:
    """Return the blank of rows edge to edge: the extra width once, half at each outer edge.

    ``widths`` are the rows' without extras, ``lengths`` theirs with extras; ``parts`` are all
    parts in them.
    """
    extra = more_width(parts, stock, shop)
    return _lined(widths, extra, round_up(max(lengths), shop.grid), joint, shop.grid)


def _lined(
    sizes: Sequence[Length], extra: Length, across: Length, joint: Length, grid: Length
) -> Lined:
    half = -(-extra // 2)
    ends: list[tuple[Length, Length]] = []
    at = 0
    for i, size in enumerate(sizes):
        outer = half * ((i == 0) + (i == len(sizes) - 1))
        if len(sizes) == 1:
            outer = extra
        end = at + round_up(size + outer, grid)
        ends.append((at, end))
        at = end + joint
    finished = sum(sizes) + joint * (len(sizes) - 1)
    return Lined(tuple(ends), across, joint, finished)
