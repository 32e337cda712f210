"""Where output goes: refused early where it cannot be written, and written whole or not at all."""

import os
import tempfile
from pathlib import Path

from inventory.files import WriteError, write_atomically
from nester.cli.common import Refusal


def write_text(path: Path, text: str) -> None:
    """Write ``text`` so that ``path`` holds all of it, or still what it held before.

    Raises
    ------
    Refusal
        Where it cannot be written, with the reason.
    """
    try:
        write_atomically(path, text.encode("utf-8"))
    except WriteError as error:
        raise Refusal(str(error)) from error


def make_folder(folder: Path) -> list[Path]:
    """Make ``folder`` where it is missing, and return the folders made, the innermost first.

    Raises
    ------
    Refusal
        Where it cannot be made, with the reason.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise Refusal(f'cannot make the folder "{folder}": something else has that name')
        missing = [place for place in (folder, *folder.parents) if not place.exists()]
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise Refusal(f'cannot make the folder "{folder}": {reason(error)}') from error
    return missing


def check_writable(path: Path) -> None:
    """Refuse early where ``path`` cannot be written, so that no long run is lost for it.

    Raises
    ------
    Refusal
        Where it is a folder, has none to stand in, may not be written to, or the disk is full.
    """
    try:
        if path.is_dir():
            raise Refusal(f'cannot write "{path}": it is a folder; name a file in it')
        if path.exists() and not path.is_file():
            return  # a device or pipe takes what it takes; only writing to it tells
        target = Path(os.path.realpath(path))
        if not target.parent.exists():
            raise Refusal(f'cannot write "{path}": there is no folder "{path.parent}"')
        if not target.parent.is_dir():
            raise Refusal(f'cannot write "{path}": "{path.parent}" is no folder')
        _try(target.parent)
        if target.exists() and not os.access(target, os.W_OK):
            raise Refusal(f'cannot write "{path}": permission denied')
    except (OSError, ValueError) as error:
        raise Refusal(f'cannot write "{path}": {reason(error)}') from error


def check_folder(folder: Path, room: int = 1) -> None:
    """Refuse early where files of ``room`` bytes cannot be written into ``folder``.

    It need not be there yet; then the folder that it will be made in is asked.

    Raises
    ------
    Refusal
        Where it cannot be made or written into, or the disk has not that much room.
    """
    try:
        there = next(place for place in (folder, *folder.absolute().parents) if _is_there(place))
        if not there.is_dir():
            raise Refusal(f'cannot write into the folder "{folder}": "{there}" is no folder')
        _try(there, room)
    except (OSError, ValueError) as error:
        raise Refusal(f'cannot write into the folder "{folder}": {reason(error)}') from error


def _is_there(place: Path) -> bool:
    """Return whether something has that name, be it a link that leads nowhere."""
    try:
        place.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    return True


def _try(folder: Path, room: int = 1) -> None:
    """Write ``room`` bytes to a file in ``folder`` that has no name or loses it at once."""
    with tempfile.TemporaryFile(prefix=".", suffix=".part", dir=folder) as file:
        file.write(bytes(room))
        file.flush()
        os.fsync(file.fileno())


def reason(error: Exception) -> str:
    """Return why the system refused, in its own words, without a path or a number."""
    words = (error.strerror if isinstance(error, OSError) else None) or str(error)
    return words[:1].lower() + words[1:]
