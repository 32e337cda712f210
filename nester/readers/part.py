"""One ``[[part]]`` table, or one row of a part list."""

from inventory.formatter import exact_text
from inventory.length import Length
from inventory.parse import shown
from inventory.readers.fields import Fields
from inventory.stock import FlawKind, Sawn
from nester.model import Edging, GlueUp, Grain, Held, Laminate, Part, Quality, System
from nester.readers.cutaways import read_cutaways
from nester.shop_defaults import MAX_STRIPS, PER_STRIP

LONGEST_PART_NAME = 200
"""The most characters in the name of a part."""

MOST_BLANKS = 20_000
"""The most blanks in a project, and so of one part."""

MOST_PLIES = 20
MOST_STRIPS = 50
EDGES = ("near", "far", "start", "end")

PART_KEYS = (
    "name",
    "count",
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
    "spare",
    "pulled_flat",
    "held",
    "glue_up",
    "laminate",
    "edging",
    "resaw",
    "cutaway",
    "note",
)
NEEDED_KEYS = ("name", "length", "width", "thickness", "material")


def read_part(fields: Fields, system: System) -> Part | None:
    """Return the part in ``fields``; None where it is faulty, every fault added as an issue."""
    name = fields.name("name", most=LONGEST_PART_NAME)
    fields.subject = name or None
    length = fields.length("length", size=True)
    width = fields.length("width", size=True)
    part = Part(
        name=name,
        length=length,
        width=width,
        thickness=fields.length("thickness", size=True, thickness=True),
        materials=_materials(fields),
        count=fields.whole_or("count", 1, most=MOST_BLANKS),
        spare=fields.whole_or("spare", 0, least=0, most=MOST_BLANKS),
        grain=fields.choice_or("grain", Grain, Grain.LENGTH),
        quality=fields.choice_or("quality", Quality, Quality.CLEAR_FACE),
        allow=_allowed(fields),
        from_stock=fields.names_or("from", ()),
        not_from=_not_from(fields),
        sawn=fields.choice_or("sawn", Sawn, None),
        extra_length=fields.length_or("extra_length", 0),
        extra_width=fields.length_or("extra_width", 0),
        blank_extra_length=fields.length_or("blank_extra_length", None),
        blank_extra_width=fields.length_or("blank_extra_width", None),
        plane_off=fields.length_or("plane_off", None),
        pulled_flat=fields.flag_or("pulled_flat", False),
        held=fields.choice_or("held", Held, Held.FREE),
        glue_up=_glue_up(fields, system),
        laminate=_laminate(fields.table("laminate")),
        edging=_edging(fields.table("edging"), length, width),
        resaw=fields.flag_or("resaw", False),
        cutaways=read_cutaways(fields, length, width),
        note=fields.text_or("note", ""),
        thickness_as_written=shown(fields.values.get("thickness", "")),
        source=fields.source(),
    )
    if fields.faulty:
        return None
    _caution_of_strips(fields, part)
    return part


def _materials(fields: Fields) -> tuple[str, ...]:
    accepted = "a species or sheet material, or a list of them"
    if not fields.has("material"):
        if "material" not in fields.reported:
            fields.fault("missing-key", "material", "it is missing", None, accepted)
        return ()
    materials = fields.names_or("material", None)
    if materials is None:
        return ()
    if not materials:
        fields.fault("empty", "material", "it is empty", fields.values["material"], accepted)
    return tuple(" ".join(material.split()) for material in materials)


def _allowed(fields: Fields) -> frozenset[FlawKind]:
    kinds = frozenset(fields.choices_or("allow", FlawKind, ()))
    for kind in (FlawKind.METAL, FlawKind.VOID):
        if kind in kinds:
            message = "no part is laid on metal or where there is no wood, whatever it allows"
            fields.caution("never-allowed", "allow", message, kind.value)
    return kinds


def _not_from(fields: Fields) -> tuple[str, ...]:
    ids = fields.names_or("not_from", ())
    for both in sorted(set(ids) & set(fields.names_or("from", ()))):
        message = "the same stock is asked for and ruled out"
        fields.fault("from-and-not-from", "not_from", message, both, "each id in one list only")
    return ids


def _glue_up(part: Fields, system: System) -> GlueUp | None:
    fields = part.table("glue_up")
    if fields is None:
        return None
    fields.known("strips", "per_strip", "max_strips")
    narrowest, widest = fields.lengths("strips", 2, 2, size=True)
    if narrowest > widest:
        message = "the narrowest strip is wider than the widest"
        fields.fault("strips-order", "strips", message, fields.values["strips"], "[least, most]")
    glue_up = GlueUp(
        narrowest=narrowest,
        widest=widest,
        per_strip=fields.length_or("per_strip", PER_STRIP[system]),
        max_strips=fields.whole_or("max_strips", MAX_STRIPS, least=2, most=MOST_STRIPS),
    )
    if not fields.faulty and glue_up.per_strip >= narrowest:
        message = "it leaves nothing of the narrowest strip"
        accepted = f"less than {exact_text(narrowest, fields.units)}"
        found = fields.values.get("per_strip", exact_text(glue_up.per_strip, fields.units))
        fields.fault("strip-lost", "per_strip", message, found, accepted)
    return glue_up


def _caution_of_strips(fields: Fields, part: Part) -> None:
    """Tell where even the widest and most strips make no panel as wide as the part."""
    if part.glue_up is None:
        return
    glue_up, across = part.glue_up, part.width + part.extra_width
    if part.grain is Grain.WIDTH:
        across = part.length + part.extra_length
    most = glue_up.max_strips * (glue_up.widest - glue_up.per_strip)
    if most < across:
        sizes = [exact_text(size, fields.units) for size in (most, across)]
        message = (
            f"{glue_up.max_strips} strips come to {sizes[0]} wide at most, and {sizes[1]} is needed"
        )
        accepted = "more or wider strips"
        fields.caution("strips-too-few", "glue_up", message, fields.values["glue_up"], accepted)


def _laminate(fields: Fields | None) -> Laminate | None:
    if fields is None:
        return None
    fields.known("plies", "per_face")
    plies = fields.whole_or("plies", None, least=2, most=MOST_PLIES)
    if not fields.has("plies"):
        accepted = f"a whole number from 2 to {MOST_PLIES}"
        fields.fault("missing-key", "plies", "it is missing", None, accepted)
    return Laminate(plies=plies or 2, per_face=fields.length("per_face"))


def _edging(fields: Fields | None, length: Length, width: Length) -> Edging | None:
    if fields is None:
        return None
    fields.known("thickness", "edges", "over")
    edging = Edging(
        thickness=fields.length("thickness", size=True),
        edges=_edges(fields),
        over=fields.length_or("over", 0),
    )
    if length and width and not fields.faulty:
        across = sum(edge in edging.edges for edge in ("near", "far")) * edging.thickness
        along = sum(edge in edging.edges for edge in ("start", "end")) * edging.thickness
        if across >= width or along >= length:
            message = "the lipping leaves nothing of the panel"
            accepted = "a lipping thinner than the part"
            found = fields.values["thickness"]
            fields.fault("edging-too-thick", "thickness", message, found, accepted)
    return edging


def _edges(fields: Fields) -> tuple[str, ...]:
    accepted = "a list of " + ", ".join(f'"{edge}"' for edge in EDGES)
    if not fields.has("edges"):
        fields.fault("missing-key", "edges", "it is missing", None, accepted)
        return ()
    edges = fields.names_or("edges", None)
    if edges is None:
        return ()
    for edge in edges:
        if edge not in EDGES:
            fields.fault("unknown-choice", "edges", "not an edge", edge, accepted)
    if not edges or len(set(edges)) < len(edges):
        found = fields.values["edges"]
        fields.fault("bad-edges", "edges", "not one or more different edges", found, accepted)
    return edges
