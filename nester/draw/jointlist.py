"""The lists of joints and of strips that stand below a drawing."""

from nester.draw.cutting import Cutting
from nester.draw.names import Wording
from nester.draw.tables import Table, made
from nester.draw.type import NOTE, clean, clipped, line, rich
from nester.joints import Joint, angle_words, copy_words
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
    for joint in joints_in(cutting, wording):
        cells = [line(joint.label, NOTE, True)]
        for copy, edge in zip((joint.first, joint.second), joint.edges, strict=True):
            place = wording.joints.places.get(copy, "")
            where = f" on {place}" if place else ", missing"
            if copy in here:
                where = ""
            elif place in boards:
                where = " of the other leaf"
            cells.append(line(clean(f"{named(copy)}, {edge.value}{where}"), NOTE))
        cells.append(line(angle_words(joint), NOTE))
        cells.append(line(grain_words(joint), NOTE))
        rows.append(tuple(cells))
    for first, second in wording.joints.books.items():
        if first in here and (first < second or second not in here):
            cells = [line("book", NOTE, True), *(line(named(c), NOTE) for c in (first, second))]
            rows.append((*cells, line("leaves", NOTE), line("mirrored at the seam", NOTE)))
    return made("Joints", ("joint", "of", "meets", "cut", "grain"), rows)


def named(copy: Copy) -> str:
    """Return a piece's name, cut short where it is long, and which copy it is."""
    return copy_words((clipped(clean(copy[0]), ROOM, NOTE), copy[1]))


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
