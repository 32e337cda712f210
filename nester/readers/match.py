"""The ``[[match]]`` tables: parts whose grain runs on from one to the next."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from inventory.readers.fields import Fields
from inventory.readers.values import nearest
from nester.model import How, Match, Part, System
from nester.readers.part import LONGEST_PART_NAME
from nester.shop_defaults import WRAP_TRIM

MOST_PARTS = 100
MOST_SETS = 1_000
LARGEST_MITER = 89

MATCH_KEYS = ("name", "how", "parts", "miter", "joint_trim", "required", "sets")


def read_match(fields: Fields, system: System) -> Match | None:
    """Return the match in ``fields``; None where it is faulty, every fault added as an issue."""
    name = fields.name("name", most=LONGEST_PART_NAME)
    fields.subject = name or None
    fields.known(*MATCH_KEYS)
    how = fields.choice("how", How)
    match = Match(
        name=name,
        how=how,
        parts=_parts(fields, how),
        miter=_miter(fields, how),
        joint_trim=fields.length_or("joint_trim", WRAP_TRIM[system] if how is How.WRAP else 0),
        required=fields.flag_or("required", False),
        sets=fields.whole_or("sets", 1, most=MOST_SETS),
        source=fields.source(),
    )
    return None if fields.faulty else match


def check_parts(
    matches: Sequence[tuple[Match, Fields]], parts: Sequence[Part], names: Sequence[str]
) -> None:
    """Add an issue for every name in a match that is no part, or of which there are too few copies.

    ``names`` are all names of parts in the file, those of faulty ones too. A stack may name
    sequences as well: they are its rows.
    """
    copies = {part.name: part.count for part in parts}
    rows = {match.name: match.sets for match, _ in matches if match.how is How.SEQUENCE}
    called = {match.name for match, _ in matches}
    taken: Counter[str] = Counter()
    stacked: Counter[str] = Counter()
    for match, fields in matches:
        for name, number in Counter(match.parts).items():
            if name not in names and match.how is How.STACK and name in rows:
                stacked[name] += number * match.sets
                if rows[name] < stacked[name]:
                    message = (
                        f"the stacks take {stacked[name]} sets of it, and there are {rows[name]}"
                    )
                    accepted = f"sets = {stacked[name]} or more for that sequence"
                    fields.fault("too-few-sets", "parts", message, name, accepted)
            elif name not in names and name in called:
                message = "that is a match, not a part"
                accepted = "the names of parts; a stack may name sequences as well"
                fields.fault("unknown-part", "parts", message, name, accepted)
            elif name not in names:
                near = nearest(name, names)
                accepted = f'"{near}" is the nearest part' if near else "the name of a part"
                fields.fault("unknown-part", "parts", "there is no such part", name, accepted)
            elif name in copies:
                taken[name] += number * match.sets
                if copies[name] < taken[name]:
                    message = f"the matches take {taken[name]} copies, and there are {copies[name]}"
                    accepted = f"a count of {taken[name]} or more"
                    fields.fault("too-few-copies", "parts", message, name, accepted)


def _parts(fields: Fields, how: How) -> tuple[str, ...]:
    accepted = f"a list of the names of 2 to {MOST_PARTS} parts"
    if not fields.has("parts"):
        fields.fault("missing-key", "parts", "it is missing", None, accepted)
        return ()
    parts = fields.names_or("parts", None, most=LONGEST_PART_NAME)
    if parts is None:
        return ()
    if how is How.BOOK and len(parts) != 2:
        fields.fault("wrong-number", "parts", "a book has two leaves", parts, "two names")
    elif not 2 <= len(parts) <= MOST_PARTS:
        fields.fault("wrong-number", "parts", "not a match of parts", parts, accepted)
    return parts


def _miter(fields: Fields, how: How) -> Fraction:
    if fields.has("miter") and how is not How.WRAP and not fields.faulty:
        message = "only the corners of a wrap are mitered; this is not used"
        fields.caution("miter-not-used", "miter", message, fields.values["miter"])
    return fields.number_or("miter", Fraction(45), most=LARGEST_MITER)
