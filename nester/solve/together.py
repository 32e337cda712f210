"""Which blanks of which layouts go together, where parts should come from one piece of stock."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from nester.problem import Problem
from nester.solve.columns import Column


@dataclass(frozen=True, slots=True)
class Seats:
    """The layout that each part of each set comes from: ``homes[together][set][number]``.

    It is None for a part that has no blank, or none that counts: a required set that is not whole
    takes no blanks.
    """

    homes: tuple[tuple[tuple[int | None, ...], ...], ...]

    def broken(self, problem: Problem) -> list[int]:
        """Return how many neighbours are apart, for each match."""
        return [
            sum(a is None or a != b for seats in sets for a, b in pairwise(seats))
            for sets in self.homes
        ]


def seats(problem: Problem, columns: Sequence[Column]) -> Seats:
    """Return where the parts of sets are had: each set from the layout that has most of it.

    Blanks of one kind are all alike, so it does not matter which of them a part becomes.
    """
    left = [Counter({d: n for d, n in enumerate(c.counts) if n}) for c in columns]
    # What must be whole comes first.
    order = sorted(range(len(problem.together)), key=lambda t: not problem.together[t].required)
    found: dict[int, tuple[tuple[int | None, ...], ...]] = {}
    for t in order:
        own = problem.together[t]
        need = Counter(own.kinds)
        sets: list[tuple[int | None, ...]] = []
        for _ in own.parts:
            whole = [i for i, have in enumerate(left) if have >= need]
            if own.required and not whole:
                sets.append((None,) * len(own.kinds))
                continue
            sets.append(_seated(own.kinds, left, whole[:1]))
        found[t] = tuple(sets)
    homes = tuple(found[t] for t in range(len(problem.together)))
    return Seats(homes)


def _seated(
    kinds: Sequence[int], left: Sequence[Counter[int]], first: Sequence[int]
) -> tuple[int | None, ...]:
    """Take the blanks of one set from as few layouts as seems possible."""
    homes: list[int | None] = [None] * len(kinds)
    while None in homes:
        open_ = [k for k, home in enumerate(homes) if home is None]
        wanted = Counter(kinds[k] for k in open_)
        best = max(
            first or range(len(left)), key=lambda i: ((wanted & left[i]).total(), -i), default=None
        )
        if best is None or not (wanted & left[best]):
            break
        for k in open_:
            if left[best][kinds[k]] > 0:
                left[best][kinds[k]] -= 1
                homes[k] = best
    return tuple(homes)


def strip_seats(
    columns: Sequence[Column], panels: Sequence[Sequence[tuple[int, ...]]]
) -> list[list[tuple[int | None, ...]]]:
    """Return which layout each strip comes from: a panel's strips from as few as seems possible.

    ``panels[glue]`` are the panels of one kind, each by the kinds of its strips.
    """
    left = [Counter({d: n for d, n in enumerate(c.counts) if n}) for c in columns]
    return [[_seated(strips, left, ()) for strips in own] for own in panels]
