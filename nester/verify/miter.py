"""The wood lost at a joint: kerf over the cosine of the miter, decided without a float.

The cosine of a whole or broken number of degrees is irrational but for 0 and 60 (Niven 1956,
*Irrational Numbers*, theorem 3.9: the only rational cosines at rational multiples of 180 degrees
are 0, 1/2 and 1, up to sign). So a loss that must be rounded up to the grid never lies exactly on
it unless the cosine is 1 or 1/2 or the kerf nothing, and bounds of the cosine, made closer until
both round to the same mark, decide every case.
"""

from fractions import Fraction
from functools import lru_cache

from nester.verify.number import up

_RATIONAL = {Fraction(0): Fraction(1), Fraction(60): Fraction(1, 2)}


@lru_cache(maxsize=1000)
def joint_loss(kerf: int, miter: Fraction, trim: int, grid: int) -> int:
    """Return ``kerf / cos(miter) + trim`` rounded up to the grid.

    ``kerf``, ``trim`` and ``grid`` in 1/320 mm, ``miter`` in degrees, at least 0 and below 90.
    """
    if not kerf:
        return up(trim, grid)
    if miter in _RATIONAL:
        return up(kerf / _RATIONAL[miter] + trim, grid)
    terms = 4
    while True:
        low, high = cosine_bounds(miter, terms)
        if low > 0:
            least, most = up(kerf / high + trim, grid), up(kerf / low + trim, grid)
            if least == most:
                return least
        terms *= 2


def cosine_bounds(degrees: Fraction, terms: int) -> tuple[Fraction, Fraction]:
    """Return two fractions between which the cosine lies; more ``terms`` bring them closer.

    The angle in radians is bounded by bounds of pi. The cosine falls from 0 to 90 degrees, and its
    series about 0 alternates with falling terms there, so that two partial sums enclose it.
    """
    low_pi, high_pi = pi_bounds(terms)
    low, _ = _cosine(high_pi * degrees / 180, terms)
    _, high = _cosine(low_pi * degrees / 180, terms)
    return low, high


def pi_bounds(terms: int) -> tuple[Fraction, Fraction]:
    """Return two fractions between which pi lies (Machin 1706: 16 atan 1/5 - 4 atan 1/239)."""
    low_5, high_5 = _arctangent(5, terms)
    low_239, high_239 = _arctangent(239, terms)
    return 16 * low_5 - 4 * high_239, 16 * high_5 - 4 * low_239


def _arctangent(inverse: int, terms: int) -> tuple[Fraction, Fraction]:
    """Return bounds of the arctangent of ``1 / inverse``: two neighbouring sums of its series."""
    total = Fraction(0)
    before = total
    for k in range(2 * terms):
        before = total
        total += Fraction((-1) ** k, (2 * k + 1) * inverse ** (2 * k + 1))
    return min(before, total), max(before, total)


def _cosine(angle: Fraction, terms: int) -> tuple[Fraction, Fraction]:
    """Return bounds of the cosine of ``angle`` radians, from 0 to a little over a right angle.

    The terms fall from the first on but one: a square of at most 2.5 is over 1 * 2 once at most,
    so from the second sum on, neighbours enclose the cosine.
    """
    total, term = Fraction(0), Fraction(1)
    before = total
    for k in range(2 * terms):
        before = total
        total += term
        term = -term * angle * angle / ((2 * k + 1) * (2 * k + 2))
    return min(before, total), max(before, total)
