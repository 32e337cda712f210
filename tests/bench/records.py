"""The records of the benchmark: jobs, what came of them, and what the set asks for."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TypeAlias

from inventory.stock import Stock
from nester.model import Project


@dataclass(frozen=True, slots=True)
class Case:
    """A planning job and what is known about it.

    ``known`` is the cost of a plan that exists, ``lower`` a proven bound; None where there is none.
    ``whole``: every plan costs a whole number, so a bound may be rounded up to one. ``words`` is
    the published value as it is shown, where that says more than the two numbers.
    """

    project: Project
    stock: tuple[Stock, ...]
    known: Fraction | None = None
    lower: Fraction | None = None
    whole: bool = False
    words: str = ""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a run is given."""

    seconds: float
    workers: int


@dataclass(frozen=True, slots=True)
class Instance:
    """One row of a set. ``run`` reads or makes the job first, so that only what is run is made.

    ``seconds`` is what a plan is given where the command does not say.
    """

    name: str
    group: str
    run: "Runner"
    seconds: float = 10


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one instance.

    ``cost`` is None where parts are missing or nothing came back. ``first`` is when the first
    complete plan stood, ``near`` when a gap of 2 % was proven [seconds from the start of solving].
    ``faults`` are the plan's, as the checker names them, or the exception that ended the run.
    ``others`` are costs by other means on the same job. ``most``: what stands under ``cost`` is a
    value, the larger the better, so ``bound`` and ``lower`` are bounds from above.
    """

    name: str
    group: str
    cost: Fraction | None
    bound: Fraction | None
    known: Fraction | None
    lower: Fraction | None
    seconds: float
    status: str
    words: str = ""
    first: float | None = None
    near: float | None = None
    faults: tuple[str, ...] = ()
    others: Mapping[str, Fraction | None] = field(default_factory=dict)
    most: bool = False

    @property
    def gap(self) -> float | None:
        """(cost - bound) / cost; None where there is no plan."""
        if self.cost is None or self.bound is None:
            return None
        whole = self.bound if self.most else self.cost
        return float(abs(self.cost - self.bound) / whole) if whole else 0.0

    @property
    def over(self) -> float | None:
        """How far the cost is above the known one, as a share of that."""
        if self.cost is None or not self.known:
            return None
        return float(self.cost / self.known) - 1

    @property
    def reached(self) -> bool:
        """Whether the plan is as good as the known one."""
        if self.cost is None or self.known is None:
            return False
        return self.cost >= self.known if self.most else self.cost <= self.known


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure of a set beside what is asked of it. ``met`` is None where nothing is asked."""

    what: str
    found: str
    goal: str = ""
    met: bool | None = None


Runner: TypeAlias = Callable[[Instance, Limits], Outcome]
Measurer: TypeAlias = Callable[[Sequence[Outcome]], list[Measure]]


@dataclass(frozen=True, slots=True)
class BenchSet:
    """A set of instances.

    ``instances`` gets the folder of published data. ``unready`` returns why the set cannot be run
    as things are, or None. ``families`` are names that stand for several sets.
    """

    name: str
    title: str
    instances: Callable[[Path], list[Instance]]
    measures: Measurer
    families: tuple[str, ...] = ()
    needs_data: bool = True
    unready: Callable[[], str | None] = lambda: None
