"""The document's ``parts``: every part, complete."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.later import later
from nester.verify.read_shapes import read_cutaways, read_glue_up
from nester.verify.read_stock import FLAW_KINDS, SAWN
from nester.verify.records import Part

_NEEDED = (
    "name",
    "count",
    "spare",
    "length",
    "width",
    "thickness",
    "material",
    "grain",
    "quality",
    "allow",
    "from",
    "not_from",
    "sawn",
    "extra_length",
    "extra_width",
    "blank_extra_length",
    "blank_extra_width",
    "plane_off",
    "pulled_flat",
    "held",
    "glue_up",
    "laminate",
    "edging",
    "resaw",
    "cutaway",
    "note",
)
_LATER = ("laminate", "edging")


def read_parts(data: Sequence[Any], faults: list[Fault]) -> dict[str, Part] | None:
    """Return the parts by name, None where something of them cannot be read."""
    found: dict[str, Part] = {}
    good = True
    for number, entry in enumerate(data, 1):
        part = _part(entry, number, faults)
        if part is None:
            good = False
        elif part.name in found:
            faults.append(Fault("duplicate-name", "two parts have this name", "parts", part.name))
            good = False
        else:
            found[part.name] = part
    return found if good else None


def _part(entry: Any, number: int, faults: list[Fault]) -> Part | None:
    """Return one part."""
    table = entry if isinstance(entry, Mapping) else {}
    name = table.get("name")
    place = f"part {name}" if isinstance(name, str) and name else f"part number {number}"
    fields = Fields(entry, place, faults, _NEEDED)
    fields.choice("held", ("free", "one edge", "middle", "all round"))
    if fields.has("note"):
        fields.text("note")
    allow = fields.texts("allow")
    for kind in allow:
        if kind not in FLAW_KINDS:
            fields.fault("wrong-value", '"allow" must hold kinds of flaw', kind)
    part = Part(
        name=fields.text("name", needed=True),
        count=fields.whole("count", 0),
        spare=fields.whole("spare", 0),
        length=fields.length("length", size=True),
        width=fields.length("width", size=True),
        thickness=fields.length("thickness", size=True),
        materials=fields.texts("material"),
        grain=fields.choice("grain", ("length", "width", "any")),
        quality=fields.choice("quality", ("clear", "clear face", "sound", "hidden")),
        allow=frozenset(allow),
        only_from=fields.texts("from"),
        not_from=fields.texts("not_from"),
        sawn=fields.choice("sawn", SAWN, null=True),
        extra_length=fields.length("extra_length"),
        extra_width=fields.length("extra_width"),
        blank_extra_length=fields.maybe_length("blank_extra_length"),
        blank_extra_width=fields.maybe_length("blank_extra_width"),
        plane_off=fields.maybe_length("plane_off"),
        pulled_flat=fields.flag("pulled_flat"),
        glue_up=read_glue_up(fields, faults),
        cutaways=(),
    )
    part = replace(part, cutaways=read_cutaways(fields, part.length, part.width, faults))
    for key in _LATER:
        value = fields.raw(key)
        if isinstance(value, Mapping):
            faults.append(later(f'"{key}" of a part', place, shown(value)))
        elif value is not None:
            fields.fault("wrong-type", f'"{key}" must be an object or null', shown(value))
    if fields.flag("resaw"):
        faults.append(later('"resaw" of a part', place, "true"))
    return part if fields.good else None
