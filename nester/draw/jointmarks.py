"""Marks of matches on the pieces: numbers of joints at the ends that meet, top edge, outside.

A joint's number stands in a tag whose point touches the end or edge that meets the other one; the
tag has a broken outline where the grain does not run on. A caret points to the top edge, as a maker
pencils it (to the outer edge in a frame, to the seam in a book), and beside it stands which face is
the outside.
"""

from collections.abc import Iterator, Sequence

from nester.draw.clip import Spot
from nester.draw.cutting import Cutting
from nester.draw.field import Field
from nester.draw.flaws import bounds
from nester.draw.marks import Dash, Fill, Mark, Pen, Polygon, Strokes, Style, Text, boxed
from nester.draw.names import Wording
from nester.draw.page import Box
from nester.draw.type import NOTE, SIZE, Line, line
from nester.draw.view import View
from nester.joints import Joint, Side, side_of
from nester.layout import BlankUse, Node

TAG = Style("joint", Pen.DIMENSION, fill=Fill.WHITE)
BROKEN = Style("joint-broken", Pen.DIMENSION, Dash.DENSE, Fill.WHITE)
CARET = Style("top-edge", Pen.CUT)

LEVEL = (Side.LOW_Y, Side.HIGH_Y)
"""The sides that run along the page."""

POINT = 1.7
"""Length of a tag's point [mm]."""
DEEP = 4.0
"""Depth of a tag's body [mm]."""
OFF = 0.45
"""White between a mark and the side of the piece that it belongs to [mm]."""
ASIDE = 0.95
"""How far from the middle of an edge to its end a joint's tag stands, so that names have room."""
STEPS = 12
"""Places tried for a mark from the middle of a side to either end."""
ARM = 1.5
"""Half the width of a caret, and its height [mm]."""


def joint_marks(
    cutting: Cutting, views: Sequence[View], wording: Wording, field: Field
) -> tuple[list[Mark], dict[int, Text]]:
    """Return the marks of matches on all pieces, each clear of what is taken.

    A piece too small for a mark goes without; the list of joints has all of them. Apart stand, by
    the ``id`` of the piece, the words that may give way to its name.
    """
    marks: list[Mark] = []
    spare: dict[int, Text] = {}
    for node in cutting.leaves:
        use = node.use
        if not isinstance(use, BlankUse):
            continue
        copy = (use.part, use.copy)
        for edge, joint in wording.joints.meets.get(copy, ()):
            marks += tag_on(node, side_of(edge, use), joint, views, field)
        top = wording.joints.oriented.get(copy)
        if top is not None:
            # A case has a top, a frame an outer edge, and only the maker knows which it is.
            what = "" if copy in wording.joints.around else "top"
            found = top_on(node, side_of(top, use), what, use, views, field)
        elif copy in wording.joints.books:
            # Leaves of a book open about one edge of the blank that they were resawn from: the one
            # that is turned over shows it at the bottom, the other at the top, where they meet.
            seam = Side.LOW_Y if wording.opened else Side.HIGH_Y
            found = top_on(node, seam, "seam", use, views, field)
        else:
            continue
        if found is None:
            continue
        marks.append(found[0])
        if found[1] is not None:
            # The outside is the face seen, unless said otherwise: only that must be said.
            if use.flipped:
                marks.append(found[1])
            else:
                spare[id(node)] = found[1]
    return marks, spare


def tag_on(node: Node, side: Side, joint: Joint, views: Sequence[View], field: Field) -> list[Mark]:
    """Return the tag of a joint at a side of a piece, in the row that shows it."""
    figure = line(joint.label, SIZE, True)
    style = TAG if joint.runs_on else BROKEN
    words = f"joint {joint.label} of {joint.match}"
    about = words if joint.runs_on else f"{words}, the grain does not run on"
    wide = max(figure.width + 1.8, DEEP)
    for box in boxes_at(node, side, views):
        along, deep = (wide, DEEP) if side in LEVEL else (DEEP, wide)
        for tip in spots_at(box, side, along, deep + POINT + OFF, ASIDE):
            body = body_of(tip, side, along, deep)
            if not box.holds(body) or not field.free(body, 0.2):
                continue
            field.take(hull(body, tip))
            outline = pentagon(body, tip, side)
            middle = body.centre
            return [Polygon(outline, style, about), boxed(figure, *middle, role="joint")]
    return []


def top_on(
    node: Node, side: Side, what: str, use: BlankUse, views: Sequence[View], field: Field
) -> tuple[Mark, Text | None] | None:
    """Return the caret to the top edge of a piece and the words beside it; None where none fits.

    ``what`` is "top", or "seam" where the edge is that of a book; empty, where it is not named.
    """
    outside = f"outside {'down' if use.flipped else 'up'}"
    words = line(", ".join(filter(None, (what, outside))), NOTE)
    for with_words in (True, False):
        room = 2 * ARM + (words.width + 1.0 if with_words else 0.0)
        deep = max(ARM, words.height) if with_words else ARM
        for box in boxes_at(node, side, views):
            for tip in spots_at(box, side, room, deep + OFF, -0.8):
                body = body_of(tip, side, room, deep, 0.0)
                if not box.holds(body) or not field.free(body, 0.25):
                    continue
                found = caret(body, side)
                field.take(bounds(found.chains[0]))
                if not with_words:
                    return found, None
                text = beside(body, side, words)
                field.take(text.box)
                return found, text
    return None


def beside(body: Box, side: Side, words: Line) -> Text:
    """Return words beside the caret at the beginning of ``body``, along the same side."""
    if side in LEVEL:
        down = words.height / 2
        y = body.top + down if side is Side.HIGH_Y else body.bottom - down
        return boxed(words, body.left + 2 * ARM + 1.0 + words.width / 2, y, role="top-edge")
    across = words.height / 2
    x = body.left + across if side is Side.LOW_X else body.right - across
    return boxed(words, x, body.bottom - 2 * ARM - 1.0 - words.width / 2, True, "top-edge")


def caret(body: Box, side: Side) -> Strokes:
    """Return a caret that points to ``side`` at the beginning of ``body``."""
    if side in LEVEL:
        x = body.left + ARM
        tip, foot = (body.top, body.top + ARM)
        if side is Side.LOW_Y:
            tip, foot = (body.bottom, body.bottom - ARM)
        spots: tuple[Spot, ...] = ((x - ARM, foot), (x, tip), (x + ARM, foot))
    else:
        y = body.bottom - ARM
        tip, foot = (body.left, body.left + ARM)
        if side is Side.HIGH_X:
            tip, foot = (body.right, body.right - ARM)
        spots = ((foot, y - ARM), (tip, y), (foot, y + ARM))
    return Strokes((spots,), CARET, "the edge that goes up or out")


def boxes_at(node: Node, side: Side, views: Sequence[View]) -> Iterator[Box]:
    """Yield what the rows show of a piece at one of its sides, the largest first."""
    shown = [view for view in views if view.shows(node)]
    if side is Side.LOW_X:
        shown = [view for view in shown if view.start <= node.x]
    elif side is Side.HIGH_X:
        shown = [view for view in shown if node.x + node.length <= view.end]
    yield from sorted((view.node_box(node) for view in shown), key=lambda box: -box.width)


def spots_at(box: Box, side: Side, along: float, deep: float, first: float) -> Iterator[Spot]:
    """Yield where a mark may touch a side of a piece.

    On a long side it begins aside of the middle, which is for the name: ``first`` is a share of the
    way to the end. On a short one up the page it begins in the middle.
    """
    upright = side not in LEVEL
    if (box.width if upright else box.height) < deep:
        return
    slack = ((box.height if upright else box.width) - along) / 2 - OFF
    if slack < 0:
        return
    begin = 0.0 if upright and box.height <= box.width else first
    shares = [i / STEPS for i in range(-STEPS, STEPS + 1)]
    for share in sorted(shares, key=lambda share: (abs(share - begin), share)):
        shift = share * slack
        if upright:
            x = box.left + OFF if side is Side.LOW_X else box.right - OFF
            yield x, box.centre[1] + shift
        else:
            y = box.bottom - OFF if side is Side.LOW_Y else box.top + OFF
            yield box.centre[0] + shift, y


def body_of(tip: Spot, side: Side, along: float, deep: float, point: float = POINT) -> Box:
    """Return the box behind a point that touches a side: ``along`` the side by ``deep`` [mm]."""
    x, y = tip
    if side is Side.LOW_Y:
        return Box(x - along / 2, y - point - deep, x + along / 2, y - point)
    if side is Side.HIGH_Y:
        return Box(x - along / 2, y + point, x + along / 2, y + point + deep)
    if side is Side.LOW_X:
        return Box(x + point, y - along / 2, x + point + deep, y + along / 2)
    return Box(x - point - deep, y - along / 2, x - point, y + along / 2)


def pentagon(body: Box, tip: Spot, side: Side) -> tuple[Spot, ...]:
    """Return the outline of a tag: its body, drawn out to the tip on one side."""
    corners = [
        (body.left, body.top),
        (body.right, body.top),
        (body.right, body.bottom),
        (body.left, body.bottom),
    ]
    after = {Side.HIGH_Y: 1, Side.HIGH_X: 2, Side.LOW_Y: 3, Side.LOW_X: 4}[side]
    return (*corners[:after], tip, *corners[after:])


def hull(body: Box, tip: Spot) -> Box:
    """Return the box round a tag, its point included."""
    return Box(
        min(body.left, tip[0]),
        min(body.top, tip[1]),
        max(body.right, tip[0]),
        max(body.bottom, tip[1]),
    )
