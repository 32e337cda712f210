"""What a run came to."""

from dataclasses import dataclass

from nester.problem.choice import Arc
from nester.solve.columns import Column
from nester.solve.stop import Progress


@dataclass(frozen=True, slots=True)
class Result:
    """The best layouts found and what is proven of them.

    ``missing[d]`` copies of demand d have no place. ``bound`` is in ticks: no plan that places all
    demands, and breaks no more corners, costs less. ``stopped_by``: "optimal", "gap", "seconds",
    "work" or "interrupted". ``ways[choice][set]`` are the arcs that a set is made of, those without
    a blank left out; ``panels[glue]`` are the panels glued up, each by the kinds of its strips.
    """

    columns: tuple[Column, ...]
    missing: tuple[int, ...]
    cost: int
    bound: int
    stopped_by: str
    seconds: float
    work: int
    history: tuple[Progress, ...] = ()
    ways: tuple[tuple[tuple[Arc, ...], ...], ...] = ()
    panels: tuple[tuple[tuple[int, ...], ...], ...] = ()

    @property
    def gap(self) -> float:
        """(cost - bound) / cost; 0 where the cost is 0."""
        return (self.cost - self.bound) / self.cost if self.cost > 0 else 0.0
