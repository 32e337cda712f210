"""Glue lines of a panel, and the numbers of its strips."""

from collections.abc import Sequence

from nester.draw.clip import Segment, beyond
from nester.draw.field import Field
from nester.draw.marks import Dash, Mark, Pen, Style, Text, segments
from nester.draw.page import Box
from nester.draw.type import NOTE, clean, clipped, line
from nester.draw.view import View
from nester.glued import Glued

GLUE = Style("glue-line", Pen.DIMENSION, Dash.SHORT)
LONGEST = 50.0
"""The words in a strip are clipped to this width [mm]."""


def glue_lines(glued: Glued | None, view: View) -> list[Segment]:
    """Return the glue lines of a panel as a row shows them; none where nothing is glued."""
    if glued is None:
        return []
    ends = (view.x(view.start), view.x(view.end))
    return [((ends[0], y), (ends[1], y)) for y in (view.y(float(at)) for at in glued.lines)]


def glue_marks(lines: Sequence[Segment], words: Sequence[Box]) -> list[Mark]:
    """Return the glue lines as marks, left out where words stand."""
    left = beyond(lines, words)
    return [segments(left, GLUE)] if left else []


def strip_words(
    glued: Glued | None, views: Sequence[View], field: Field, lines: Field
) -> list[Mark]:
    """Return in each strip, where there is room first, its number and its board.

    They keep off all that is taken in ``field`` and off the ``lines`` of the drawing.
    """
    if glued is None or not views:
        return []
    view = views[0]
    marks: list[Mark] = []
    edges = [0.0, *(float(at) for at in glued.lines), float(glued.panel.width)]
    for strip, low, high in zip(glued.strips, edges, edges[1:], strict=False):
        name = clipped(clean(f"strip {strip.number}, {strip.place}"), LONGEST, NOTE)
        for words in (line(name, NOTE), line(str(strip.number), NOTE, True)):
            middle = (view.y(low) + view.y(high)) / 2
            found = None
            for i in range(int(view.mm(view.end - view.start) / 2.0)):
                text = Text(
                    words,
                    view.x(view.start) + 1.5 + 2.0 * i,
                    middle + (words.rise - words.drop) / 2,
                    role="strip",
                )
                tall = view.y(low) - view.y(high)
                inside = text.box.right < view.x(view.end) - 1.0 and text.box.height <= tall
                if inside and field.free(text.box, 0.3) and lines.free(text.box, 0.3):
                    found = text
                    break
            if found is not None:
                field.take(found.box)
                marks.append(found)
                break
    return marks
