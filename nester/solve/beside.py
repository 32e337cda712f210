"""What runs beside the other work of a round: a dive, and a choice among the layouts known."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from nester.problem import Problem
from nester.solve.choose import Chosen
from nester.solve.columns import Column
from nester.solve.dive import Dived
from nester.solve.plans import Draft, draft


@dataclass(frozen=True, slots=True)
class Beside:
    """What a dive came to, a plan chosen among layouts known, and the work of the choice."""

    dived: Dived | None
    chosen: Draft | None
    choosing: int


def found_beside(
    problem: Problem,
    dives: Callable[[], Dived] | None,
    known: Sequence[Column],
    choice: Callable[[Sequence[Column]], Chosen],
) -> Beside:
    """Dive, and choose among what is known then, where there is anything to choose from."""
    dived = None if dives is None else dives()
    if not known:
        return Beside(dived, None, 0)
    found = choice([*known, *(() if dived is None else dived.columns)])
    chosen = None if found.columns is None else draft(problem, found.columns)
    return Beside(dived, chosen, found.work)
