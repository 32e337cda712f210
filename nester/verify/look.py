"""The first look at a document: plain JSON values only, before any rule is asked.

After it the rules may take for granted that every key is text, every number is finite and of a
reasonable size, and nothing is nested without end.
"""

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from nester.verify.fault import Fault, clipped, shown
from nester.verify.number import is_held

_DEEPEST = 5000
_MOST_FAULTS = 20


def parsed(text: str) -> tuple[Any, list[Fault]]:
    """Return the JSON document in ``text``, numbers exact, and what keeps it from being read."""
    repeated: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        table: dict[str, Any] = {}
        for key, value in items:
            if key in table:
                repeated.append(key)
            table[key] = value
        return table

    try:
        document = json.loads(
            text, parse_float=Decimal, parse_constant=_constant, object_pairs_hook=pairs
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        return None, [Fault("json", f"not a JSON document: {error.msg}", where)]
    except RecursionError:
        return None, [Fault("json", "lists and objects are nested too deeply to be read")]
    except (ValueError, ArithmeticError) as error:
        why = str(error)
        if "digits" in why:  # Python's own words speak of its settings
            why = "a number has too many digits"
        return None, [Fault("json", f"not a JSON document: {clipped(why)}")]
    return document, [
        Fault("json", "a key stands twice in one object", value=key) for key in repeated
    ]


def _constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def strange_values(document: object) -> list[Fault]:
    """Return a fault for each value that no plan can hold, at most twenty of them."""
    faults: list[Fault] = []
    waiting: list[tuple[object, str, int]] = [(document, "", 0)]
    while waiting and len(faults) < _MOST_FAULTS:
        value, place, depth = waiting.pop()
        if depth > _DEEPEST:
            faults.append(Fault("json", "nested too deeply to be read", place))
        elif value is None or isinstance(value, str | bool):
            continue
        elif isinstance(value, Mapping):
            for key, inner in value.items():
                if isinstance(key, str):
                    waiting.append((inner, _inside(place, clipped(key, 30)), depth + 1))
                else:
                    faults.append(Fault("json", "a key must be text", place, shown(key)))
        elif isinstance(value, (list, tuple)):
            waiting.extend((inner, place, depth + 1) for inner in value)
        elif not is_held(value):
            faults.append(Fault("json", "not a number that a plan can hold", place, shown(value)))
    return faults


def _inside(place: str, key: str) -> str:
    """Return the place one key further in, kept short however deep it lies."""
    return key if not place else f"{place[-60:]}.{key}"
