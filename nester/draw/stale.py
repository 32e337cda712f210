"""Drawings of an earlier plan: known by the last line of the file, and taken away.

A sheet of a board that is no longer in the plan would be cut all the same. But a folder may hold
other things too, so only a file goes that this program wrote, for the same project, and that nobody
has changed since: its last line is a hash of all that stands before it.
"""

import hashlib
import os
import re
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

LARGEST = 8_000_000
"""No drawing is larger; what is, is not looked into [bytes]."""

SIGNATURE = re.compile(rb"<!-- drawn by nester for project ([0-9a-f]{12}): ([0-9a-f]{64}) -->\n\Z")


@dataclass(frozen=True, slots=True)
class Cleared:
    """What was found beside the new drawings.

    ``removed``: drawings of this project that are not in the plan any more. ``changed``: such ones
    that were changed since, so they were left. ``others``: drawings of other projects, left too.
    ``stuck``: those that should go, and that the system would not remove.
    """

    removed: tuple[Path, ...]
    changed: tuple[Path, ...]
    others: tuple[Path, ...]
    stuck: tuple[Path, ...]


def signed(text: str, project: str) -> bytes:
    """Return a drawing as it is written, with the line that tells it again."""
    body = text.encode("utf-8")
    mark = f"<!-- drawn by nester for project {_key(project)}: {_hash(body)} -->\n"
    return body + mark.encode("ascii")


def clear_stale(folder: Path, project: str, written: Iterable[Path]) -> Cleared:
    """Remove from ``folder`` the drawings of ``project`` that are not among those just ``written``.

    A folder that cannot be listed is left alone.
    """
    kept = {_place(path) for path in written}
    removed, changed, others, stuck = [], [], [], []
    for path in _drawings(folder):
        if _place(path) in kept:
            continue
        try:
            content = path.read_bytes()
            found = SIGNATURE.search(content)
            if found is None:
                continue
            if found[1].decode("ascii") != _key(project):
                others.append(path)
            elif found[2].decode("ascii") != _hash(content[: found.start()]):
                changed.append(path)
            else:
                path.unlink()
                removed.append(path)
        except OSError:
            stuck.append(path)
    return Cleared(tuple(removed), tuple(changed), tuple(others), tuple(stuck))


def _drawings(folder: Path) -> Iterator[Path]:
    """Yield the plain files of a folder that may be drawings, by name; no link is followed."""
    try:
        paths = sorted(folder.iterdir())
    except OSError:
        return
    for path in paths:
        try:
            state = path.lstat()
        except OSError:
            continue
        plain = stat.S_ISREG(state.st_mode) and state.st_size <= LARGEST
        if plain and path.suffix.lower() == ".svg":
            yield path


def _place(path: Path) -> tuple[int, int] | str:
    """Return what tells a file from all others, however its name is written."""
    try:
        state = os.stat(path)
    except OSError:
        return str(path)
    return state.st_dev, state.st_ino


def _key(project: str) -> str:
    return _hash(project.encode("utf-8", "surrogatepass"))[:12]


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
