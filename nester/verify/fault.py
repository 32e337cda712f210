"""A rule that a plan breaks, kept as data."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Fault:
    """One broken rule.

    ``code`` is stable and names the rule ("far-edge"); ``place`` says where in the plan
    ("W-07 copy 1, cut 4"); ``value`` is what was found there, as text, None where nothing was.
    """

    code: str
    message: str
    place: str = ""
    value: str | None = None

    def line(self) -> str:
        """Return the fault as one line of text, ready to print."""
        place = f'"{clipped(self.place)}": ' if self.place else ""
        found = f' (found "{clipped(self.value)}")' if self.value is not None else ""
        return visible(f"{place}{self.message}{found}")

    def as_dict(self) -> dict[str, Any]:
        """Return the fault for ``--json``."""
        return {
            "code": self.code,
            "message": visible(self.message),
            "place": visible(self.place),
            "value": None if self.value is None else visible(self.value),
        }


def clipped(text: str, most: int = 100) -> str:
    """Return ``text`` cut to ``most`` characters, so that a wild value cannot flood a message."""
    return text if len(text) <= most else text[: most - 1] + "…"


def visible(text: str) -> str:
    """Return ``text`` with line breaks, control characters and broken characters written out."""
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)


def shown(value: object) -> str:
    """Return any JSON value as short text for ``Fault.value``; never raises, never long."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return clipped(value)
    if isinstance(value, int):
        return str(value) if value.bit_length() < 300 else "a huge number"
    if isinstance(value, dict):
        return f"an object of {len(value)} keys"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    return clipped(str(value))
