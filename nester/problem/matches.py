"""From the matches of a project to the blanks that they may be made of."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from inventory.stock import Stock
from nester.model import How, Match, Part
from nester.problem.choice import Arc, Choice
from nester.problem.kinds import Kind, Leaves, Line
from nester.problem.shapes import Row

Named = tuple[str, int]
"""A part's name and the number of its copy."""

KindOf = Callable[[Part], int]
"""Gives the number of the kind of blank that a part alone needs."""


@dataclass(frozen=True, slots=True)
class Taken:
    """The copies of parts that each set of each match takes: ``copies[match][set]``, in order."""

    copies: Mapping[str, tuple[tuple[Named, ...], ...]]

    def of(self, part: str) -> int:
        """Return how many copies of a part belong to matches."""
        return sum(name == part for sets in self.copies.values() for own in sets for name, _ in own)


def taken(matches: Sequence[Match]) -> Taken:
    """Return which copies matches take: one after the other, match by match and set by set."""
    used: Counter[str] = Counter()
    rows = {match.name for match in matches if match.how is How.SEQUENCE}
    copies = {}
    for match in matches:
        sets = []
        for _ in range(match.sets):
            own = []
            for name in match.parts:
                if match.how is How.STACK and name in rows:
                    continue  # those parts are the sequence's
                used[name] += 1
                own.append((name, used[name]))
            sets.append(tuple(own))
        copies[match.name] = tuple(sets)
    return Taken(copies)


class Chooser:
    """Turns matches into choices, adding to a list of kinds the blanks that they may ask for."""

    def __init__(
        self, parts: Sequence[Part], stock: Sequence[Stock], kinds: list[Kind], kind_of: KindOf
    ) -> None:
        self.parts = {part.name: part for part in parts}
        self.reach = max((max(item.length, item.width) for item in stock), default=0)
        self.kinds = kinds
        self.kind_of = kind_of
        self.first = 0

    def choices(self, matches: Sequence[Match], penalty: int) -> list[Choice]:
        """Return a choice for each match; ``penalty`` is the price of a corner [ticks]."""
        found = taken(matches)
        made = []
        for match in matches:
            if match.how is How.SAME_BOARD:
                continue
            made.append(self._choice(match, found.copies[match.name], penalty))
        return made

    def _choice(self, match: Match, copies: tuple[tuple[Named, ...], ...], penalty: int) -> Choice:
        parts = tuple(self.parts[name] for name in match.parts)
        ring = match.how is How.WRAP
        arcs = self._leaves(match, parts)
        arcs += self._lines(match, parts, ring)
        if match.required:
            arcs = [arc for arc in arcs if arc.count == len(parts)]
        else:
            arcs += [Arc(i, 1, self.kind_of(part), 1) for i, part in enumerate(parts)]
        area = sum(part.length * part.width for part in parts)
        return Choice(match.name, copies, tuple(arcs), 0 if ring else 1, penalty, area)

    def _lines(self, match: Match, parts: tuple[Part, ...], ring: bool) -> list[Arc]:
        if match.how is How.BOOK:
            return []
        n = len(parts)
        arcs = []
        for start in range(n):
            for count in range(2, n + 1):
                if count == n and start:
                    break  # all of them in one begin with the first
                if start + count > n and not ring:
                    break
                own = tuple(parts[(start + i) % n] for i in range(count))
                size = sum(p.width if match.how is How.STACK else p.length for p in own)
                if size > self.reach:
                    break
                if match.how is How.STACK:
                    rows = tuple(Row((part,)) for part in own)
                else:
                    rows = (Row(own, match),)
                arcs.append(Arc(start, count, self._add(Line(match, rows)), 1))
        return arcs

    def _leaves(self, match: Match, parts: tuple[Part, ...]) -> list[Arc]:
        n = len(parts)
        if match.how is How.BOOK:
            kind = Leaves(match, Row(parts[:1]), Row(parts[1:]), opposite=False)
            return [Arc(0, 2, self._add(kind), 1)]
        if match.how is not How.WRAP:
            return []
        arcs = []
        for start in range(n):
            for count in range(2, n - 1):
                if 2 * count > n or (2 * count == n and start >= count):
                    continue  # the same pair, told from its other leaf
                order = [parts[(start + i) % n] for i in range(n)]
                second, first = tuple(order[:count]), tuple(order[count:])
                if sum(p.length for p in second) > self.reach:
                    continue
                kind = Leaves(match, Row(second, match), Row(first, match), opposite=True)
                arcs.append(Arc(start, n, self._add(kind), 0))
        return arcs

    def _add(self, kind: Kind) -> int:
        self.kinds.append(kind)
        return self.first + len(self.kinds) - 1
