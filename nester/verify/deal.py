"""Which copies of which parts belong to each set of each match, and whether there are enough.

Copies are dealt in order: match by match as they stand in the document, set by set, name by name;
each use of a name takes its next copy. A stack may name sequences: each use takes the next set.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from nester.verify.fault import Fault
from nester.verify.records import Match, Part, Plan

Position: TypeAlias = tuple[str, int]
"""A part's name and copy; or, in a stack of sequences, a sequence's name and set, from 1."""


@dataclass(frozen=True, slots=True)
class Dealt:
    """A match with the positions of each of its sets, in order."""

    match: Match
    sets: tuple[tuple[Position, ...], ...]
    places: Mapping[Position, tuple[int, int]]  # of each position: its set, its place in it

    @property
    def size(self) -> int:
        """How many parts a set has."""
        return len(self.match.parts)

    @property
    def corners(self) -> int:
        """How many corners a set has: a wrap is closed, all others are rows."""
        return self.size if self.match.how == "wrap" else self.size - 1

    def names(self, corner: int) -> tuple[str, str]:
        """Return the names before and after a corner, the first corner 0."""
        return self.match.parts[corner], self.match.parts[(corner + 1) % self.size]


def deal(matches: Mapping[str, Match], parts: Mapping[str, Part]) -> dict[str, Dealt]:
    """Return the sets of every match, by its name."""
    taken: Counter[str] = Counter()
    found = {}
    for match in matches.values():
        sets = []
        for _ in range(match.sets):
            positions = []
            for name in match.parts:
                key = name if name in parts else f"match {name}"
                taken[key] += 1
                positions.append((name, taken[key]))
            sets.append(tuple(positions))
        places = {
            position: (number, place)
            for number, positions in enumerate(sets)
            for place, position in enumerate(positions)
        }
        found[match.name] = Dealt(match, tuple(sets), places)
    return found


def check_match_parts(plan: Plan) -> Iterator[Fault]:
    """A match names parts of the plan, a stack also sequences, and takes no more than there are."""
    taken: Counter[str] = Counter()
    rows: Counter[str] = Counter()
    for match in plan.matches.values():
        place = f"match {match.name}"
        for name in match.parts:
            named = plan.matches.get(name)
            if name in plan.parts:
                taken[name] += match.sets
            elif match.how == "stack" and named is not None and named.how == "sequence":
                rows[name] += match.sets
            else:
                yield Fault("match-part", "no part has this name", place, name)
    for name, number in taken.items():
        if number > plan.parts[name].count:
            message = f"the matches take {number} copies of this part"
            yield Fault("match-copies", message, f"part {name}", str(plan.parts[name].count))
    for name, number in rows.items():
        if number > plan.matches[name].sets:
            message = f"stacks take {number} sets of this sequence"
            yield Fault("match-copies", message, f"match {name}", str(plan.matches[name].sets))
