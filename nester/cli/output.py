"""Where output goes: refused early where it cannot be written, and written whole or not at all."""

import os
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


def make_folder(folder: Path) -> None:
    """Make ``folder`` where it is missing.

    Raises
    ------
    Refusal
        Where it cannot be made, with the reason.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise Refusal(f'cannot make the folder "{folder}": something else has that name')
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise Refusal(f'cannot make the folder "{folder}": {reason(error)}') from error


def check_writable(path: Path) -> None:
    """Refuse early where ``path`` cannot be written, so that no long run is lost for it.

    Raises
    ------
    Refusal
        Where it is a folder, has none to stand in, or may not be written to.
    """
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise Refusal(f'cannot write "{path}": it is a folder; name a file in it')
        if not target.parent.is_dir():
            raise Refusal(f'cannot write "{path}": there is no folder "{path.parent}"')
        if not os.access(target if target.exists() else target.parent, os.W_OK):
            raise Refusal(f'cannot write "{path}": permission denied')
    except (OSError, ValueError) as error:
        raise Refusal(f'cannot write "{path}": {reason(error)}') from error


def reason(error: Exception) -> str:
    """Return why the system refused, in its own words, without a path or a number."""
    return (error.strerror if isinstance(error, OSError) else None) or str(error)
