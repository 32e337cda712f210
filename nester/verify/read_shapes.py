"""What a part may be made of and what is sawn off it later: ``glue_up`` and ``cutaway``."""

from collections.abc import Mapping
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.records import Arch, Cutaway, GlueUp, Outline


def read_glue_up(part: Fields, faults: list[Fault]) -> GlueUp | None:
    """Return how a part may be glued up, None where it may not."""
    if not part.has("glue_up"):
        return None
    keys = ("strips", "per_strip", "max_strips")
    fields = Fields(part.raw("glue_up"), f"{part.place}, glue_up", faults, keys)
    narrowest, widest = fields.lengths("strips", 2)
    if fields.good and narrowest > widest:
        fields.fault("wrong-value", '"strips" must be the narrower width, then the wider')
    glue_up = GlueUp(
        narrowest, widest, fields.length("per_strip"), fields.whole("max_strips", least=1)
    )
    part.good = part.good and fields.good
    return glue_up if fields.good else None


def read_cutaways(
    part: Fields, length: int, width: int, faults: list[Fault]
) -> tuple[Cutaway, ...]:
    """Return the cutaways of a part of this finished size."""
    found = []
    for number, entry in enumerate(part.items("cutaway"), 1):
        place = f"{part.place}, cutaway {number}"
        cutaway = _cutaway(entry, place, length, width, faults)
        if cutaway is None:
            part.good = False
        else:
            found.append(cutaway)
    return tuple(found)


def _cutaway(data: Any, place: str, length: int, width: int, faults: list[Fault]) -> Cutaway | None:
    """Return an arch or an outline."""
    if isinstance(data, Mapping) and "arch" in data:
        whole = Fields(data, place, faults, ("arch",))
        arch = _arch(data["arch"], place, length, width, faults)
        return arch if whole.good else None
    fields = Fields(data, place, faults, ("outline",))
    points = tuple(_point(fields, point) for point in fields.items("outline"))
    if fields.good and len(points) < 3:
        fields.fault("wrong-value", "an outline must have three corners or more", str(len(points)))
    if fields.good and any(x > length or y > width for x, y in points):
        fields.fault("wrong-value", "the outline reaches outside the part")
    return Outline(points) if fields.good else None


def _arch(data: Any, place: str, length: int, width: int, faults: list[Fault]) -> Arch | None:
    """Return an arch: at most a half circle, inside the part, and not right across it."""
    fields = Fields(data, place, faults, ("edge", "start", "span", "rise"))
    arch = Arch(
        edge=fields.choice("edge", ("near", "far")),
        start=fields.length("start"),
        span=fields.length("span", size=True),
        rise=fields.length("rise", size=True),
    )
    if not fields.good:
        return None
    if 2 * arch.rise > arch.span:
        fields.fault("wrong-value", "the arch rises by more than half its span")
    if arch.start + arch.span > length or arch.rise >= width:
        fields.fault("wrong-value", "the arch does not lie within the part")
    return arch if fields.good else None


def _point(fields: Fields, data: object) -> tuple[int, int]:
    """Return a corner of an outline."""
    if not isinstance(data, (list, tuple)) or len(data) != 2:
        fields.fault("wrong-type", "a corner must be a pair of lengths", shown(data))
        return (0, 0)
    return fields.measure(data[0], "a corner"), fields.measure(data[1], "a corner")
