"""When to stop: small rules that see what is known so far, and that combine."""

from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run has come. ``cost`` and ``bound`` are money, None where there is none yet.

    ``gap`` is (cost - bound) / cost; ``missing`` counts the copies that no stock is found for;
    ``work`` counts placings tried and programme cells filled.
    """

    seconds: float
    work: int
    cost: float | None
    bound: float | None
    gap: float | None
    missing: int
    rounds: int = 0


class Stop(Protocol):
    """A stop rule: returns the word for why to stop, or None to go on."""

    def __call__(self, progress: Progress) -> str | None: ...


@dataclass(frozen=True, slots=True)
class Seconds:
    """Stop once so many seconds have gone by."""

    limit: float

    def __call__(self, progress: Progress) -> str | None:
        return "seconds" if progress.seconds >= self.limit else None


@dataclass(frozen=True, slots=True)
class GapAtMost:
    """Stop once the gap is proven to be no larger than a fraction."""

    limit: float

    def __call__(self, progress: Progress) -> str | None:
        if progress.gap is None or progress.missing:
            return None
        return "gap" if progress.gap <= self.limit else None


@dataclass(frozen=True, slots=True)
class Work:
    """Stop once so much work is done, whatever the clock says."""

    limit: int

    def __call__(self, progress: Progress) -> str | None:
        return "work" if progress.work >= self.limit else None


class AnyOf:
    """Stop as soon as one of several rules says so."""

    def __init__(self, *rules: Stop) -> None:
        self.rules = rules

    def __call__(self, progress: Progress) -> str | None:
        for rule in self.rules:
            reason = rule(progress)
            if reason is not None:
                return reason
        return None


def seconds_left(stop: Stop, progress: Progress) -> float:
    """Return how long a rule still lets a run go on by the clock; infinite where it has none."""
    if isinstance(stop, Seconds):
        return max(0.0, stop.limit - progress.seconds)
    if isinstance(stop, AnyOf):
        return min((seconds_left(rule, progress) for rule in stop.rules), default=float("inf"))
    return float("inf")
