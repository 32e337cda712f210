"""Reports of the program's own faults, saved where the user can find them."""

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from inventory.files import write_atomically
from nester import __version__


def save_report(error: BaseException, arguments: Sequence[str]) -> Path | None:
    """Save how ``error`` came about; return the file, or None where no folder takes it."""
    when = datetime.now(UTC)
    text = "\n".join(
        [
            f"nester {__version__}, Python {platform.python_version()}, {platform.platform()}",
            f"at {when:%Y-%m-%dT%H:%M:%SZ}",
            f"command: {' '.join(arguments)}",
            "",
            "".join(traceback.format_exception(error)),
        ]
    )
    return save(f"fault-{when:%Y%m%d-%H%M%S}-{os.getpid()}.txt", text)


def save(name: str, text: str) -> Path | None:
    """Save ``text`` under ``name`` in the first folder that takes it; None where none does."""
    for folder in _folders():
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / name
            write_atomically(path, text.encode("utf-8", "backslashreplace"))
        except OSError:
            continue
        return path
    return None


def arguments_given() -> list[str]:
    """Return the command line after the program's name."""
    return sys.argv[1:]


def _folders() -> list[Path]:
    import platformdirs

    return [
        Path(platformdirs.user_log_dir("nester", appauthor=False)),
        Path(tempfile.gettempdir()),
    ]
