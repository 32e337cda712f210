"""Files are written whole or not at all."""

import os
import stat
import tempfile
from pathlib import Path


class WriteError(OSError):
    """A file that could not be written; ``str(error)`` is one line that names it and says why."""


def write_atomically(path: Path | str, content: bytes) -> None:
    """Write ``content`` so that ``path`` holds all of it, or still what it held before.

    A file beside it is written and flushed to the disk first, then takes its place. A symbolic link
    is followed. A device or pipe is written to directly, since it must not be replaced.

    Raises
    ------
    WriteError
        Where it cannot be written: no such folder, not permitted, disk full.
    """
    try:
        target = Path(os.path.realpath(path))
        mode = _mode(target)
        if mode is not None and stat.S_ISDIR(mode):
            raise WriteError(f'cannot write "{path}": it is a directory')
        if mode is not None and not stat.S_ISREG(mode):
            target.write_bytes(content)
        else:
            _replace(target, content, mode)
    except WriteError:
        raise
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise WriteError(f'cannot write "{path}": {why.lower()}; nothing was written') from error


def _mode(target: Path) -> int | None:
    try:
        return target.stat().st_mode
    except FileNotFoundError:
        return None


def _replace(target: Path, content: bytes, mode: int | None) -> None:
    if mode is not None and not os.access(target, os.W_OK):
        raise PermissionError(13, "permission denied")
    number, beside = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
    try:
        with open(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, _permissions(mode))
        os.replace(beside, target)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _permissions(mode: int | None) -> int:
    """Return the old file's permissions, or those that a new file gets."""
    if mode is not None:
        return stat.S_IMODE(mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
