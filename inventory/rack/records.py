"""What the rack reports, and how it fails."""

from dataclasses import dataclass


class RackError(RuntimeError):
    """A rack that cannot be opened, read or written; ``str(error)`` is one line that says why."""


@dataclass(frozen=True, slots=True)
class LoadReport:
    """What loading did, as stock ids in the order of the file."""

    new: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One command in the ledger: its number, when (UTC), which, and a word on it."""

    number: int
    made: str
    command: str
    note: str
