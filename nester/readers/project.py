"""Project files: TOML, or part lists as CSV and XLSX.

``read_project`` gives the project or every fault of its file at once. ``read_with_faults`` also
gives what is good of a faulty file, so that a report can go on to what only shows beside the stock.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from inventory.issue import Issue, Severity, Source
from inventory.parse import UNITS, shown
from inventory.readers.fields import Fields, check_columns, only
from inventory.readers.tables import Table, load_tables
from inventory.readers.text import load_bytes
from inventory.readers.toml import TomlDocument, load_toml
from nester.model import Match, Part, Project, Shop, System
from nester.readers.match import check_parts, read_match
from nester.readers.part import MOST_BLANKS, NEEDED_KEYS, PART_KEYS, read_part
from nester.readers.shop import Profile, read_profile, shop_over, units_of
from nester.shop_defaults import default_shop

TOP_KEYS = ("project", "shop", "part", "match", "climate")
PROJECT_KEYS = ("name", "units")
UNITS_COLUMN = "units"
ENDINGS = (".toml", ".csv", ".xlsx")

_TEXT_TABLES = (".csv", ".tsv", ".txt")
_WORKBOOKS = (".xlsx", ".xlsm")


@dataclass(slots=True)
class Reading:
    """What was read of a project file.

    ``project`` holds the good parts and matches; it is None where the file cannot be read at all.
    ``places`` gives the line of a key of a part: ``places["shelf", "from"]``.
    """

    project: Project | None
    issues: list[Issue] = field(default_factory=list)
    places: dict[tuple[str, str], Source] = field(default_factory=dict)

    @property
    def faulty(self) -> bool:
        """Whether any issue forbids going on."""
        return any(issue.severity is Severity.ERROR for issue in self.issues)


def read_project(
    path: Path, shop_profile: Path | None = None
) -> tuple[Project | None, list[Issue]]:
    """Return the project in ``path`` and its cautions; None and all issues where it has faults.

    Parameters
    ----------
    path
        A TOML project, or a part list as CSV or XLSX; the ending tells.
    shop_profile
        The maker's own ``[shop]``, below the project's and above the defaults.
    """
    reading = read_with_faults(path, shop_profile)
    return (None if reading.faulty else reading.project), reading.issues


def read_with_faults(path: Path, shop_profile: Path | None = None) -> Reading:
    """Return all that is good in a project file, with every fault of it."""
    path = Path(path)
    reading = Reading(None)
    profile = read_profile(shop_profile, reading.issues) if shop_profile is not None else None
    ending = path.suffix.lower()
    if ending == ".toml":
        document, issues = load_toml(path)
        reading.issues += issues
        if document is not None:
            _from_toml(document, path, profile, reading)
    elif ending in _TEXT_TABLES + _WORKBOOKS:
        tables, issues = load_tables(path)
        reading.issues += issues
        if "" in tables:
            _from_table(tables[""], path, profile, reading)
    else:
        reading.issues.append(_unknown_ending(path))
    return reading


def _unknown_ending(path: Path) -> Issue:
    content = load_bytes(path)
    if isinstance(content, Issue):
        return content
    accepted = "a project or part list ending in " + ", ".join(ENDINGS)
    message = "the ending of the file's name does not tell its format"
    return Issue("unknown-format", message, path.name, accepted, source=Source(str(path)))


def _from_toml(
    document: TomlDocument, path: Path, profile: Profile | None, reading: Reading
) -> None:
    issues = reading.issues
    top = Fields.of_toml(document, (), issues, units="in", round_up=True)
    top.known(*TOP_KEYS)
    head = top.table("project")
    name, system = path.stem, System.INCH
    if head is not None:
        head.label = ""
        head.known(*PROJECT_KEYS)
        system = head.choice_or("units", System, System.INCH)
        name = head.name("name", most=200) if head.has("name") else path.stem
    top.units = units_of(system)
    shop = _shop(system, profile, top.table("shop"))
    _climate(top)
    listed = [fields for _, fields in _tables(document, "part", top)]
    if document.data.get("part") in (None, []):
        accepted = "one [[part]] or more"
        issues.append(
            Issue(
                "no-parts", "there is no part in it", None, accepted, source=Source(document.file)
            )
        )
    for fields in listed:
        fields.known(*PART_KEYS)
    parts, names = _parts(listed, system, reading)
    matches = _matches([fields for _, fields in _tables(document, "match", top)], system)
    check_parts(matches, parts, names)
    good = tuple(match for match, _ in matches)
    source = Source(document.file)
    reading.project = Project(name, system, shop, parts, good, document.sha256, source=source)


def _from_table(table: Table, path: Path, profile: Profile | None, reading: Reading) -> None:
    known = (*PART_KEYS, UNITS_COLUMN)
    missing, issues = check_columns(table, known, NEEDED_KEYS)
    reading.issues += issues
    system = _system_of(table, reading.issues)
    listed = []
    for row in table.rows:
        fields = Fields.of_row(
            only(row, PART_KEYS),
            reading.issues,
            units=units_of(system),
            round_up=True,
            decimal_comma=table.decimal_comma,
            reported=missing,
        )
        listed.append(fields)
    source = Source(str(path))
    if not listed:
        accepted = "a row for each part, under the column names"
        message = "there is no part in it"
        reading.issues.append(Issue("no-parts", message, None, accepted, source=source))
    parts, _ = _parts(listed, system, reading)
    content = load_bytes(path)
    digest = hashlib.sha256(content).hexdigest() if isinstance(content, bytes) else ""
    shop = _shop(system, profile, None)
    reading.project = Project(path.stem, system, shop, parts, (), digest, source=source)


def _system_of(table: Table, issues: list[Issue]) -> System:
    """Return the units of a part list: those of the column ``units``, the same in all rows."""
    found: System | None = None
    for row in table.rows:
        if UNITS_COLUMN not in row.values:
            continue
        text = shown(row.values[UNITS_COLUMN])
        place = row.source(UNITS_COLUMN)
        if text.lower() not in UNITS:
            accepted = ", ".join(f'"{units}"' for units in UNITS)
            issues.append(Issue("unknown-unit", "unknown unit", text, accepted, source=place))
        elif found is None:
            found = System(text.lower())
        elif found is not System(text.lower()):
            message = "the rows of a part list are all in one system"
            accepted = f'"{found.value}", as above; a length may have its own unit: "594 mm"'
            issues.append(Issue("mixed-units", message, text, accepted, source=place))
    return found or System.INCH


def _shop(system: System, profile: Profile | None, own: Fields | None) -> Shop:
    shop = default_shop(system)
    if profile is not None:
        shop = shop_over(shop, profile.fields)
    return shop_over(shop, own)


def _climate(top: Fields) -> None:
    if top.table("climate") is not None:
        message = "the movement check is not planned yet"
        top.fault("not-planned-yet", "climate", message, None, "a project without [climate]")


def _tables(document: TomlDocument, key: str, top: Fields) -> Iterator[tuple[int, Fields]]:
    """Yield the tables of ``[[key]]``, each with its own place."""
    value: Any = document.data.get(key)
    if value is None:
        return
    if not isinstance(value, list):
        top.fault("wrong-type", key, "not a list of tables", value, f"[[{key}]]")
        return
    for number, entry in enumerate(value):
        if isinstance(entry, dict):
            yield (
                number,
                Fields.of_toml(document, (key, number), top.issues, units=top.units, round_up=True),
            )
        else:
            top.fault("wrong-type", key, "not a list of tables", entry, f"[[{key}]]")


def _parts(
    listed: list[Fields], system: System, reading: Reading
) -> tuple[tuple[Part, ...], list[str]]:
    """Return the good parts, and the names of all."""
    parts: list[Part] = []
    first: dict[str, Source] = {}
    names = []
    copies = 0
    for fields in listed:
        part = read_part(fields, system)
        name = fields.subject
        if name is not None:
            names.append(name)
            if name in first:
                accepted = f"a name of its own; the first one is at {first[name]}"
                fields.fault("duplicate-name", "name", "two parts have this name", name, accepted)
                continue
            first[name] = fields.source("name")
        if part is None:
            continue
        parts.append(part)
        for key in fields.values:
            reading.places[part.name, key] = fields.source(key)
        copies += part.copies
        if copies - part.copies <= MOST_BLANKS < copies:
            message = "up to here the project asks for more blanks than can be planned"
            accepted = f"a limit of {MOST_BLANKS:,} in one project, spares included"
            fields.fault("too-many-blanks", "count", message, f"{copies:,}", accepted)
    return tuple(parts), names


def _matches(listed: list[Fields], system: System) -> list[tuple[Match, Fields]]:
    matches: list[tuple[Match, Fields]] = []
    first: dict[str, Source] = {}
    for fields in listed:
        match = read_match(fields, system)
        name = fields.subject
        if name is not None and name in first:
            accepted = f"a name of its own; the first one is at {first[name]}"
            fields.fault("duplicate-name", "name", "two matches have this name", name, accepted)
            continue
        if name is not None:
            first[name] = fields.source("name")
        if match is not None:
            matches.append((match, fields))
    return matches
