"""The lists of joints and of strips that stand below a drawing."""

from collections.abc import Collection, Iterator, Sequence

from nester.draw.cutting import Cutting
from nester.draw.lists import Detail, spans
from nester.draw.names import Wording
from nester.draw.tables import Table, made
from nester.draw.type import NOTE, Line, clean, clipped, line, rich
from nester.joints import Joint, angle_words
from nester.layout import BlankUse
from nester.matching import Copy

ROOM = 34.0
"""Widest name of a piece in the list of joints [mm]."""
CHAIN = 3
"""So many joints one after the other may share a row."""


def joints_in(cutting: Cutting, wording: Wording) -> list[Joint]:
    """Return the joints of the pieces of a layout, in the order of their numbers."""
    copies = [(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)]
    return wording.joints.of(copies)


def caret_words(cutting: Cutting, wording: Wording) -> str:
    """Return which edges the carets of a layout's pieces point to; empty where there are none."""
    copies = {(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)}
    joints = wording.joints
    found = []
    if copies & joints.around:
        found.append("the top edge of a case, the outer edge of a frame")
    elif any(copy in joints.oriented for copy in copies):
        found.append("the top edge")
    if any(copy in joints.books for copy in copies):
        found.append("the seam of a book")
    return ", ".join(found)


def joint_table(cutting: Cutting, wording: Wording, detail: Detail = Detail.FULL) -> Table:
    """Return the list of joints: what meets what, on which board, and whether the grain runs on.

    Where little may be said, joints that run on one after the other share a row.
    """
    here = {(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)}
    boards = {wording.joints.places.get(copy, "") for copy in here}
    rows = []
    grouped = here if detail in (Detail.GROUPED, Detail.KEY) else ()
    for chain in chains(alike(joints_in(cutting, wording), wording), grouped):
        if len(chain) > 1:
            rows.append(chain_row([group[0] for group in chain], wording))
            continue
        joints = chain[0]
        joint = joints[0]
        cells = [line(joint.label, NOTE, True)]
        for copies, edge in (
            ([j.first for j in joints], joint.edges[0]),
            ([j.second for j in joints], joint.edges[1]),
        ):
            place = wording.joints.places.get(copies[0], "")
            where = f" on {place}" if place else ", missing"
            if here.issuperset(copies):
                where = ""
            elif place in boards:
                where = " of the other leaf"
            cells.append(line(clean(f"{named(copies, wording)}, {edge.value}{where}"), NOTE))
        cells.append(line(angle_words(joint), NOTE))
        cells.append(line(grain_words(joint), NOTE))
        rows.append(tuple(cells))
    for first, second in wording.joints.books.items():
        if first in here and (first < second or second not in here):
            cells = [
                line("book", NOTE, True),
                *(line(named([c], wording), NOTE) for c in (first, second)),
            ]
            rows.append((*cells, line("leaves", NOTE), line("mirrored at the seam", NOTE)))
    return made("Joints", ("joint", "of", "meets", "cut", "grain"), rows)


def chains(groups: Sequence[list[Joint]], here: Collection[Copy]) -> Iterator[list[list[Joint]]]:
    """Yield the groups of joints, those in one chain where they run on through pieces ``here``."""
    chain: list[list[Joint]] = []
    for group in [*groups, []]:
        if chain and not (group and _follows(chain[-1], group, here)):
            yield from [chain] if len(chain) >= CHAIN else [[one] for one in chain]
            chain = []
        chain.append(group)


def _follows(before: Sequence[Joint], after: Sequence[Joint], here: Collection[Copy]) -> bool:
    if len(before) > 1 or len(after) > 1:
        return False
    one, two = before[0], after[0]
    return (
        one.match == two.match
        and one.second == two.first
        and one.runs_on
        and two.runs_on
        and all(copy in here for copy in (one.first, one.second, two.second))
    )


def chain_row(joints: Sequence[Joint], wording: Wording) -> tuple[Line, ...]:
    """Return the row of joints at which the grain runs on from piece to piece."""
    copies = [joints[0].first, *(joint.second for joint in joints)]
    names = f"{named(copies[:1], wording)} to {named(copies[-1:], wording)}"
    if len({name for name, _ in copies}) == 1:
        names = named(copies, wording)
    return (
        line(f"{joints[0].label}–{joints[-1].label}", NOTE, True),
        line(names, NOTE),
        line("each the next", NOTE),
        line(angle_words(joints[0]), NOTE),
        line(grain_words(joints[0]), NOTE),
    )


def alike(joints: Sequence[Joint], wording: Wording) -> list[list[Joint]]:
    """Return joints of one number between the same parts on the same boards together, in order."""
    places = wording.joints.places
    groups: dict[tuple[str, ...], list[Joint]] = {}
    for joint in joints:
        ends = (joint.first, joint.second)
        key = (joint.label, *(copy[0] for copy in ends), *(places.get(copy, "") for copy in ends))
        groups.setdefault(key, []).append(joint)
    return list(groups.values())


def named(copies: Sequence[Copy], wording: Wording) -> str:
    """Return the name of a part, cut short where it is long, and which copies of it these are.

    The only copy has no number.
    """
    name = clipped(clean(copies[0][0]), ROOM, NOTE)
    part = wording.parts.get(copies[0][0])
    if part is not None and part.copies == 1:
        return name
    return f"{name} {spans(number for _, number in copies)}"


def grain_words(joint: Joint) -> str:
    """Return what the grain does at a joint."""
    if joint.runs_on:
        return "runs on"
    return "odd corner, does not run on" if joint.odd else "does not run on"


def strip_table(wording: Wording) -> Table:
    """Return the list of a panel's strips from its near edge; empty for what is not glued up."""
    rows = []
    glued = wording.panel
    if glued is not None:
        for strip, end in zip(glued.strips, glued.ends, strict=False):
            size = f"{wording.length(strip.length)} × {wording.length(strip.width)}"
            cells = [
                line(str(strip.number), NOTE, True),
                line(clipped(clean(strip.place), ROOM, NOTE), NOTE),
                rich(size, NOTE),
                rich(wording.length(end), NOTE),
            ]
            rows.append(tuple(cells))
    heads = ("strip", "sawn from", "size as sawn", "in the panel to")
    return made("Strips, from the near edge", heads, rows)
