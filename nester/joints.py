"""The joints of matches: which end or edge meets which, by a number, and whether the grain runs on.

The number of a joint stands on both of the sides that meet, on whatever boards they are.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from nester.layout import BlankUse
from nester.matching import Copy, Matching
from nester.model import How, Match
from nester.plan import Plan
from nester.problem.matches import taken


class Edge(Enum):
    """A side of a finished part."""

    END_A = "end A"
    END_B = "end B"
    NEAR = "near edge"
    FAR = "far edge"


class Side(Enum):
    """A side of a rectangle in the stock."""

    LOW_X = "towards end A"
    HIGH_X = "towards end B"
    LOW_Y = "towards the near edge"
    HIGH_Y = "towards the far edge"


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint between two copies of parts; ``label`` is unique in the plan.

    ``letter`` tells the match where there are several, ``number`` the joint in it. ``odd``: the
    corner of a wrap between its last part and its first. ``degrees``: what each of the two is cut
    off square by.
    """

    letter: str
    number: int
    match: str
    first: Copy
    second: Copy
    edges: tuple[Edge, Edge]
    runs_on: bool
    odd: bool
    degrees: Fraction

    @property
    def label(self) -> str:
        """What stands in the tags of the joint."""
        return f"{self.letter}{self.number}"

    @property
    def order(self) -> tuple[int, str, int]:
        """What joints are sorted by: A to Z, then AA; 2 before 10."""
        return len(self.letter), self.letter, self.number


@dataclass(frozen=True, slots=True)
class Joints:
    """All joints of a plan: ``meets`` by copy, each with the edge that it lies on.

    ``oriented`` has the copies whose outside is to be marked, and the edge of each that is its top:
    in a stack the near edge, for the first part is the uppermost, elsewhere the far edge.
    ``around`` are those of them that go round a case or a frame, whose top or outer edge it is.
    ``books`` are the copies of book matches with their other leaf, ``places`` where each copy lies.
    """

    meets: Mapping[Copy, tuple[tuple[Edge, Joint], ...]] = field(default_factory=dict)
    oriented: Mapping[Copy, Edge] = field(default_factory=dict)
    books: Mapping[Copy, Copy] = field(default_factory=dict)
    places: Mapping[Copy, str] = field(default_factory=dict)
    around: frozenset[Copy] = frozenset()

    def of(self, copies: Sequence[Copy]) -> list[Joint]:
        """Return the joints that some of ``copies`` have, each once, in the order of numbers.

        In a stack of sequences several pairs of copies meet at joints of one number.
        """
        found = {
            (joint.order, joint.first): joint
            for copy in copies
            for _, joint in self.meets.get(copy, ())
        }
        return sorted(found.values(), key=lambda joint: joint.order)


def joints_of(plan: Plan) -> Joints:
    """Return the joints of a plan's matches; parts that only share a board have none."""
    rows = taken(plan.matches, plan.parts).rows
    matching = Matching(plan.layouts, plan.panels)
    lettered = [match for match in plan.matches if match.how not in (How.SAME_BOARD, How.BOOK)]
    meets: dict[Copy, list[tuple[Edge, Joint]]] = {}
    oriented: dict[Copy, Edge] = {}
    books: dict[Copy, Copy] = {}
    around: set[Copy] = set()
    for match in plan.matches:
        if match.how is How.SAME_BOARD:
            continue
        letter = _letter(lettered.index(match)) if len(lettered) > 1 and match in lettered else ""
        for index, own in enumerate(rows[match.name]):
            if match.how is How.BOOK:
                (first,), (second,) = own[0], own[1]
                books |= {first: second, second: first}
                continue
            for copy in (copy for row in own for copy in row):
                if match.how is How.WRAP:
                    around.add(copy)
                if match.how is How.STACK:
                    oriented[copy] = Edge.NEAR
                else:  # which may be in a row of a stack that was told first
                    oriented.setdefault(copy, Edge.FAR)
            for joint in _of_set(match, letter, index, own, matching.running(match, own)):
                for edge, copy in zip(joint.edges, (joint.first, joint.second), strict=True):
                    meets.setdefault(copy, []).append((edge, joint))
    found = {copy: tuple(pairs) for copy, pairs in meets.items()}
    return Joints(found, oriented, books, _places(matching, plan), frozenset(around))


def side_of(edge: Edge, use: BlankUse) -> Side:
    """Return where an edge of a part lies in the stock, by how the part is turned."""
    ends = (Side.LOW_X, Side.HIGH_X)
    edges = (Side.LOW_Y, Side.HIGH_Y)
    if use.turned:  # turned and rolled, never mirrored: end A lies towards the far edge
        ends, edges = (Side.HIGH_Y, Side.LOW_Y), ends
    if edge in (Edge.END_A, Edge.END_B):
        return ends[(edge is Edge.END_B) != use.reversed]
    return edges[(edge is Edge.FAR) != (use.reversed != use.flipped)]


def copy_words(copy: Copy, plan: Plan) -> str:
    """Return what a copy of a part is called in a list: by its number too, where it has several."""
    name, number = copy
    only = any(part.name == name and part.copies == 1 for part in plan.parts)
    return name if only else f"{name} {number}"


def place_words(stock: str, copy: int, plan: Plan) -> str:
    """Return what a piece of stock is called: its id, and which piece where there are several."""
    return f"{stock}-{copy}" if plan.stock_by_id(stock).count > 1 else stock


def angle_words(joint: Joint) -> str:
    """Return at which angle the two sides of a joint are cut."""
    return f"mitered {float(joint.degrees):g}°" if joint.degrees else "square"


def _of_set(
    match: Match, letter: str, index: int, own: Sequence[Sequence[Copy]], running: set[int]
) -> Iterator[Joint]:
    n = len(own)
    corners = n if match.how is How.WRAP else n - 1
    across = match.how is How.STACK
    degrees = match.miter if match.how is How.WRAP else Fraction(0)
    edges = (Edge.FAR, Edge.NEAR) if across else (Edge.END_B, Edge.END_A)
    for k in range(corners):
        number = index * corners + k + 1
        odd = match.how is How.WRAP and k == n - 1
        for first, second in zip(own[k], own[(k + 1) % n], strict=False):
            yield Joint(
                letter, number, match.name, first, second, edges, k in running, odd, degrees
            )


def _letter(index: int) -> str:
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _places(matching: Matching, plan: Plan) -> dict[Copy, str]:
    return {
        copy: ", ".join(place_words(stock, number, plan) for stock, number in sorted(homes))
        for copy, homes in matching.home.items()
    }
