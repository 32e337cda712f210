"""Which copy of which part a blank is, and what an offcut is called."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from inventory.stock import Stock
from nester.layout import StripUse
from nester.problem import Problem
from nester.problem.choice import Arc

Copies: TypeAlias = tuple[tuple[str, int], ...]
"""The parts, with their copies, that one blank becomes."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel to be glued up: the parts cut from it, its strips by kind from its near edge."""

    id: str
    parts: Copies
    glue: int
    strips: tuple[int, ...]


class PartNames:
    """Hands out copies of parts, kind by kind of blank, in the order of the part list.

    ``ways[choice][set]`` are the arcs that the sets of matches are made of, ``glued[glue]`` the
    panels that are glued up, each by the kinds of its strips. ``homes[together][set][number]`` is
    the layout that a part should come from, ``seats[glue][panel][strip]`` that of a strip.
    """

    def __init__(
        self,
        problem: Problem,
        ways: Sequence[Sequence[Sequence[Arc]]] = (),
        glued: Sequence[Sequence[tuple[int, ...]]] = (),
        homes: Sequence[Sequence[Sequence[int | None]]] = (),
        seats: Sequence[Sequence[Sequence[int | None]]] = (),
    ) -> None:
        whole: list[list[Copies]] = [
            [
                ((name, copy),)
                for (name, copies), taken in zip(
                    d.parts, d.taken or (0,) * len(d.parts), strict=True
                )
                for copy in range(taken + 1, taken + copies + 1)
            ]
            for d in problem.demands
        ]
        for choice, sets in zip(problem.choices, ways, strict=bool(ways)):
            for parts, arcs in zip(choice.parts, sets, strict=True):
                for arc in arcs:
                    own = (parts[(arc.start + i) % len(parts)] for i in range(arc.count))
                    whole[arc.demand].append(tuple(own))
        self.layout = -1
        self.kept: dict[tuple[int, int], list[Copies | StripUse]] = {}
        for together, rooms in zip(problem.together, homes, strict=bool(homes)):
            for parts, places in zip(together.parts, rooms, strict=True):
                for copy, kind, home in zip(parts, together.kinds, places, strict=True):
                    if home is not None:
                        self.kept.setdefault((home, kind), []).append((copy,))
                    elif not together.required:
                        whole[kind].append((copy,))
        self.panels: list[Panel] = []
        strips: list[list[StripUse]] = [[] for _ in problem.demands]
        ids: Counter[str] = Counter()
        for g, panels in enumerate(glued):
            demand = problem.glues[g].demand
            for i, kinds in enumerate(panels):
                parts = whole[demand].pop()
                ids[parts[0][0]] += 1
                panel = Panel(f"{parts[0][0]}-{ids[parts[0][0]]}", parts, g, kinds)
                self.panels.append(panel)
                for number, kind in enumerate(kinds, 1):
                    use = StripUse(panel.id, number)
                    seat = seats[g][i][number - 1] if seats else None
                    if seat is None:
                        strips[kind].append(use)
                    else:
                        self.kept.setdefault((seat, kind), []).append(use)
        self.left: list[Iterator[Copies]] = [iter(found) for found in whole]
        self.strips = [iter(found) for found in strips]

    def at(self, layout: int) -> None:
        """Say which layout the next blanks are in."""
        self.layout = layout

    def __call__(self, demand: int) -> Copies | StripUse | None:
        """Return what the next blank of a kind becomes; None where all are handed out."""
        kept = self.kept.get((self.layout, demand))
        if kept:
            return kept.pop(0)
        return next(self.left[demand], None) or next(self.strips[demand], None)


class OffcutIds:
    """Names offcuts after the stock they come from, never like other stock."""

    def __init__(self, items: Sequence[Stock]) -> None:
        self.taken = {item.id for item in items}
        self.next: Counter[str] = Counter()

    def maker(self, stock: str) -> Callable[[], str]:
        """Return a function that gives the next free id: "M-1a", "M-1b" and so on for "M-1"."""

        def make() -> str:
            while True:
                name = f"{stock}{letters(self.next[stock])}"
                self.next[stock] += 1
                if name not in self.taken:
                    self.taken.add(name)
                    return name

        return make


def letters(number: int) -> str:
    """Return a, b, ... z, aa, ab, ... for 0, 1, ..."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("a") + rest) + text
    return text
