"""What effort has lately gained: a cost or a bound over the effort put into it."""

from bisect import bisect_left

WORTH_IT = 1e-3
"""A change by less than this share is none."""


class Trend:
    """Values that get better with effort, and when they did so."""

    def __init__(self) -> None:
        self.efforts: list[int] = []
        self.values: list[int] = []

    def add(self, effort: int, value: int) -> None:
        """Note the value after so much effort in all; only a new value is kept."""
        if not self.values or self.values[-1] != value:
            self.efforts.append(effort)
            self.values.append(value)

    def gains(self, effort: int, value: int) -> bool:
        """Whether the later half of the effort up to now has gained something; true at first."""
        before = bisect_left(self.efforts, effort / 2) - 1
        if before < 0:
            return True
        return abs(value - self.values[before]) > WORTH_IT * abs(value)
