"""A mistake in a user's file, kept as data: its place, what was found, what would be accepted."""

from dataclasses import dataclass
from enum import Enum
from typing import Any


class Severity(Enum):
    """How much an issue matters."""

    ERROR = "error"  # nothing may be written
    CAUTION = "caution"  # the maker should look; work goes on


@dataclass(frozen=True, slots=True)
class Source:
    """Where a record came from.

    ``line`` is counted from 1; ``cell`` names a spreadsheet cell ("Sheet1!C4") in place of a line.
    """

    file: str
    line: int | None = None
    cell: str | None = None

    def __str__(self) -> str:
        if self.cell is not None:
            return f"{self.file}:{self.cell}"
        if self.line is not None:
            return f"{self.file}:{self.line}"
        return self.file


@dataclass(frozen=True, slots=True)
class Issue:
    """One mistake or caution.

    ``code`` is stable ("unknown-key"), ``subject`` the part name or stock id, ``value`` what was
    found (None where nothing was), ``accepted`` what would be accepted in its place.
    """

    code: str
    message: str
    value: str | None = None
    accepted: str | None = None
    subject: str | None = None
    source: Source | None = None
    severity: Severity = Severity.ERROR

    def line(self) -> str:
        """Return the issue as one line of text, ready to print."""
        place = f"{self.source}: " if self.source is not None else ""
        who = f'"{clipped(self.subject)}": ' if self.subject else ""
        word = "caution: " if self.severity is Severity.CAUTION else ""
        found = f' (found "{clipped(self.value)}")' if self.value is not None else ""
        wanted = f"; accepted: {self.accepted}" if self.accepted else ""
        return one_line(f"{place}{word}{who}{self.message}{found}{wanted}")

    def as_dict(self) -> dict[str, Any]:
        """Return the issue for ``--json``."""
        return {
            "code": self.code,
            "severity": self.severity.value,
            "message": self.message,
            "value": self.value,
            "accepted": self.accepted,
            "subject": self.subject,
            "file": self.source.file if self.source else None,
            "line": self.source.line if self.source else None,
            "cell": self.source.cell if self.source else None,
        }


def clipped(text: str, most: int = 80) -> str:
    """Return ``text`` cut to ``most`` characters, so that a wild value cannot flood a message."""
    return text if len(text) <= most else text[: most - 1] + "…"


def one_line(text: str) -> str:
    """Return ``text`` with line breaks and control characters made visible."""
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)
