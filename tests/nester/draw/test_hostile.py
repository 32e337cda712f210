"""Names that would break a drawing if they could."""

import re

import pytest

from inventory.formatter import Formatter
from nester.draw import Heading, draw_pages
from nester.draw.page import A4
from tests.nester.draw.reading import overlapping, read
from tests.nester.draw.wood import (
    OffcutUse,
    blank,
    cross,
    inches,
    layout_of,
    part,
    rip,
    small_board,
)

NAMES = [
    "<script>alert('x')</script>",
    ']]></style><svg onload="x">',
    "a \"quoted\" & 'single' one",
    "../../etc/passwd",
    "C:\\windows\\system32",
    "שולחן ליד המיטה",
    "\u202egnorw eht\u202c way",
    "x" * 10_000,
    "word " * 2_000,
    "line\nbreak\tand \x00\x07\x1b control",
    "half \ud800 a pair, \ufffe, \uffff",
    "日本語の引き出し",
    "e\u0301\u0302\u0303" * 50,
    "",
    "   ",
    "&#x41; &amp; %s {0} $x",
]


@pytest.mark.parametrize("name", NAMES, ids=lambda name: repr(name[:12]))
def test_a_name_never_breaks_the_drawing(name):
    """Parts, offcuts, stock and project so called give valid XML with the words as plain text."""
    from dataclasses import replace

    board, _, _ = small_board()
    board = replace(board, id=name, species=name, shelf=name, note=name)
    what = cross(
        (inches(30), rip((inches(3), blank(name, 1)), (None, blank("leg", 1)))),
        (None, OffcutUse(name)),
    )
    layout = layout_of(board, what)
    parts = [part(name, inches(29), inches(2), 2), part("leg", inches(29), inches(2))]
    heading = Heading(name, name, 1, 1)
    pages = draw_pages(layout, board, parts, Formatter.of("in"), heading)
    known = {"svg", "title", "desc", "defs", "style", "rect", "g", "polygon", "path", "circle"}
    for page in pages:
        drawing = read(page)
        assert drawing.tags <= known | {"text", "tspan"}
        assert overlapping(drawing.texts) == []
        for text in drawing.texts:
            assert A4.live.grown(0.05).holds(text.box), text.text
            assert text.text.isprintable()
        assert len(page.encode("utf-8")) < 200_000


def test_markup_in_a_name_stays_text():
    """The script is shown as it was written, and there is no such element."""
    board, _, _ = small_board()
    name = "<script>x</script>"
    layout = layout_of(board, blank(name))
    (page,) = draw_pages(
        layout,
        board,
        [part(name, inches(50), inches(5))],
        Formatter.of("in"),
        Heading("", "", 1, 1),
    )
    assert "<script" not in page
    assert read(page).said("name") == [name]


def test_letters_that_the_fonts_lack_are_held_to_their_measured_width():
    """Another font must give them, so the drawing says how wide they may come out."""
    board, _, _ = small_board()
    layout = layout_of(board, blank("שולחן"))
    (page,) = draw_pages(layout, board, [], Formatter.of("in"), Heading("plain", "", 1, 1))
    assert "שולחן" in page
    runs = re.findall(r"<t(?:ext|span) ([^>]*)>שולחן", page)
    assert len(runs) >= 2  # in the drawing and in the list
    for attributes in runs:
        assert re.search(r' textLength="[1-9]\d+"', attributes)
        assert 'lengthAdjust="spacingAndGlyphs"' in attributes
