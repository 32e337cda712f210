"""The document's ``match``, ``panels``, ``matches`` and ``penalties``."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.read_tree import read_tree
from nester.verify.records import Layout, Match, Panel, Penalty, Result

HOWS = ("wrap", "sequence", "stack", "book", "same board")
_MATCH = ("name", "how", "parts", "miter", "joint_trim", "required", "sets")
_PANEL = ("id", "parts", "match", "strips", "length", "width", "tree")
_RESULT = ("name", "corners", "matched", "broken", "stock")
_STEEPEST = 89
_MOST = 100_000  # copies of parts in a match, all its sets together


def read_matches(data: Sequence[Any], faults: list[Fault]) -> dict[str, Match] | None:
    """Return the matches by name, None where something of them cannot be read."""
    found: dict[str, Match] = {}
    good = True
    for number, entry in enumerate(data, 1):
        match = _match(entry, number, faults)
        if match is None:
            good = False
        elif match.name in found:
            faults.append(
                Fault("duplicate-name", "two matches have this name", "match", match.name)
            )
            good = False
        else:
            found[match.name] = match
    return found if good else None


def _match(data: Any, number: int, faults: list[Fault]) -> Match | None:
    """Return one match."""
    fields = Fields(data, _named(data, "name", "match", number), faults, _MATCH)
    match = Match(
        name=fields.text("name", needed=True),
        how=fields.choice("how", HOWS),
        parts=fields.texts("parts"),
        miter=fields.amount("miter", most=_STEEPEST),
        joint_trim=fields.length("joint_trim"),
        required=fields.flag("required"),
        sets=fields.whole("sets", 1),
    )
    number = len(match.parts)
    if fields.good and (number < 2 or (match.how == "book" and number > 2)):
        wanted = "two names" if match.how == "book" else "two names or more"
        fields.fault("wrong-value", f'"parts" must be {wanted}', str(number))
    if fields.good and number * match.sets > _MOST:
        message = f"a match must hold at most {_MOST} copies of parts"
        fields.fault("wrong-value", message, str(number * match.sets))
    return match if fields.good else None


def read_panel(data: Any, number: int, faults: list[Fault]) -> Panel | None:
    """Return one glued-up panel."""
    table = data if isinstance(data, Mapping) else {}
    place = _named(data, "id", "panel", number)
    fields = Fields(data, place, faults, _PANEL)
    name = fields.text("id", needed=True)
    length, width = fields.length("length", size=True), fields.length("width", size=True)
    parts = tuple(_copy(fields, entry) for entry in fields.items("parts"))
    if fields.good and not parts:
        fields.fault("wrong-value", '"parts" must not be empty')
    match = fields.text("match", needed=True) if fields.has("match") else None
    strips = fields.whole("strips", 1)
    tree = read_tree(table["tree"], place, faults) if "tree" in table else None
    if not fields.good or tree is None:
        return None
    layout = Layout(
        stock=name,
        copy=1,
        kind="board",
        length=length,
        width=width,
        thickness=0,
        value=Fraction(0),
        first_cut="",
        tree=tree,
        name=f"panel {name}",
    )
    return Panel(name, parts, match, strips, layout)


def read_result(data: Any, number: int, faults: list[Fault]) -> Result | None:
    """Return what the document says has become of one match."""
    fields = Fields(data, _named(data, "name", "matches", number), faults, _RESULT)
    result = Result(
        name=fields.text("name", needed=True),
        corners=fields.whole("corners", 0),
        matched=fields.whole("matched", 0),
        broken=tuple(_pair(fields, entry) for entry in fields.items("broken")),
        stock=fields.texts("stock"),
    )
    return result if fields.good else None


def read_penalty(data: Any, number: int, faults: list[Fault]) -> Penalty | None:
    """Return one penalty."""
    fields = Fields(data, f"penalties, entry {number}", faults, ("match", "why", "cost"))
    fields.text("why", needed=True)
    penalty = Penalty(fields.text("match", needed=True), fields.amount("cost"))
    return penalty if fields.good else None


def _named(data: Any, key: str, kind: str, number: int) -> str:
    """Return what an entry is called in a fault: by its name, or by its number."""
    name = data.get(key) if isinstance(data, Mapping) else None
    return f"{kind} {name}" if isinstance(name, str) and name else f"{kind} number {number}"


def _copy(fields: Fields, data: object) -> tuple[str, int]:
    """Return a part's name with the number of a copy."""
    if isinstance(data, (list, tuple)) and len(data) == 2:
        name, number = data
        whole = isinstance(number, int) and not isinstance(number, bool) and number >= 1
        if isinstance(name, str) and whole:
            return name, number
    fields.fault("wrong-type", '"parts" must be pairs of a name and a copy', shown(data))
    return "", 1


def _pair(fields: Fields, data: object) -> tuple[str, str]:
    """Return the names on the two sides of a corner."""
    if isinstance(data, (list, tuple)) and len(data) == 2:
        one, two = data
        if isinstance(one, str) and isinstance(two, str):
            return one, two
    fields.fault("wrong-type", '"broken" must be pairs of names', shown(data))
    return "", ""
