"""A plan file as plain data, for the commands that judge it rather than use it."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

from inventory.issue import Issue, Source

MOST_BYTES = 200_000_000
"""A plan is never this big; a bigger file is refused unread."""


def read_document(path: Path) -> tuple[dict[str, Any] | None, list[Issue]]:
    """Return the JSON document in ``path``, its numbers exact, or the reason why there is none."""
    source = Source(str(path))

    def refused(code: str, message: str, line: int | None = None) -> tuple[None, list[Issue]]:
        return None, [Issue(code, message, source=Source(str(path), line))]

    try:
        if path.is_dir():
            return refused("directory", "this is a folder, not a plan")
        if path.exists() and path.stat().st_size > MOST_BYTES:
            return refused("too-big", "this is no plan: the file is over 200 MB")
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        return refused("missing-file", "there is no such file")
    except UnicodeDecodeError:
        return refused("not-utf-8", "this is not a plan: not UTF-8 text")
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        return refused("unreadable", f"cannot be read: {why}")
    if not text.strip():
        return refused("empty-file", "the file is empty; a plan is written by nester plan")
    try:
        document = json.loads(
            text, parse_float=Decimal, parse_constant=_no_number, object_pairs_hook=_once_each
        )
    except json.JSONDecodeError as error:
        return refused("not-json", f"this is not a plan: {error.msg}", error.lineno)
    except (ValueError, ArithmeticError) as error:
        return refused("not-json", f"this is not a plan: {error}")
    except RecursionError:
        return refused("not-json", "this is not a plan: it is nested too deep")
    if not isinstance(document, dict):
        found = type(document).__name__
        return None, [
            Issue("not-a-plan", "this is not a plan", found, "a JSON object", source=source)
        ]
    return document, []


def _no_number(name: str) -> Any:
    raise ValueError(f'"{name}" is not a number')


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    entry: dict[str, Any] = {}
    for key, value in pairs:
        if key in entry:
            raise ValueError(f'the key "{key}" stands twice')
        entry[key] = value
    return entry
