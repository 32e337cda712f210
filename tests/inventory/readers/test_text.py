"""Files that cannot be read are issues."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from inventory.issue import Issue
from inventory.readers import text
from inventory.readers.text import load_bytes, load_text


def test_text_without_its_byte_order_mark(tmp_path: Path) -> None:
    """UTF-8 with or without a mark gives the same text, line ends kept."""
    path = tmp_path / "stock.csv"
    path.write_bytes(b"\xef\xbb\xbfid,note\r\n1,\xc3\xa9\r\n")
    assert load_text(path) == "id,note\r\n1,é\r\n"


@pytest.mark.parametrize(
    ("content", "code", "line", "found"),
    [
        (b"", "empty-file", None, None),
        (b" \n\t\n", "empty-file", None, None),
        (b"units = 'in'\n\0\0", "binary-file", None, None),
        (b"PK\x03\x04 a workbook", "binary-file", None, None),
        (b"a = 1\nnote = 'caf\xe9'\n", "not-utf8", 2, "byte 0xe9"),
        ("units = 'in'".encode("utf-16"), "not-utf8", None, None),
    ],
)
def test_content_that_is_no_text(
    tmp_path: Path, content: bytes, code: str, line: int | None, found: str | None
) -> None:
    """Each kind has its code, its place, the value found and what would be accepted."""
    path = tmp_path / "stock.toml"
    path.write_bytes(content)
    issue = load_text(path)
    assert isinstance(issue, Issue)
    assert issue.code == code
    assert issue.source is not None
    assert (issue.source.file, issue.source.line) == (str(path), line)
    assert issue.value == (found or str(path))
    assert issue.accepted


def test_a_missing_file_and_a_directory(tmp_path: Path) -> None:
    """The name stands in double quotes."""
    missing = load_text(tmp_path / "no.toml")
    assert isinstance(missing, Issue)
    assert missing.line() == (
        f'{tmp_path}/no.toml: there is no such file (found "{tmp_path}/no.toml"); '
        "accepted: a file that exists"
    )
    folder = load_text(tmp_path)
    assert isinstance(folder, Issue)
    assert (folder.code, folder.message) == ("directory", "this is a directory")


def test_a_name_that_is_none() -> None:
    """A zero byte in a name is an issue, not a traceback."""
    issue = load_bytes("a\0b.toml")
    assert isinstance(issue, Issue)
    assert issue.code == "unreadable"
    assert "\0" not in issue.line()


def test_a_device_is_no_file() -> None:
    """Reading from a device would never end."""
    issue = load_bytes(os.devnull)
    assert isinstance(issue, Issue)
    assert issue.code == "not-a-file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no named pipes here")
def test_a_named_pipe_is_no_file(tmp_path: Path) -> None:
    """A pipe that nobody writes to is refused at once, in one line, and not waited for.

    A program of its own, so that one that waits is ended.
    """
    pipe = tmp_path / "stock.toml"
    os.mkfifo(pipe)
    code = f"from inventory.readers.text import load_text; print(load_text({str(pipe)!r}).line())"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parents[3],
        capture_output=True,
        text=True,
        timeout=20,
        check=True,
    )
    (told,) = done.stdout.splitlines()
    # A long path is cut short as the value found.
    assert told.startswith(f'{pipe}: this is a pipe or device (found "{str(pipe)[:20]}')
    assert told.endswith('"); accepted: a file')


def test_a_file_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """More than the limit is refused with the limit said."""
    monkeypatch.setattr(text, "MOST_BYTES", 3_000_000)
    path = tmp_path / "stock.toml"
    path.write_bytes(b"#" * 3_000_001)
    issue = load_bytes(path)
    assert isinstance(issue, Issue)
    assert (issue.code, issue.accepted) == ("too-large", "at most 3 MB")
