"""Writing marks as SVG: millimetres on the root, a view box in whole hundredths of a millimetre.

``marks`` already have y running down the page (``view.py`` turns it, once); nothing is turned here.
"""

import base64
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby, pairwise
from typing import Any

from nester.draw.marks import Dash, Disc, Mark, Polygon, Rect, Style, Text
from nester.draw.page import Paper
from nester.draw.type import FAMILY, FONTS, Line, Run, covered, width_of

FALLBACKS = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', 'Noto Sans', sans-serif"
"""Taken where the embedded font is not read: nearest in width first."""

SLASH = "⁄"
"""The slash of a fraction."""


def whole(mm: float) -> int:
    """Return mm as the view box counts them."""
    return round(mm * 100)


@lru_cache(maxsize=1)
def font_rules() -> str:
    """Return the style rules that carry the fonts within the drawing."""
    rules = []
    for name, weight in (("Regular", "normal"), ("Bold", "bold")):
        data = base64.b64encode((FONTS / f"NesterSans-{name}.woff2").read_bytes()).decode("ascii")
        rules.append(
            f"@font-face{{font-family:'{FAMILY}';font-weight:{weight};"
            f"src:url(data:font/woff2;base64,{data}) format('woff2')}}"
        )
    return "".join(rules)


def svg_text(
    paper: Paper, marks: Sequence[Mark], title: str, about: str, *, debug: bool = False
) -> str:
    """Return the drawing as SVG text; ``title`` and ``about`` must be clean (``type.clean``).

    ``debug`` makes svgwrite check every attribute against the SVG rules: slow, for tests.
    """
    import svgwrite

    drawing = svgwrite.Drawing(
        size=(f"{number(paper.width)}mm", f"{number(paper.height)}mm"),
        viewBox=f"0 0 {whole(paper.width)} {whole(paper.height)}",
        debug=debug,
    )
    drawing.set_desc(title=title, desc=about)
    drawing.defs.add(drawing.style(font_rules()))
    sheet = drawing.rect((0, 0), (whole(paper.width), whole(paper.height)), fill="#fff")
    drawing.add(sheet)
    body = drawing.g(
        font_family=f"'{FAMILY}', {FALLBACKS}",
        fill="#000",
        stroke_linejoin="miter",
        stroke_linecap="butt",
    )
    for key, members in groupby(marks, group_key):
        group = drawing.g(**attributes(key))
        for mark in members:
            group.add(element(drawing, mark))
        body.add(group)
    drawing.add(body)
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    return head + str(drawing.tostring()) + "\n"


def number(value: float) -> str:
    """Return a length without zeros at the end."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def group_key(mark: Mark) -> Style | tuple[str, bool]:
    """Return what neighbours must share to stand in one group."""
    return mark.style if not isinstance(mark, Text) else (mark.role, mark.line.runs[0].bold)


def attributes(key: Style | tuple[str, bool]) -> dict[str, Any]:
    """Return the attributes of a group."""
    if isinstance(key, tuple):
        role, bold = key
        return {"class_": f"text {role}", **({"font_weight": "bold"} if bold else {})}
    given: dict[str, Any] = {"class_": key.role, "fill": key.fill.value}
    if key.pen is not None:
        given |= {"stroke": "#000", "stroke_width": whole(key.pen.value)}
        if key.dash is not Dash.SOLID:  # Python 3.11.2 loses an empty value
            given["stroke_dasharray"] = ",".join(str(whole(part)) for part in key.dash.value)
    return given


def element(drawing: Any, mark: Mark) -> Any:
    """Return the SVG element of a mark."""
    if isinstance(mark, Text):
        return text_element(drawing, mark)
    if isinstance(mark, Rect):
        left, top = whole(mark.box.left), whole(mark.box.top)
        size = (whole(mark.box.right) - left, whole(mark.box.bottom) - top)
        made = drawing.rect((left, top), size)
    elif isinstance(mark, Polygon):
        made = drawing.polygon([(whole(x), whole(y)) for x, y in mark.spots])
    elif isinstance(mark, Disc):
        made = drawing.circle((whole(mark.x), whole(mark.y)), whole(mark.radius))
    else:
        made = drawing.path("".join(chain_path(chain) for chain in mark.chains))
    if mark.about:
        made.set_desc(title=mark.about)
    return made


def chain_path(chain: Iterable[tuple[float, float]]) -> str:
    """Return a chain of spots as path commands, relative after the first."""
    spots = [(whole(x), whole(y)) for x, y in chain]
    parts = [f"M{spots[0][0]} {spots[0][1]}"]
    for (x, y), (u, v) in pairwise(spots):
        parts.append(f"l{u - x} {v - y}")
    return "".join(parts)


def text_element(drawing: Any, mark: Text) -> Any:
    """Return a line of type, each run where it was measured to stand and as wide."""
    first, *rest = mark.line.runs
    x, y = spot(mark, first)
    size = whole(first.size)
    if rest:
        made = drawing.text("", font_size=size)
        for run in mark.line.runs:
            made.add(run_element(drawing, mark, run, first))
    else:
        made = drawing.text(first.text, (x, y), font_size=size, **held(first, mark.line))
    if mark.turned:
        made.rotate(-90, (whole(mark.x), whole(mark.y)))
    return made


def run_element(drawing: Any, mark: Text, run: Run, first: Run) -> Any:
    """Return one run of several, with what sets it off from the first."""
    x, y = spot(mark, run)
    more = held(run, mark.line)
    if run.text == SLASH:  # fonts differ most in it: set by its middle, as wide as it comes
        x += whole(width_of(SLASH, run.size, run.bold) / 2)
        more = {"text_anchor": "middle"}
    if run.size != first.size:
        more["font_size"] = whole(run.size)
    if run.bold != first.bold:
        more["font_weight"] = "bold" if run.bold else "normal"
    return drawing.tspan(run.text, x=[x], y=[y], **more)


def spot(mark: Text, run: Run) -> tuple[int, int]:
    """Return where a run starts, before any turning."""
    return whole(mark.x + run.x), whole(mark.y - run.rise)


def held(run: Run, line: Line) -> dict[str, Any]:
    """Return the attributes that hold a run to its measured width.

    A viewer that does not read the embedded font takes another, whose letters are wider or
    narrower; held, they neither run into each other nor out of their place.
    """
    if covered(run.text):
        room = width_of(run.text, run.size, run.bold)
    else:  # nobody knows how wide the characters are that another font must give
        following = [other.x for other in line.runs if other.x > run.x]
        room = min([*following, line.width]) - run.x
    return {"textLength": max(1, whole(room)), "lengthAdjust": "spacingAndGlyphs"}
