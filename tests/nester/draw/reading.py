"""Reads a drawing back: sizes on the root, shapes in mm by what they stand for, texts."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field

from nester.draw.page import Box
from nester.draw.type import width_of

NS = "{http://www.w3.org/2000/svg}"


@dataclass
class ReadText:
    """A line of type: its characters, its smallest and largest size [mm], and what it covers."""

    text: str
    role: str
    smallest: float
    largest: float
    box: Box
    turned: bool


@dataclass
class Drawing:
    """What was found, lengths in mm on the page."""

    width: float
    height: float
    view: tuple[int, int]
    title: str
    about: str
    rects: dict[str, list[tuple[Box, str]]] = field(default_factory=dict)
    polygons: dict[str, list[list[tuple[float, float]]]] = field(default_factory=dict)
    paths: dict[str, list[str]] = field(default_factory=dict)
    discs: dict[str, list[tuple[float, float, float]]] = field(default_factory=dict)
    texts: list[ReadText] = field(default_factory=list)
    styles: dict[str, dict[str, str]] = field(default_factory=dict)
    tags: set[str] = field(default_factory=set)

    def said(self, role: str) -> list[str]:
        """Return the texts of a role."""
        return [found.text for found in self.texts if found.role == role]


def millimetres(text: str | None) -> float:
    """Return a length such as "297mm"."""
    match = re.fullmatch(r"([\d.]+)mm", text or "")
    assert match, text
    return float(match[1])


def read(svg: str) -> Drawing:
    """Return what an SVG text shows; every element must be one that is known here."""
    root = ET.fromstring(svg.encode("utf-8"))
    assert root.tag == NS + "svg"
    _, _, across, down = map(int, root.attrib["viewBox"].replace(",", " ").split())
    found = Drawing(
        millimetres(root.get("width")),
        millimetres(root.get("height")),
        (across, down),
        root.findtext(NS + "title") or "",
        root.findtext(NS + "desc") or "",
    )
    for element in root.iter():
        found.tags.add(element.tag.removeprefix(NS))
    for body in root.findall(NS + "g"):
        for group in body.findall(NS + "g"):
            role = group.attrib["class"]
            found.styles[role] = dict(group.attrib)
            for element in group:
                keep(found, role, group, element)
    return found


def keep(found: Drawing, role: str, group: ET.Element, element: ET.Element) -> None:
    """Sort one element in."""
    tag = element.tag.removeprefix(NS)
    about = element.findtext(NS + "title") or ""
    if tag == "rect":
        x, y, w, h = (float(element.attrib[key]) / 100 for key in ("x", "y", "width", "height"))
        found.rects.setdefault(role, []).append((Box(x, y, x + w, y + h), about))
    elif tag == "polygon":
        numbers = [float(n) / 100 for n in re.findall(r"-?[\d.]+", element.attrib["points"])]
        spots = list(zip(numbers[::2], numbers[1::2], strict=True))
        found.polygons.setdefault(role, []).append(spots)
    elif tag == "path":
        found.paths.setdefault(role, []).append(element.attrib["d"])
    elif tag == "circle":
        x, y, r = (float(element.attrib[key]) / 100 for key in ("cx", "cy", "r"))
        found.discs.setdefault(role, []).append((x, y, r))
    else:
        assert tag == "text", tag
        found.texts.append(read_text(role, group, element))


def read_text(role: str, group: ET.Element, element: ET.Element) -> ReadText:
    """Return a line of type with the box that its runs cover."""
    size0 = float(element.attrib["font-size"]) / 100
    bold0 = group.get("font-weight") == "bold"
    runs = []
    for run in element.findall(NS + "tspan") or [element]:
        size = float(run.get("font-size", size0 * 100)) / 100
        weight = run.get("font-weight")
        bold = bold0 if weight is None else weight == "bold"
        x, y = (float(run.attrib[key]) / 100 for key in ("x", "y"))
        runs.append((run.text or "", x, y, size, bold))
    boxes = [
        Box(x, y - 0.72 * size, x + width_of(text.strip(), size, bold), y + drop(text) * size)
        for text, x, y, size, bold in runs
        if text.strip() and text.strip() != "⁄"
    ]
    whole = Box(
        min(b.left for b in boxes),
        min(b.top for b in boxes),
        max(b.right for b in boxes),
        max(b.bottom for b in boxes),
    )
    turn = element.get("transform")
    if turn is not None:
        found = re.fullmatch(r"rotate\(-90,(-?\d+),(-?\d+)\)", turn)
        assert found, turn
        u, v = float(found[1]) / 100, float(found[2]) / 100
        whole = Box(
            u + whole.top - v, v - (whole.right - u), u + whole.bottom - v, v - (whole.left - u)
        )
    sizes = [size for _, _, _, size, _ in runs]
    text = "".join(part for part, *_ in runs)
    return ReadText(
        text, role.removeprefix("text "), min(sizes), max(sizes), whole, turn is not None
    )


def drop(text: str) -> float:
    """Return how far characters reach under the baseline, over the size; figures do not."""
    return 0.02 if re.fullmatch(r"[\d\s.″′]+", text) else 0.2


def path_spots(path: str) -> list[tuple[float, float]]:
    """Return every spot of a path made of M and l commands [mm]."""
    spots: list[tuple[float, float]] = []
    x = y = 0.0
    for letter, a, b in re.findall(r"([Ml])(-?\d+) (-?\d+)", path):
        u, v = float(a) / 100, float(b) / 100
        x, y = (u, v) if letter == "M" else (x + u, y + v)
        spots.append((x, y))
    return spots


def overlapping(texts: list[ReadText]) -> list[tuple[str, str]]:
    """Return the pairs of texts whose boxes overlap by more than a hair."""
    pairs = []
    ordered = sorted(texts, key=lambda t: t.box.left)
    for i, first in enumerate(ordered):
        for second in ordered[i + 1 :]:
            if second.box.left >= first.box.right:
                break
            if first.box.grown(-0.02).overlaps(second.box.grown(-0.02)):
                pairs.append((first.text, second.text))
    return pairs
