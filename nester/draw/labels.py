"""Lettering the pieces: name and copy first, size under it, always within the piece.

A piece too small for its words gets a number, in it or beside it on a lead, and a line in the key.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from nester.draw.clip import Segment
from nester.draw.field import Field, shifts
from nester.draw.marks import (
    Disc,
    Fill,
    Mark,
    Pen,
    Rect,
    Style,
    Text,
    centred,
    segment,
)
from nester.draw.page import PT, Box
from nester.draw.type import NAME, SIZE, Line, clipped, joined, line, rich, wrapped

PAD = 1.2
"""Least white between a label and the border of its piece [mm]."""
PAD_ACROSS = 0.45
"""The same over and under the words, whose boxes have white of their own [mm]."""
LEADING = 0.45
"""White between the lines of a label [mm]."""
NAME_SIZES = (16 * PT, 14 * PT, 12.5 * PT, NAME)
"""Sizes a sheet may letter its pieces' names in; one for the whole sheet."""
TWO_LINES = 0.65
"""Share of a name's width to which it is broken in two lines."""
LONGEST_NAME = 62.0
"""A name is clipped to this width [mm]."""

KEY_STYLE = Style("key", Pen.DIMENSION, fill=Fill.WHITE)
LEAD_STYLE = Style("lead", Pen.FINE)
DOT_STYLE = Style("lead", fill=Fill.BLACK)


@dataclass(frozen=True, slots=True)
class Words:
    """What is written in a piece: its name, which copy, and its two measures as text."""

    name: str
    copy: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Block:
    """Lines of type set one under another, centred."""

    lines: tuple[Line, ...]

    @property
    def width(self) -> float:
        """Width of the longest line [mm]."""
        return max(part.width for part in self.lines)

    @property
    def height(self) -> float:
        """From the top of the first line to the bottom of the last [mm]."""
        return sum(part.height for part in self.lines) + LEADING * (len(self.lines) - 1)

    def box(self, x: float, y: float, turned: bool) -> Box:
        """Return what the block covers when its middle is at (``x``, ``y``)."""
        w, h = (self.height, self.width) if turned else (self.width, self.height)
        return Box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)

    def texts(self, x: float, y: float, turned: bool) -> list[Text]:
        """Return the lines, placed with the block's middle at (``x``, ``y``)."""
        placed = []
        across = (x if turned else y) - self.height / 2
        for i, part in enumerate(self.lines):
            base = across + part.rise
            role = "name" if i == 0 else "size"
            if turned:
                placed.append(Text(part, base, y + part.width / 2, True, role))
            else:
                placed.append(Text(part, x - part.width / 2, base, False, role))
            across += part.height + LEADING
        return placed


def blocks(words: Words, name_size: float, room: float) -> Iterator[Block]:
    """Yield the ways to set a label, the best first; ``room`` is the width it must fit [mm]."""
    name = clipped(words.name, LONGEST_NAME, name_size, True)
    title = line(name, name_size, True)
    copy = [line(words.copy, SIZE)] if words.copy else []
    size = rich(f"{words.first} × {words.second}")
    headed = joined([title, *copy], 1.3)
    yield Block((headed, size))
    if copy:
        yield Block((title, joined([*copy, size], 2.2)))
        yield Block((title, *copy, size))
    halves = wrapped(name, max(room, 1.0), name_size, True)
    if 1 < len(halves) <= 3 and not any(half.endswith("…") for half in halves):
        heads = tuple(line(half, name_size, True) for half in halves)
        yield Block((*heads[:-1], joined([heads[-1], *copy], 1.3), size))
        yield Block((*heads, *copy, size))
        yield Block((*heads, *copy, rich(f"{words.first} ×"), rich(words.second)))
    yield Block((title, *copy, rich(f"{words.first} ×"), rich(words.second)))
    if name_size == NAME:  # between other marks a name may find room in two lines only
        halves = wrapped(name, title.width * TWO_LINES, name_size, True)
        if len(halves) == 2 and not any(half.endswith("…") for half in halves):
            first, second = (line(half, name_size, True) for half in halves)
            yield Block((first, joined([second, *copy], 1.3), size))
    yield Block((joined([title, *copy, size], 2.4),))


def fitting(words: Words, piece: Box, name_size: float) -> Iterator[tuple[Block, bool]]:
    """Yield the settings that fit ``piece`` when nothing is in the way, and whether turned."""
    inner = piece.grown(-PAD)
    inner = Box(inner.left, piece.top + PAD_ACROSS, inner.right, piece.bottom - PAD_ACROSS)
    for turned in (False, True):
        room, depth = inner.width, inner.height
        if turned:
            room, depth = depth, room
        if depth < NAME * 0.9:
            continue
        for block in blocks(words, name_size, room):
            if block.width <= room and block.height <= depth:
                yield block, turned


def letters(words: Words, piece: Box, name_size: float) -> bool:
    """Return whether ``piece`` can hold its label when nothing is in the way."""
    return next(fitting(words, piece, name_size), None) is not None


def placed_label(
    words: Words,
    piece: Box,
    name_size: float,
    field: Field,
    avoid: Field | None,
    upright: bool = False,
) -> list[Text] | None:
    """Return the label placed in ``piece``, or None where it finds no place.

    It keeps clear of all that is taken in ``field``, and in ``avoid`` (hatching) where that is
    given; hatching can be left out round a label. ``upright``: the label must not be turned.
    """
    for block, turned in fitting(words, piece, name_size):
        if turned and upright:
            continue
        spot = place_for(block, turned, piece, field, avoid)
        if spot is not None:
            field.take(block.box(*spot, turned))
            return block.texts(*spot, turned)
    return None


def place_for(
    block: Block, turned: bool, piece: Box, field: Field, avoid: Field | None
) -> tuple[float, float] | None:
    """Return a middle for the block, the nearest to the piece's middle that is free."""
    x, y = piece.centre
    w, h = (block.height, block.width) if turned else (block.width, block.height)
    slack_x = max(0.0, (piece.width - w) / 2 - PAD)
    slack_y = max(0.0, (piece.height - h) / 2 - PAD)
    for dx, dy in shifts(slack_x, slack_y, 6):
        box = block.box(x + dx, y + dy, turned)
        if field.free(box, 0.35) and (avoid is None or avoid.free(box, 0.35)):
            return x + dx, y + dy
    return None


def key_box(number: int, x: float, y: float) -> tuple[Box, Text]:
    """Return the frame and the figure of a piece's number, with the middle at (``x``, ``y``)."""
    figure = line(str(number), SIZE, True)
    half = max(figure.width / 2 + 0.9, 2.0)
    frame = Box(x - half, y - 2.0, x + half, y + 2.0)
    return frame, centred(figure, x, y, role="key")


def placed_key(
    number: int, piece: Box, field: Field, lines: Field, leads: list[Segment]
) -> list[Mark] | None:
    """Return the number of a piece too small for words, in the piece or beside it on a lead.

    Beside it, the number keeps off the ``lines`` of the drawing where it can.
    """
    x, y = piece.centre
    frame, _ = key_box(number, x, y)
    inner = piece.grown(-0.3)
    slack_x, slack_y = (inner.width - frame.width) / 2, (inner.height - frame.height) / 2
    if slack_x >= 0 and slack_y >= 0:
        for dx, dy in shifts(slack_x, slack_y, 6):
            frame, figure = key_box(number, x + dx, y + dy)
            if field.free(frame, 0.2):
                field.take(frame)
                return [Rect(frame, KEY_STYLE), figure]
    return key_on_lead(number, list(anchors(piece, field)) or [piece.centre], field, lines, leads)


def key_on_lead(
    number: int,
    spots: list[tuple[float, float]],
    field: Field,
    lines: Field,
    leads: list[Segment],
) -> list[Mark] | None:
    """Return a number beside its piece, on a lead from one of the ``spots``.

    First sought is a place off all lines, with a lead that runs over nothing; then one among lines;
    at last any free place.
    """
    for care in (2, 1, 0):
        for anchor in spots if care else spots[:1]:
            for dx, dy in rings():
                frame, figure = key_box(number, anchor[0] + dx, anchor[1] + dy)
                if not field.free(frame, 0.3) or (care == 2 and not lines.free(frame, 0.1)):
                    continue
                lead = (anchor, nearest_on(frame, anchor))
                if care and crosses(lead, field, leads):
                    continue
                leads.append(lead)
                x, y = anchor
                field.take(frame)
                field.take(Box(x - 0.5, y - 0.5, x + 0.5, y + 0.5))
                dot = Disc(x, y, 0.45, DOT_STYLE)
                return [segment(*lead, LEAD_STYLE), dot, Rect(frame, KEY_STYLE), figure]
    return None


def anchors(piece: Box, field: Field) -> Iterator[tuple[float, float]]:
    """Yield spots of the piece where a lead may begin, from the middle outward."""
    x, y = piece.centre
    for dx, dy in shifts(piece.width * 0.4, piece.height * 0.4, 2):
        dot = Box(x + dx - 0.4, y + dy - 0.4, x + dx + 0.4, y + dy + 0.4)
        if field.free(dot):
            yield x + dx, y + dy


def rings() -> Iterator[tuple[float, float]]:
    """Yield offsets in growing rings, upright and level ones before slanting ones."""
    ways = ((0, -1), (0, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1), (2, -1), (-2, -1))
    for step in range(3, 46):
        for dx, dy in ways:
            yield dx * step * 1.2, dy * step * 1.2


def nearest_on(box: Box, spot: tuple[float, float]) -> tuple[float, float]:
    """Return the point of a box nearest to ``spot``."""
    return min(max(spot[0], box.left), box.right), min(max(spot[1], box.top), box.bottom)


def crosses(lead: Segment, field: Field, leads: list[Segment]) -> bool:
    """Return whether a lead runs over something that is taken, or over another lead."""
    (x, y), (u, v) = lead
    steps = max(2, int(max(abs(u - x), abs(v - y)) / 0.6))
    for i in range(1, steps):
        px, py = x + (u - x) * i / steps, y + (v - y) * i / steps
        if field.at(px, py):
            return True
    return any(meet(lead, other) for other in leads)


def meet(first: Segment, second: Segment) -> bool:
    """Return whether two segments cross."""
    (a, b), (c, d) = first, second

    def turn(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0
