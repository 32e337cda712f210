"""A project written as TOML, so that the reader gives the same project back."""

from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from inventory.formatter import exact_number, exact_text
from inventory.parse import Units
from nester.model import Arch, Cutaway, Edging, GlueUp, How, Laminate, Match, Part, Project, Shop
from nester.readers.part import PART_KEYS
from nester.readers.shop import KERF_KEYS, PLANE_OFF_KEYS, SHOP_KEYS, units_of
from nester.shop_defaults import WRAP_TRIM, default_shop

if TYPE_CHECKING:
    from tomlkit.items import Table

_FIELDS = {
    "material": "materials",
    "from": "from_stock",
    "cutaway": "cutaways",
    "skip planed": "skip_planed",
    "S2S": "s2s",
    "S4S": "s4s",
}
"""The keys of a file whose value stands under another name in the records."""

_COUNTS = ("count", "spare", "stages", "sheet_stages", "plies", "max_strips")
_NONE_WORDS = {"stages": "any", "sheet_stages": "any", "corner_penalty": "none"}


def project_toml(project: Project) -> str:
    """Return ``project`` as the text of a project file.

    Values that are the default are left out. What is not part of a project file, such as the digest
    of the file it came from, is not written.
    """
    import tomlkit

    units = units_of(project.units)
    document = tomlkit.document()
    head = tomlkit.table()
    head["name"] = project.name
    head["units"] = units
    document["project"] = head
    shop = _shop(project.shop, units)
    if shop:
        shop.trivia.indent = "\n"  # an empty line above
        document["shop"] = shop
    for key, tables in (
        ("part", [_part(part, units) for part in project.parts]),
        ("match", [_match(match, project, units) for match in project.matches]),
    ):
        if tables:
            document[key] = tomlkit.aot()
            for table in tables:
                table.trivia.indent = "\n"
                document[key].append(table)
    return tomlkit.dumps(document)


def _shop(shop: Shop, units: Units) -> "Table":
    import tomlkit

    usual = default_shop(shop.system)
    table = tomlkit.table()
    for key in SHOP_KEYS:
        value, default = getattr(shop, key), getattr(usual, key)
        if value == default:
            continue
        if key in ("kerf", "plane_off"):
            keys = KERF_KEYS if key == "kerf" else PLANE_OFF_KEYS
            table[key] = _inline(
                {
                    name: exact_text(getattr(value, _FIELDS.get(name, name)), units)
                    for name in keys
                    if getattr(value, _FIELDS.get(name, name))
                    != getattr(default, _FIELDS.get(name, name))
                }
            )
        else:
            table[key] = _NONE_WORDS[key] if value is None else _value(key, value, units)
    return table


def _part(part: Part, units: Units) -> "Table":
    import tomlkit

    fields = Part.__dataclass_fields__
    table = tomlkit.table()
    for key in PART_KEYS:
        name = _FIELDS.get(key, key)
        value = getattr(part, name)
        if value == fields[name].default:
            continue
        if isinstance(value, GlueUp):
            value = _glue_up(value, units)
        elif isinstance(value, Laminate | Edging):
            value = _inline({k: _value(k, getattr(value, k), units) for k in value.__slots__})
        elif key == "cutaway":
            value = [_cutaway(cutaway, units) for cutaway in value]
        elif key == "material":
            value = value[0] if len(value) == 1 else list(value)
        else:
            value = _value(key, value, units)
        table[key] = value
    return table


def _glue_up(glue: GlueUp, units: Units) -> Any:
    strips = [exact_text(glue.narrowest, units), exact_text(glue.widest, units)]
    per_strip = exact_text(glue.per_strip, units)
    return _inline({"strips": strips, "per_strip": per_strip, "max_strips": glue.max_strips})


def _cutaway(cutaway: Cutaway, units: Units) -> Any:
    if isinstance(cutaway, Arch):
        arch = {key: _value(key, getattr(cutaway, key), units) for key in cutaway.__slots__}
        return _inline({"arch": _inline(arch)})
    return _inline(
        {"outline": [[exact_text(x, units), exact_text(y, units)] for x, y in cutaway.points]}
    )


def _match(match: Match, project: Project, units: Units) -> "Table":
    import tomlkit

    usual = WRAP_TRIM[project.units] if match.how is How.WRAP else 0
    table = tomlkit.table()
    table["name"] = match.name
    table["how"] = match.how.value
    table["parts"] = list(match.parts)
    if match.how is How.WRAP or match.miter != 45:
        table["miter"] = _number(match.miter)
    if match.joint_trim != usual:
        table["joint_trim"] = exact_text(match.joint_trim, units)
    if match.required:
        table["required"] = True
    if match.sets != 1:
        table["sets"] = match.sets
    return table


def _value(key: str, value: Any, units: Units) -> Any:
    """Return one value as it stands in a file; whole numbers are lengths but for a few keys."""
    if isinstance(value, bool | str):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction):
        return _number(value)
    if isinstance(value, int):
        return value if key in _COUNTS else exact_text(value, units)
    if isinstance(value, frozenset):
        return sorted(member.value for member in value)
    return [_value(key, member, units) for member in value]


def _number(value: Fraction) -> Any:
    """Return a number as a TOML decimal, or as a text such as "100/3" where none is exact."""
    import tomlkit

    text = exact_number(value)
    return text if "/" in text else tomlkit.value(text)


def _inline(entries: dict[str, Any]) -> Any:
    import tomlkit

    table = tomlkit.inline_table()
    table.update(entries)
    return table
