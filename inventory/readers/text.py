"""Loading a file that a person names: what can go wrong with it is an issue, never an exception."""

import stat
from pathlib import Path

from inventory.issue import Issue, Source

MOST_BYTES = 20_000_000
"""A larger file is refused."""


def load_bytes(path: Path | str) -> bytes | Issue:
    """Return the content of ``path``, or the issue that keeps it from being read.

    Missing, a directory, something other than a file, not permitted, empty, or larger than
    ``MOST_BYTES``.
    """
    try:
        mode = Path(path).stat().st_mode
        if stat.S_ISDIR(mode):
            return _issue(path, "directory", "this is a directory", "a file")
        if not stat.S_ISREG(mode):  # opening a pipe that nobody writes to would wait for ever
            return _issue(path, "not-a-file", "this is a pipe or device", "a file")
        with open(path, "rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        return _issue(path, "missing-file", "there is no such file", "a file that exists")
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else None) or str(error)
        return _issue(path, "unreadable", f"cannot be read: {why.lower()}", "a readable file")
    if not content:
        return _issue(path, "empty-file", "the file is empty", "a file with something in it")
    if len(content) > MOST_BYTES:
        return _issue(
            path, "too-large", "the file is too large", f"at most {MOST_BYTES // 1_000_000} MB"
        )
    return content


def load_text(path: Path | str) -> str | Issue:
    """Return the text of ``path`` without its byte-order mark, or the issue that keeps it away.

    Beyond ``load_bytes``: binary, not UTF-8, or nothing but white space. Line ends are kept.
    """
    content = load_bytes(path)
    if isinstance(content, Issue):
        return content
    return decode(content, path)


def decode(content: bytes, path: Path | str) -> str | Issue:
    """Return the UTF-8 text in ``content``, or the issue that ``path`` is no text."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _issue(path, "not-utf8", "the text is UTF-16", "text saved as UTF-8")
    if b"\0" in content or content.startswith(b"PK\x03\x04"):
        return _issue(path, "binary-file", "this is a binary file", "a text file in UTF-8")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        byte = f"byte 0x{content[error.start]:02x}"
        source = Source(str(path), line)
        return Issue("not-utf8", "not UTF-8", byte, "text saved as UTF-8", source=source)
    if not text.strip():
        return _issue(path, "empty-file", "the file is empty", "a file with something in it")
    return text


def _issue(path: Path | str, code: str, message: str, accepted: str) -> Issue:
    return Issue(code, message, str(path), accepted, source=Source(str(path)))
