"""The hash of a stock item's state.

Definition, so that a writer and a checker can each have their own code for it. Take the stock
entry as it stands in the plan, without its own key ``hash``. Write it as one line of JSON text:

- objects as ``{"key":value,...}``, keys in ascending order of their characters' code points;
  lists as ``[value,...]``; no white space anywhere outside strings;
- strings between double quotes; inside them a double quote is written ``\\"``, a backslash
  ``\\\\``, backspace, form feed, line feed, carriage return and tab ``\\b \\f \\n \\r \\t``,
  other characters below U+0020 as ``\\u00xx`` with lower-case digits; every other character
  stands for itself (so what ``json.dumps(text, ensure_ascii=False)`` gives);
- ``true``, ``false``, ``null``;
- numbers, lengths and prices alike, bare and in plain notation: no exponent, no plus sign, no
  leading zeros, no trailing zeros after the point, no point in a whole number, minus zero as
  ``0``. So 25.40, 25.4 and 2.54e1 are all ``25.4``, and 1524.0 is ``1524``.

The hash is the SHA-256 of that text in UTF-8, in lower-case hexadecimal.
"""

import hashlib
import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from nester.verify.number import exact

_DEEPEST = 40


def state_hash(entry: Mapping[str, Any]) -> str:
    """Return the hash of a stock entry by the definition above; its key ``hash`` is left out.

    Raises ``ValueError`` where the entry holds something that is no JSON value, a number out of all
    proportion, or lists in lists past any stock item's depth.
    """
    state = {key: value for key, value in entry.items() if key != "hash"}
    return hashlib.sha256(canonical(state).encode("utf-8", "surrogatepass")).hexdigest()


def canonical(value: object, depth: int = 0) -> str:
    """Return a JSON value as text in the one form that is hashed."""
    if depth > _DEEPEST:
        raise ValueError("nested too deeply to be hashed")
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, Mapping):
        pairs = (
            f"{json.dumps(key, ensure_ascii=False)}:{canonical(value[key], depth + 1)}"
            for key in sorted(value)
        )
        return "{" + ",".join(pairs) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ",".join(canonical(item, depth + 1) for item in value) + "]"
    return _plain(value)


def _plain(value: object) -> str:
    """Return a number in plain notation."""
    if exact(value) is None:
        raise ValueError("no number that a stock item can hold")
    number = value if isinstance(value, Decimal) else Decimal(repr(value))
    text = f"{number:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
