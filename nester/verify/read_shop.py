"""The document's ``shop``: every value there, each of its type."""

from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.number import exact
from nester.verify.records import Shop

SAWS = ("crosscut", "rip", "rough_rip", "sheet", "resaw")
SURFACES = ("rough", "skip planed", "S2S", "S4S")
_LENGTHS = (
    "tape",
    "grid",
    "blank_extra_length",
    "blank_extra_width",
    "panel_off",
    "end_trim",
    "edge_trim",
    "sheet_trim",
    "flaw_margin",
    "split_margin",
    "metal_clear",
    "shortest_milled",
    "shortest_rip",
    "jointer_width",
    "planer_width",
    "rip_capacity",
    "resaw_height",
    "thick_spare",
)
_OTHERS = (
    "units",
    "kerf",
    "plane_off",
    "offcut_min",
    "sheet_offcut_min",
    "offcut_credit",
    "first_cut",
    "stages",
    "sheet_stages",
    "corner_penalty",
    "use_cutaways",
)


def read_shop(data: Any, faults: list[Fault]) -> Shop | None:
    """Return the shop, None where something of it cannot be read."""
    fields = Fields(data, "shop", faults, _LENGTHS + _OTHERS, ("climate",))
    lengths = {key: fields.length(key, size=key in {"tape", "grid"}) for key in _LENGTHS}
    kerf = _table(fields.raw("kerf"), "shop.kerf", SAWS, faults)
    plane_off = _table(fields.raw("plane_off"), "shop.plane_off", SURFACES, faults)
    board_min = fields.lengths("offcut_min", 2)
    sheet_min = fields.lengths("sheet_offcut_min", 2)
    fields.choice("units", ("in", "mm"))
    fields.flag("use_cutaways")
    shop = Shop(
        grid=lengths["grid"],
        kerf=kerf or {},
        blank_extra_length=lengths["blank_extra_length"],
        blank_extra_width=lengths["blank_extra_width"],
        plane_off=plane_off or {},
        panel_off=lengths["panel_off"],
        end_trim=lengths["end_trim"],
        edge_trim=lengths["edge_trim"],
        sheet_trim=lengths["sheet_trim"],
        flaw_margin=lengths["flaw_margin"],
        split_margin=lengths["split_margin"],
        metal_clear=lengths["metal_clear"],
        offcut_min=(board_min[0], board_min[1]),
        sheet_offcut_min=(sheet_min[0], sheet_min[1]),
        offcut_credit=fields.amount("offcut_credit", most=1),
        shortest_milled=lengths["shortest_milled"],
        shortest_rip=lengths["shortest_rip"],
        jointer_width=lengths["jointer_width"],
        resaw_height=lengths["resaw_height"],
        thick_spare=lengths["thick_spare"],
        first_cut=fields.choice("first_cut", ("crosscut", "rip", "either")),
        stages=_stages(fields, "stages"),
        sheet_stages=_stages(fields, "sheet_stages"),
        corner_penalty=fields.amount("corner_penalty") if fields.has("corner_penalty") else None,
    )
    return shop if fields.good and kerf is not None and plane_off is not None else None


def _stages(fields: Fields, key: str) -> int | None:
    """Return a limit of stages, None for any number."""
    if not fields.has(key):
        return None
    value = exact(fields.raw(key))
    if value is None or value.denominator != 1 or value < 1:
        message = f'"{key}" must be a whole number of at least 1, or null for any'
        fields.fault("wrong-value", message, shown(fields.raw(key)))
        return None
    return int(value)


def _table(
    data: Any, place: str, keys: tuple[str, ...], faults: list[Fault]
) -> dict[str, int] | None:
    """Return a table of lengths, None where it cannot be read."""
    fields = Fields(data, place, faults, keys)
    table = {key: fields.length(key) for key in keys}
    return table if fields.good else None
