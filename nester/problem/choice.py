"""What a plan may choose: how a match is made, and whether a part is glued up, from which strips.

All of it comes down to numbers of blanks of each kind that have to be cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nester.problem.inner import Inner, Slot


@dataclass(frozen=True, slots=True)
class Arc:
    """Consecutive parts of a match, ``count`` of them from number ``start``, as one blank.

    It may pass from the last part to the first. ``demand`` is the kind of blank; ``broken`` counts
    the corners that do not match because the blank ends.
    """

    start: int
    count: int
    demand: int
    broken: int


@dataclass(frozen=True, slots=True)
class Choice:
    """A match, to be made ``copies`` times: each time by arcs that hold every part once.

    ``parts`` names the parts with the copies that each set takes: ``parts[set][number]``. The
    corners broken are the arcs' together less ``free``. ``penalty`` is the price of one
    [ticks]; 0 where corners come before money. ``area`` is the finished area of a set.
    """

    match: str
    parts: tuple[tuple[tuple[str, int], ...], ...]
    arcs: tuple[Arc, ...]
    free: int
    penalty: int
    area: int

    @property
    def copies(self) -> int:
        """How many sets there are."""
        return len(self.parts)

    @property
    def slots(self) -> int:
        """How many parts a set has."""
        return len(self.parts[0])


@dataclass(frozen=True, slots=True)
class Glue:
    """Blanks of kind ``demand`` that may be glued up from strips instead of cut in one piece.

    ``strips`` are kinds of blanks with their widths on the board, ascending [1/320 mm];
    ``widest`` is the widest strip allowed. A panel takes from two to ``most`` strips, whose widths
    less ``per_strip`` each come to ``need`` at least. It is ``length`` cells long and parted as
    ``inner`` says.
    """

    demand: int
    strips: tuple[tuple[int, int], ...]
    widest: int
    need: int
    per_strip: int
    most: int
    length: int
    inner: Inner | Slot


@dataclass(frozen=True, slots=True)
class Together:
    """Parts that should come from one piece of stock: in each set one blank of each of ``kinds``.

    ``parts[set]`` names their copies. ``required``: otherwise they are not wanted at all.
    ``penalty`` is the price of two neighbours that are apart [ticks].
    """

    match: str
    parts: tuple[tuple[tuple[str, int], ...], ...]
    kinds: tuple[int, ...]
    required: bool
    penalty: int


def chains(glues: Sequence[Glue]) -> list[list[int]]:
    """Return the kinds of strips, those of panels that share some in one chain, by their width."""
    width_of = {kind: width for glue in glues for kind, width in glue.strips}
    head = {kind: kind for kind in width_of}

    def found(kind: int) -> int:
        while head[kind] != kind:
            kind = head[kind]
        return kind

    for glue in glues:
        for kind, _ in glue.strips[1:]:
            head[found(kind)] = found(glue.strips[0][0])
    made: dict[int, list[int]] = {}
    for kind in sorted(width_of, key=lambda kind: (width_of[kind], kind)):
        made.setdefault(found(kind), []).append(kind)
    return list(made.values())
