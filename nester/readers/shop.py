"""The ``[shop]`` table, from the project or from the maker's own shop profile.

What a table does not say is taken from the layer below it: the project's ``[shop]`` lies over the
profile's, that over the defaults of ``nester.shop_defaults``, key by key, inside ``kerf`` and
``plane_off`` too.
"""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from inventory.issue import Issue
from inventory.length import MM, Length
from inventory.parse import Units
from inventory.readers.fields import Fields
from inventory.readers.toml import load_toml
from nester.model import FirstCut, Kerfs, PlaneOff, Shop, System

FINEST_GRID: Length = MM // 5
"""A finer grid than this (0.2 mm) means nothing at a saw and more work than a machine can do."""

MOST_STAGES = 20
MOST_PENALTY = 1_000_000

SHOP_KEYS = (
    "tape",
    "grid",
    "kerf",
    "blank_extra_length",
    "blank_extra_width",
    "plane_off",
    "panel_off",
    "end_trim",
    "edge_trim",
    "sheet_trim",
    "flaw_margin",
    "split_margin",
    "metal_clear",
    "offcut_min",
    "sheet_offcut_min",
    "offcut_credit",
    "shortest_milled",
    "shortest_rip",
    "jointer_width",
    "planer_width",
    "rip_capacity",
    "resaw_height",
    "thick_spare",
    "first_cut",
    "stages",
    "sheet_stages",
    "corner_penalty",
    "use_cutaways",
)
KERF_KEYS = ("crosscut", "rip", "rough_rip", "sheet", "resaw")
PLANE_OFF_KEYS = ("rough", "skip planed", "S2S", "S4S")
PROFILE_KEYS = ("units", "shop")


@dataclass(frozen=True, slots=True)
class Profile:
    """A shop profile: its ``[shop]`` table, in its own units; None where there is none in it."""

    fields: Fields | None


def read_profile(path: Path, issues: list[Issue]) -> Profile | None:
    """Return the shop profile in ``path``; None, with the reason added, where it cannot be had.

    A profile is a TOML file with a key ``units`` ("in" by default) and a table ``[shop]``.
    """
    document, faults = load_toml(path)
    issues.extend(faults)
    if document is None:
        return None
    top = Fields.of_toml(document, (), issues, units="in", round_up=True)
    top.known(*PROFILE_KEYS)
    top.units = units_of(top.choice_or("units", System, System.INCH))
    return Profile(top.table("shop"))


def units_of(system: System) -> Units:
    """Return the name of a system's units, as lengths are read and printed in them."""
    return "in" if system is System.INCH else "mm"


def shop_over(below: Shop, fields: Fields | None) -> Shop:
    """Return the shop ``below`` with every key that ``fields`` gives put over it."""
    if fields is None:
        return below
    fields.label = ""
    fields.known(*SHOP_KEYS)
    return Shop(
        system=below.system,
        tape=fields.length_or("tape", below.tape, size=True),
        grid=_grid(fields, below.grid),
        kerf=_kerfs(fields.table("kerf"), below.kerf),
        blank_extra_length=fields.length_or("blank_extra_length", below.blank_extra_length),
        blank_extra_width=fields.length_or("blank_extra_width", below.blank_extra_width),
        plane_off=_plane_off(fields.table("plane_off"), below.plane_off),
        panel_off=fields.length_or("panel_off", below.panel_off),
        end_trim=fields.length_or("end_trim", below.end_trim),
        edge_trim=fields.length_or("edge_trim", below.edge_trim),
        sheet_trim=fields.length_or("sheet_trim", below.sheet_trim),
        flaw_margin=fields.length_or("flaw_margin", below.flaw_margin),
        split_margin=fields.length_or("split_margin", below.split_margin),
        metal_clear=fields.length_or("metal_clear", below.metal_clear),
        offcut_min=_pair(fields, "offcut_min", below.offcut_min),
        sheet_offcut_min=_pair(fields, "sheet_offcut_min", below.sheet_offcut_min),
        offcut_credit=fields.number_or("offcut_credit", below.offcut_credit, most=1),
        shortest_milled=fields.length_or("shortest_milled", below.shortest_milled),
        shortest_rip=fields.length_or("shortest_rip", below.shortest_rip),
        jointer_width=fields.length_or("jointer_width", below.jointer_width),
        planer_width=fields.length_or("planer_width", below.planer_width),
        rip_capacity=fields.length_or("rip_capacity", below.rip_capacity),
        resaw_height=fields.length_or("resaw_height", below.resaw_height),
        thick_spare=fields.length_or("thick_spare", below.thick_spare),
        first_cut=fields.choice_or("first_cut", FirstCut, below.first_cut),
        stages=_stages(fields, "stages", below.stages),
        sheet_stages=_stages(fields, "sheet_stages", below.sheet_stages),
        corner_penalty=_penalty(fields, below.corner_penalty),
        use_cutaways=fields.flag_or("use_cutaways", below.use_cutaways),
    )


def _grid(fields: Fields, below: Length) -> Length:
    grid = fields.length_or("grid", below, size=True)
    if grid < FINEST_GRID and not fields.faulty:
        accepted = "0.2 mm or more; 1/64 in is fine"
        fields.fault("too-fine", "grid", "too fine to plan on", fields.values["grid"], accepted)
        return below
    return max(grid, 1)


def _kerfs(fields: Fields | None, below: Kerfs) -> Kerfs:
    if fields is None:
        return below
    fields.known(*KERF_KEYS)
    return Kerfs(**{key: fields.length_or(key, getattr(below, key)) for key in KERF_KEYS})


def _plane_off(fields: Fields | None, below: PlaneOff) -> PlaneOff:
    if fields is None:
        return below
    fields.known(*PLANE_OFF_KEYS)
    return PlaneOff(
        rough=fields.length_or("rough", below.rough),
        skip_planed=fields.length_or("skip planed", below.skip_planed),
        s2s=fields.length_or("S2S", below.s2s),
        s4s=fields.length_or("S4S", below.s4s),
    )


def _pair(fields: Fields, key: str, below: tuple[Length, Length]) -> tuple[Length, Length]:
    if not fields.has(key):
        return below
    length, width = fields.lengths(key, 2, 2)
    return length, width


def _stages(fields: Fields, key: str, below: int | None) -> int | None:
    if not fields.has(key):
        return below
    value = fields.values[key]
    if isinstance(value, str) and value.strip().lower() == "any":
        return None
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_STAGES:
        accepted = f'a whole number from 1 to {MOST_STAGES}, or "any"'
        fields.fault("out-of-range", key, "not a number of stages", value, accepted)
        return below
    return value


def _penalty(fields: Fields, below: Fraction | None) -> Fraction | None:
    value = fields.values.get("corner_penalty")
    if isinstance(value, str) and value.strip().lower() == "none":
        return None
    return fields.number_or("corner_penalty", below, most=MOST_PENALTY)
