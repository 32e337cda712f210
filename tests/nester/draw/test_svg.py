"""The SVG itself: valid, alone, with only the shapes that every reader keeps."""

import base64
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import pytest

from inventory.formatter import Formatter
from nester.draw import Heading, draw_pages
from nester.draw.marks import Disc, Fill, Pen, Polygon, Rect, Strokes, Style, Text
from nester.draw.page import A4, LETTER, Box
from nester.draw.svg import svg_text
from nester.draw.type import NOTE, rich, width_of
from tests.nester.draw import wood
from tests.nester.draw.reading import NS, path_spots, read

KEPT = {"svg", "title", "desc", "defs", "style", "rect", "g", "polygon", "path", "circle"}


@pytest.mark.parametrize("name", ["walnut", "plywood"])
def test_the_drawing_holds_to_the_rules_of_svg(name):
    """With svgwrite's own checks of every attribute switched on, the same drawing is made."""
    stock, layout, parts = getattr(wood, name)()
    given = layout, stock, parts, Formatter.of("in"), Heading("Box", "2026-11-25", 1, 1)
    assert draw_pages(*given, debug=True) == draw_pages(*given)


@pytest.mark.parametrize("name", ["walnut", "plywood", "dense"])
def test_only_shapes_that_survive_the_way_to_pdf(name):
    """No pattern, marker, clip path or use, and no attribute that a converter drops."""
    stock, layout, parts = getattr(wood, name)()
    (svg,) = draw_pages(layout, stock, parts, Formatter.of("in"), Heading("Box", "", 1, 1))
    assert read(svg).tags <= KEPT | {"text", "tspan"}
    for attribute in ("dominant-baseline", "clip-path", "marker-", "href"):
        assert attribute not in svg


@pytest.mark.parametrize("name", ["walnut", "plywood"])
def test_every_run_is_held_to_its_measured_width(name):
    """A viewer without the embedded fonts makes letters fit, and sets the slash by its middle."""
    stock, layout, parts = getattr(wood, name)()
    (svg,) = draw_pages(layout, stock, parts, Formatter.of("in"), Heading("Box", "", 1, 1))
    found = 0
    for body in ET.fromstring(svg.encode("utf-8")).findall(NS + "g"):
        for group in body.findall(NS + "g"):
            bold = group.get("font-weight") == "bold"
            for text in group.findall(NS + "text"):
                for run in text.findall(NS + "tspan") or [text]:
                    size = float(run.get("font-size", text.attrib["font-size"]))
                    weight = run.get("font-weight")
                    heavy = bold if weight is None else weight == "bold"
                    wide = width_of(run.text, size, heavy)
                    if run.text == "⁄":
                        assert run.get("text-anchor") == "middle"
                    else:
                        assert float(run.attrib["textLength"]) == pytest.approx(
                            wide, rel=0.005, abs=1.01
                        )
                        assert run.get("lengthAdjust") == "spacingAndGlyphs"
                    found += 1
    assert found > 50


def test_the_drawing_opens_alone():
    """Fonts are inside as WOFF2, with common families to fall back on; no link leads out."""
    stock, layout, parts = wood.plywood()
    (svg,) = draw_pages(layout, stock, parts, Formatter.of("mm"), Heading("Box", "", 1, 1))
    fonts = re.findall(r"url\(data:font/woff2;base64,([A-Za-z0-9+/=]+)\)", svg)
    assert len(fonts) == 2
    assert all(base64.b64decode(font)[:4] == b"wOF2" for font in fonts)
    family = ET.fromstring(svg.encode("utf-8")).find(NS + "g").attrib["font-family"]
    assert family.startswith("'Nester Sans', Arial")
    assert family.endswith("sans-serif")
    outside = set(re.findall(r"https?://[^\s\"']+", svg))
    assert outside <= {
        "http://www.w3.org/2000/svg",
        "http://www.w3.org/1999/xlink",
        "http://www.w3.org/2001/xml-events",
    }


def test_the_drawing_says_in_words_what_it_is():
    """The root has a title and a description, and every piece a title of its own."""
    stock, layout, parts = wood.walnut()
    (svg,) = draw_pages(layout, stock, parts, Formatter.of("in"), Heading("Cabinet", "", 1, 1))
    drawing = read(svg)
    assert drawing.title == "Cutting diagram, W-07, Cabinet"
    assert "walnut" in drawing.about
    assert "5 pieces, 14 cuts" in drawing.about
    told = [about for _, about in drawing.rects["piece"]]
    wanted = "case side 1 of 4, 41″ × 3 3/4″, 1″ from end A, 1/8″ from the near edge"
    assert wanted in told
    assert all(told)


def test_marks_come_out_where_they_were_put():
    """Coordinates are whole hundredths of a millimetre; nothing is turned over on the way."""
    style = Style("piece", Pen.PIECE)
    marks = [
        Rect(Box(10.0, 20.0, 30.5, 40.25), style, "a piece"),
        Polygon(((1.0, 2.0), (3.0, 4.0), (5.0, 2.0)), Style("flaw", Pen.DIMENSION)),
        Strokes((((1.0, 1.0), (2.5, 3.0), (2.0, 2.0)),), Style("grain", Pen.FINE)),
        Disc(50.0, 60.0, 2.0, Style("disc", Pen.CUT, fill=Fill.WHITE)),
        Text(rich("2 1/4", NOTE), 70.0, 80.0),
        Text(rich("7/8", NOTE), 90.0, 80.0, True),
    ]
    drawing = read(svg_text(LETTER, marks, "a title", "about it"))
    assert drawing.rects["piece"] == [(Box(10.0, 20.0, 30.5, 40.25), "a piece")]
    assert drawing.polygons["flaw"] == [[(1, 2), (3, 4), (5, 2)]]
    spots = path_spots(drawing.paths["grain"][0])
    assert [round(c, 2) for spot in spots for c in spot] == [1, 1, 2.5, 3, 2, 2]
    assert drawing.discs["disc"] == [(50, 60, 2)]
    level, turned = drawing.texts
    assert (level.box.left, level.text) == (pytest.approx(70, abs=0.01), "2 1⁄4")
    assert turned.turned
    assert turned.box.bottom == pytest.approx(80, abs=0.01)
    assert turned.box.right <= 91
    assert turned.box.height > turned.box.width


def test_a_drawing_with_nothing_on_it_is_still_a_page():
    """An empty page has its size, title and description."""
    drawing = read(svg_text(A4, [], "empty", "nothing here"))
    assert (drawing.width, drawing.title, drawing.about) == (297, "empty", "nothing here")
    assert drawing.texts == []


def test_two_runs_of_the_program_give_the_same_bytes():
    """Nothing depends on the order in which a run happens to hash its sets."""
    program = (
        "import hashlib;"
        "from tests.nester.draw import wood;"
        "from inventory.formatter import Formatter;"
        "from nester.draw import draw_layout;"
        "stock, layout, parts = wood.walnut();"
        "svg = draw_layout(layout, stock, parts, Formatter.of('in'));"
        "print(hashlib.sha256(svg.encode()).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1
    assert len(digests.pop().strip()) == 64
