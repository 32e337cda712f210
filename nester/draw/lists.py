"""What stands below the drawing in words: cuts in order, pieces, flaws, and how to read it all."""

from collections.abc import Iterable, Sequence
from enum import Enum

from inventory.stock import Flaw
from nester.draw.cutting import Cutting, is_kept, is_resawn
from nester.draw.flaws import flaw_words
from nester.draw.marks import Mark, Text
from nester.draw.names import Wording
from nester.draw.tables import PITCH, Table, made
from nester.draw.type import EMPTY, NOTE, Line, clipped, line, rich, width_of, wrapped
from nester.layout import Axis, BlankUse, Node, OffcutUse, Saw, StripUse
from nester.sawing import SawLine, is_trim

NAME_ROOM = 44.0
"""Widest name in a table before it is clipped [mm]."""
KIND_ROOM = 46.0
"""Widest line of what is said of a flaw; what is longer goes on in the next [mm]."""
KEY_WIDTH = 20.0
"""Widest list of piece numbers in a row [mm]."""


class Detail(Enum):
    """How much the lists say, as there is room."""

    FULL = 0  # every cut with where it is measured from, every piece
    SHORT = 1  # the same without where it is measured from, which the notes say
    GROUPED = 2  # like cuts in a row share a line
    KEY = 3  # and of the pieces only those that the drawing does not name


def cut_table(cutting: Cutting, wording: Wording, detail: Detail) -> Table:
    """Return the cut list in order."""
    rows = []
    full = detail is Detail.FULL
    grouped = detail in (Detail.GROUPED, Detail.KEY)
    for saws in alike(cutting.cuts) if grouped else [[saw] for saw in cutting.cuts]:
        first, last = saws[0], saws[-1]
        at = f"at {wording.length(first.line)}"
        if last is not first:
            at += f" to {wording.length(last.line)}"
        cells = [spans(saw.cut.order for saw in saws), saw_word(first), at]
        if full:
            cells.append(first.measured)
        rows.append(tuple(rich(cell, NOTE) for cell in [*cells, wording.length(first.stop)]))
    heads = ["cut", "saw", "line"] + (["measured"] if full else []) + ["stop"]
    return made("Cuts, in order", heads, rows, 0, len(heads) - 1)


def alike(cuts: Sequence[SawLine]) -> list[list[SawLine]]:
    """Return the cuts in order, neighbours made at one setting of the stop in one group."""
    groups: list[list[SawLine]] = []
    for saw in cuts:
        if groups:
            before = groups[-1][-1]
            same = (saw_word(before), before.cut.axis, before.stop, before.cut.order + 1)
            if same == (saw_word(saw), saw.cut.axis, saw.stop, saw.cut.order):
                groups[-1].append(saw)
                continue
        groups.append([saw])
    return groups


def saw_word(saw: SawLine) -> str:
    """Return what is done at the saw, and whether it is a trim."""
    return f"{saw.word}, trim" if saw.trim else saw.word


def piece_table(
    cutting: Cutting, wording: Wording, keyed: Iterable[tuple[int, Node]], detail: Detail
) -> Table:
    """Return the pieces, alike ones in one row, with the numbers of those that got no more."""
    numbers = {id(node): number for number, node in keyed}
    short = detail is Detail.KEY
    groups: dict[tuple[str, str, str, bool, bool], list[Node]] = {}
    for node in cutting.leaves:
        if not is_kept(node):
            continue
        if short and id(node) not in numbers:
            continue
        first, second = (wording.exact(value) for value in wording.size(node))
        kind = type(node.use).__name__
        group = (
            kind,
            wording.name(node),
            f"{first} × {second}{wording.sawn(node)}",
            is_spare(node, wording),
            id(node) in numbers,
        )
        groups.setdefault(group, []).append(node)
    rows = []
    for (_, title, size, _, with_number), nodes in sorted(
        groups.items(), key=lambda item: (not item[0][-1], item[0][0] == "OffcutUse")
    ):
        name = clipped(title, NAME_ROOM, NOTE)
        for some in key_rows(nodes, numbers) if with_number else [nodes]:
            key = spans(numbers[id(n)] for n in some) if with_number else ""
            cells = [line(key, NOTE, True)] if numbers else []
            cells += [line(name, NOTE), line(copies(some, wording), NOTE), rich(size, NOTE)]
            rows.append(tuple(cells))
    heads = (("key",) if numbers else ()) + ("piece", "copy", "size")
    return made("Numbered pieces" if short else "Pieces", heads, rows)


def key_rows(nodes: Sequence[Node], numbers: dict[int, int]) -> list[list[Node]]:
    """Return the pieces of a row, over several rows where their numbers do not fit in one."""
    rows: list[list[Node]] = [[]]
    for node in nodes:
        longer = [*rows[-1], node]
        text = spans(numbers[id(n)] for n in longer)
        if rows[-1] and width_of(text, NOTE, True) > KEY_WIDTH:
            rows.append([node])
        else:
            rows[-1] = longer
    return rows


def copies(nodes: Sequence[Node], wording: Wording) -> str:
    """Return which copies a row stands for."""
    use = nodes[0].use
    if is_resawn(nodes[0]):
        return "resaw"
    if isinstance(use, OffcutUse):
        return "offcut"
    if isinstance(use, StripUse):
        strips = spans(n.use.strip for n in nodes if isinstance(n.use, StripUse))
        return f"strip {strips}"
    part = wording.part(nodes[0])
    copies = [n.use.copy for n in nodes if isinstance(n.use, BlankUse)]
    if part is None:
        return spans(copies)
    if is_spare(nodes[0], wording):
        return f"spare {spans(copy - part.count for copy in copies)}"
    return f"{spans(copies)} of {part.count}" if part.count > 1 else "1"


def is_spare(node: Node, wording: Wording) -> bool:
    """Return whether a piece is for test cuts."""
    part = wording.part(node)
    return isinstance(node.use, BlankUse) and part is not None and node.use.copy > part.count


def spans(numbers: Iterable[int]) -> str:
    """Return numbers in order with neighbours joined: "1–4, 7"."""
    parts: list[list[int]] = []
    for number in sorted(set(numbers)):
        if parts and number == parts[-1][1] + 1:
            parts[-1][1] = number
        else:
            parts.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in parts)


def flaw_table(flaws: Sequence[Flaw], wording: Wording) -> Table:
    """Return the key of the flaws' letters."""
    rows = []
    for i, flaw in enumerate(flaws):
        mark, what, size, place = flaw_words(i, flaw, wording)
        first, *more = wrapped(what, KIND_ROOM, NOTE)
        rows.append(
            (line(mark, NOTE, True), line(first, NOTE), rich(size, NOTE), rich(place, NOTE))
        )
        rows += [(EMPTY, line(words, NOTE), EMPTY, EMPTY) for words in more]
    return made("Flaws", ("key", "kind", "size", f"from end A, {wording.lower}"), rows)


def reading_note(
    cutting: Cutting,
    *,
    sheet: bool,
    rows: int,
    keyed: bool,
    bare: bool,
    shaped: bool = False,
    tags: bool = False,
    carets: str = "",
) -> str:
    """Return how the drawing is read: only what is on it.

    ``keyed``: some pieces have numbers; ``bare``: some cuts found no room for a disc;
    ``shaped``: some parts have cutaways; ``tags``: some joints have numbers; ``carets``: which edge
    they point to, empty where there are none.
    """
    parts = [
        "Discs number the cuts; the saw starts at the disc and runs on the x side of the line.",
        "Crosscuts are measured from end A, rips from the near edge;"
        " “stop” is the same line measured on the piece in hand.",
    ]
    saws = {saw.cut.saw for saw in cutting.cuts}
    if not saws:
        parts.clear()
    if Saw.ROUGH_RIP in saws:
        parts.append("Rough rips: bandsaw, to a line.")
    if any(is_trim(node) for node in cutting.leaves):
        parts.append("Diagonal strokes: trims.")
    if any(isinstance(n.use, OffcutUse) for n in cutting.leaves):
        parts.append("Long dashes: offcuts, keep them.")
    if shaped:
        parts.append("Thin lines in a piece: the part's shape, sawn out after milling.")
    if any(saw.cut.axis is Axis.Z for saw in cutting.cuts):
        parts.append("The leaves of a resawn piece have their own sheets.")
    if tags:
        parts.append(
            "Tags number the joints: like numbers meet; the grain runs on, except where a tag is"
            " dashed."
        )
    if carets:
        parts.append(
            f"A caret points to {carets}; the outside is the face you see, unless it says"
            " “outside down”."
        )
    if bare:
        parts.append("Cuts that found no room for a disc stand in the list alone.")
    if keyed:
        parts.append("Numbers in squares: pieces too small for their words, see the list.")
    if sheet:
        parts.append("All cuts with the sheet saw.")
    if rows > 1:
        parts.append(f"The board is shown in {rows} rows, all at one scale.")
    return " ".join(parts)


CAUTION = (
    "Guard and riving knife in place, push stick for narrow and short pieces, eyes and ears"
    " covered. Check every measure on the wood before the cut. Your machines' manuals and local"
    " rules come before this sheet; if in doubt, ask someone qualified."
)


def note_lines(notes: Sequence[str], room: float) -> list[Line]:
    """Return the notes, each beginning a line, broken to ``room`` [mm]."""
    return [line(part, NOTE) for note in notes for part in wrapped(note, room, NOTE)]


def note_marks(lines: Sequence[Line], left: float, bottom: float) -> list[Mark]:
    """Return the notes' lines, the last one ending at ``bottom``."""
    base = bottom - 0.7 - PITCH * (len(lines) - 1)
    return [Text(part, left, base + PITCH * i) for i, part in enumerate(lines)]
