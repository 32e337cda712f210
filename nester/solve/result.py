"""What a run came to."""

from dataclasses import dataclass

from nester.solve.columns import Column
from nester.solve.stop import Progress


@dataclass(frozen=True, slots=True)
class Result:
    """The best layouts found and what is proven of them.

    ``missing[d]`` copies of demand d have no place. ``bound`` is in ticks: no plan that places all
    demands costs less. ``stopped_by``: "optimal", "gap", "seconds", "work" or "interrupted".
    """

    columns: tuple[Column, ...]
    missing: tuple[int, ...]
    cost: int
    bound: int
    stopped_by: str
    seconds: float
    work: int
    history: tuple[Progress, ...] = ()

    @property
    def gap(self) -> float:
        """(cost - bound) / cost; 0 where the cost is 0."""
        return (self.cost - self.bound) / self.cost if self.cost > 0 else 0.0
