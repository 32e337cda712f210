"""Files are written whole or not at all."""

import os
from pathlib import Path

from nester.cli.common import Refusal


def write_whole(path: Path, content: str | bytes) -> None:
    """Write ``content`` so that ``path`` holds all of it, or still what it held before.

    A neighbouring file is written first and takes the place of the old one at the end. Devices and
    pipes are written to directly, since they must not be replaced.

    Raises
    ------
    Refusal
        Where it cannot be written, with the reason.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise Refusal(f'cannot write "{path}": it is a folder; name a file in it')
        if target.exists() and not target.is_file():
            target.write_bytes(data)
            return
        _replace(target, data)
    except OSError as error:
        raise Refusal(f'cannot write "{path}": {reason(error)}; nothing was written') from error
    except ValueError as error:  # a name with a zero byte
        raise Refusal(f'cannot write "{path}": {error}; nothing was written') from error


def make_folder(folder: Path) -> None:
    """Make ``folder`` where it is missing.

    Raises
    ------
    Refusal
        Where it cannot be made, with the reason.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else str(error)
        raise Refusal(f'cannot make the folder "{folder}": {why}') from error


def check_writable(path: Path) -> None:
    """Refuse early where ``path`` cannot be written, so that no long run is lost for it.

    Raises
    ------
    Refusal
        Where the folder is missing or may not be written to.
    """
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise Refusal(f'cannot write "{path}": it is a folder; name a file in it')
        if not target.parent.is_dir():
            raise Refusal(f'cannot write "{path}": there is no folder "{path.parent}"')
        if not os.access(target if target.exists() else target.parent, os.W_OK):
            raise Refusal(f'cannot write "{path}": no permission')
    except (OSError, ValueError) as error:
        why = reason(error) if isinstance(error, OSError) else str(error)
        raise Refusal(f'cannot write "{path}": {why}') from error


def reason(error: OSError) -> str:
    """Return why the system refused, in its own words, without a path or a number."""
    return error.strerror or str(error)


def _replace(target: Path, data: bytes) -> None:
    near = target.with_name(f".{target.name[:40]}.{os.getpid()}.part")
    number = os.open(near, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o666)
    try:
        with open(number, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(near, target)
    except BaseException:
        near.unlink(missing_ok=True)
        raise
