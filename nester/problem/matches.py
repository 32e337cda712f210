"""From the matches of a project to the blanks that they may be made of."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from inventory.stock import Stock
from nester.model import How, Match, Part
from nester.problem.choice import Arc, Choice, Together
from nester.problem.kinds import Kind, Leaves, Line
from nester.problem.shapes import Row

Named = tuple[str, int]
"""A part's name and the number of its copy."""

KindOf = Callable[[Part], int]
"""Gives the number of the kind of blank that a part alone needs."""


@dataclass(frozen=True, slots=True)
class Taken:
    """The copies of parts that each set of each match takes, ``rows[match][set]`` in order.

    A row is one part, or in a stack of sequences a whole sequence.
    ``stacked[match]`` counts the sets of a sequence that are rows of stacks, the first ones.
    """

    rows: Mapping[str, tuple[tuple[tuple[Named, ...], ...], ...]]
    stacked: Mapping[str, int]

    def of(self, part: str) -> int:
        """Return how many copies of a part belong to matches."""
        copies = {
            copy for sets in self.rows.values() for own in sets for row in own for copy in row
        }
        return sum(name == part for name, _ in copies)


def taken(matches: Sequence[Match], parts: Iterable[Part]) -> Taken:
    """Return which copies matches take: one after the other, match by match and set by set.

    A stack of sequences takes no copies itself, but their sets.
    """
    used: Counter[str] = Counter()
    sequences = sequences_of(matches, parts)
    rows: dict[str, tuple[tuple[tuple[Named, ...], ...], ...]] = {}
    for match in matches:
        sets = []
        for _ in range(match.sets):
            own: list[tuple[Named, ...]] = []
            for name in match.parts:
                if _is_row(match, name, sequences):
                    continue
                used[name] += 1
                own.append(((name, used[name]),))
            sets.append(tuple(own))
        rows[match.name] = tuple(sets)
    stacked: Counter[str] = Counter()
    for match in matches:
        if not any(_is_row(match, name, sequences) for name in match.parts):
            continue
        sets = []
        for plain in rows[match.name]:
            single = iter(plain)
            own = list[tuple[Named, ...]]()
            for name in match.parts:
                if not _is_row(match, name, sequences):
                    own.append(next(single))
                    continue
                row = rows[name][stacked[name]]
                stacked[name] += 1
                own.append(tuple(copy for one in row for copy in one))
            sets.append(tuple(own))
        rows[match.name] = tuple(sets)
    return Taken(rows, stacked)


def sequences_of(matches: Sequence[Match], parts: Iterable[Part]) -> dict[str, Match]:
    """Return the sequences by name, those left out that are called like a part."""
    names = {part.name for part in parts}
    return {m.name: m for m in matches if m.how is How.SEQUENCE and m.name not in names}


def _is_row(match: Match, name: str, sequences: Mapping[str, Match]) -> bool:
    return match.how is How.STACK and name in sequences


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
        self.sequences: dict[str, Match] = {}
        self._known: dict[Kind, int] = {}

    def choices(self, matches: Sequence[Match], penalty: int) -> list[Choice]:
        """Return a choice for each match; ``penalty`` is the price of a corner [ticks]."""
        found = taken(matches, self.parts.values())
        self.sequences = sequences_of(matches, self.parts.values())
        made = []
        for match in matches:
            sets = found.rows[match.name][found.stacked.get(match.name, 0) :]
            if sets and match.how is not How.SAME_BOARD:
                made.append(self._choice(match, sets, penalty))
        return made

    def together(self, matches: Sequence[Match], penalty: int) -> list[Together]:
        """Return the parts that should come from one piece of stock each."""
        found = taken(matches, self.parts.values())
        return [
            Together(
                match.name,
                tuple(tuple(copy for row in own for copy in row) for own in found.rows[match.name]),
                tuple(self.kind_of(self.parts[name]) for name in match.parts),
                match.required,
                penalty,
            )
            for match in matches
            if match.how is How.SAME_BOARD
        ]

    def _choice(
        self, match: Match, sets: tuple[tuple[tuple[Named, ...], ...], ...], penalty: int
    ) -> Choice:
        rows = [self._row(match, name) for name in match.parts]
        parts = tuple(part for row in rows for part in row.parts)
        ring = match.how is How.WRAP
        if match.how is How.STACK:
            arcs = self._stacks(match, rows)
        else:
            arcs = self._leaves(match, parts) + self._lines(match, parts, ring)
        if match.required:
            arcs = [arc for arc in arcs if arc.count == len(parts)]
        else:
            arcs += self._alone(rows)
        copies = tuple(tuple(copy for row in own for copy in row) for own in sets)
        area = sum(part.length * part.width for part in parts)
        return Choice(match.name, copies, tuple(arcs), 0 if ring else 1, penalty, area)

    def _row(self, match: Match, name: str) -> Row:
        if match.how is How.STACK and name in self.sequences:
            sequence = self.sequences[name]
            return Row(tuple(self.parts[part] for part in sequence.parts), sequence)
        return Row((self.parts[name],))

    def _stacks(self, match: Match, rows: Sequence[Row]) -> list[Arc]:
        """Return the arcs of rows edge to edge, and those of parts of one row."""
        arcs = []
        firsts = list(accumulate((len(row.parts) for row in rows), initial=0))
        for start in range(len(rows)):
            for end in range(start + 2, len(rows) + 1):
                own = tuple(rows[start:end])
                if sum(max(part.width for part in row.parts) for row in own) > self.reach:
                    break
                count = firsts[end] - firsts[start]
                arcs.append(Arc(firsts[start], count, self._add(Line(match, own)), 1))
        for row, first in zip(rows, firsts, strict=False):
            if row.match is not None:
                whole = row.match.required
                for arc in self._lines(row.match, row.parts, ring=False):
                    if not whole or arc.count == len(row.parts):
                        arcs.append(replace(arc, start=first + arc.start))
        return arcs

    def _alone(self, rows: Sequence[Row]) -> list[Arc]:
        """Return the arcs of parts alone, but for those of a row that must be had whole."""
        arcs = []
        at = 0
        for row in rows:
            for i, part in enumerate(row.parts):
                if row.match is None or not row.match.required:
                    arcs.append(Arc(at + i, 1, self.kind_of(part), 1))
            at += len(row.parts)
        return arcs

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
                if sum(part.length for part in own) > self.reach:
                    break
                arcs.append(Arc(start, count, self._add(Line(match, (Row(own, match),))), 1))
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
        """Return the number of a kind of blank; runs of parts that are alike are one kind."""
        if kind not in self._known:
            self._known[kind] = self.first + len(self.kinds)
            self.kinds.append(kind)
        return self._known[kind]
