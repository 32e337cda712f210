"""The lists of joints and of strips that stand below a drawing."""

from collections.abc import Sequence

from nester.draw.cutting import Cutting
from nester.draw.lists import spans
from nester.draw.names import Wording
from nester.draw.tables import Table, made
from nester.draw.type import NOTE, clean, clipped, line, rich
from nester.joints import Joint, angle_words
from nester.layout import BlankUse
from nester.matching import Copy

ROOM = 34.0
"""Widest name of a piece in the list of joints [mm]."""


def joints_in(cutting: Cutting, wording: Wording) -> list[Joint]:
    """Return the joints of the pieces of a layout, in the order of their numbers."""
    copies = [(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)]
    return wording.joints.of(copies)


def is_matched(cutting: Cutting, wording: Wording) -> bool:
    """Return whether any piece of a layout belongs to a match that marks are made for."""
    copies = {(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)}
    return any(c in wording.joints.oriented or c in wording.joints.books for c in copies)


def joint_table(cutting: Cutting, wording: Wording) -> Table:
    """Return the list of joints: what meets what, on which board, and whether the grain runs on."""
    here = {(n.use.part, n.use.copy) for n in cutting.leaves if isinstance(n.use, BlankUse)}
    boards = {wording.joints.places.get(copy, "") for copy in here}
    rows = []
    for joints in alike(joints_in(cutting, wording), wording):
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
            cells.append(line(clean(f"{named(copies)}, {edge.value}{where}"), NOTE))
        cells.append(line(angle_words(joint), NOTE))
        cells.append(line(grain_words(joint), NOTE))
        rows.append(tuple(cells))
    for first, second in wording.joints.books.items():
        if first in here and (first < second or second not in here):
            cells = [line("book", NOTE, True), *(line(named([c]), NOTE) for c in (first, second))]
            rows.append((*cells, line("leaves", NOTE), line("mirrored at the seam", NOTE)))
    return made("Joints", ("joint", "of", "meets", "cut", "grain"), rows)


def alike(joints: Sequence[Joint], wording: Wording) -> list[list[Joint]]:
    """Return joints of one number between the same parts on the same boards together, in order."""
    places = wording.joints.places
    groups: dict[tuple[str, ...], list[Joint]] = {}
    for joint in joints:
        ends = (joint.first, joint.second)
        key = (joint.label, *(copy[0] for copy in ends), *(places.get(copy, "") for copy in ends))
        groups.setdefault(key, []).append(joint)
    return list(groups.values())


def named(copies: Sequence[Copy]) -> str:
    """Return the name of a part, cut short where it is long, and which copies of it these are."""
    name = clipped(clean(copies[0][0]), ROOM, NOTE)
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
        ends = [*(round(at) for at in glued.lines), glued.panel.width]
        for strip, end in zip(glued.strips, ends, strict=False):
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
