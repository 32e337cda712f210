"""The regions of a finished part that are sawn away later: arches and outlines, made to fit."""

from inventory.formatter import exact_text
from inventory.length import Length
from inventory.polygon import outline_fault
from inventory.readers.fields import Fields
from nester.blanks.cutaways import height_of
from nester.model import Arch, Cutaway, Outline

ACCEPTED = "{arch = {edge, start, span, rise}} or {outline = [[x, y], …]}"


def read_cutaways(fields: Fields, length: Length, width: Length) -> tuple[Cutaway, ...]:
    """Return the cutaways of a part ``length`` by ``width``; every fault is added as an issue."""
    found = []
    for entry in fields.tables("cutaway", "cutaway"):
        entry.known("arch", "outline")
        if entry.has("arch") == entry.has("outline"):
            entry.fault("wrong-type", None, "is not one arch or one outline", None, ACCEPTED)
            continue
        cutaway = (
            _arch(entry.table("arch"), length, width)
            if entry.has("arch")
            else _outline(entry, length, width)
        )
        if cutaway is not None and not entry.faulty:
            found.append(cutaway)
    if _meet([cutaway for cutaway in found if isinstance(cutaway, Arch)], width):
        message = "the arches on its two edges meet and cut the part in two"
        accepted = "arches that leave wood between them"
        fields.fault("outside-part", "cutaway", message, fields.values["cutaway"], accepted)
    return tuple(found)


def _meet(arches: list[Arch], width: Length) -> bool:
    """Whether two arches on opposite edges meet over the middle of one of them."""
    return any(
        one.rise + height_of(other, 2 * one.start + one.span - 2 * other.start - other.span)
        >= width
        for one in arches
        for other in arches
        if one.edge != other.edge
    )


def _arch(fields: Fields | None, length: Length, width: Length) -> Arch | None:
    if fields is None:
        return None
    fields.known("edge", "start", "span", "rise")
    edge = fields.word_or("edge", ("near", "far"), "near")
    if not fields.has("edge"):
        fields.fault("missing-key", "edge", "it is missing", None, '"near", "far"')
    arch = Arch(
        edge=edge,
        start=fields.length("start"),
        span=fields.length("span", size=True),
        rise=fields.length("rise", size=True),
    )
    if fields.faulty:
        return None
    if 2 * arch.rise > arch.span:
        message = "the arch rises by more than half its span, so it is no arc on one edge"
        fields.fault("arch-too-high", "rise", message, fields.values["rise"], "half the span")
    if arch.start + arch.span > length:
        message = "the arch runs past the end of the part"
        fields.fault(
            "outside-part", "span", message, fields.values["span"], _within(length, fields)
        )
    if arch.rise >= width:
        message = "the arch cuts the part in two"
        fields.fault("outside-part", "rise", message, fields.values["rise"], _within(width, fields))
    return arch


def _outline(fields: Fields, length: Length, width: Length) -> Outline | None:
    points = fields.points_or("outline", ())
    if fields.faulty:
        return None
    wrong = outline_fault(points)
    if wrong is not None:
        accepted = "at least 3 corners, in order round the region"
        fields.fault("bad-outline", "outline", wrong, fields.values["outline"], accepted)
        return None
    if any(x > length or y > width for x, y in points):
        message = "the outline reaches outside the part"
        accepted = "corners inside the finished size, x along its length, y across its width"
        fields.fault("outside-part", "outline", message, fields.values["outline"], accepted)
        return None
    return Outline(points)


def _within(size: Length, fields: Fields) -> str:
    return f"a size inside the part ({exact_text(size, fields.units)})"
