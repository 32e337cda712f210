"""Files are written whole or not at all."""

import os
import stat
import tempfile
from collections.abc import Mapping
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
    write_together({path: content})


def write_together(contents: Mapping[Path | str, bytes]) -> None:
    """Write several files; every one is on the disk beside its place before any takes it.

    Raises
    ------
    WriteError
        Where one of them cannot be written. None has been changed then, unless the system refuses
        the last step, which only gives a file its name.
    """
    staged: list[tuple[Path, Path]] = []
    path: Path | str = ""
    try:
        for path, content in contents.items():
            beside = _stage(path, content)
            if beside is not None:
                staged.append(beside)
        while staged:
            os.replace(*staged[0])
            staged.pop(0)
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise WriteError(f'cannot write "{path}": {why.lower()}; nothing was written') from error
    finally:
        for beside_path, _ in staged:
            beside_path.unlink(missing_ok=True)


def _stage(path: Path | str, content: bytes) -> tuple[Path, Path] | None:
    """Write ``content`` beside its place; return where it is and where it belongs."""
    target = Path(os.path.realpath(path))
    try:
        mode = Path(path).stat().st_mode
    except FileNotFoundError:
        mode = None
    if mode is not None and stat.S_ISDIR(mode):
        raise IsADirectoryError(21, "it is a directory")
    if mode is not None and not stat.S_ISREG(mode):
        Path(path).write_bytes(content)  # where a link leads to a pipe, its own name is none
        return None
    if mode is not None and not os.access(target, os.W_OK):
        raise PermissionError(13, "permission denied")
    number, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
    try:
        with open(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, _permissions(mode))
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name), target


def _permissions(mode: int | None) -> int:
    """Return the old file's permissions, or those that a new file gets."""
    if mode is not None:
        return stat.S_IMODE(mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
