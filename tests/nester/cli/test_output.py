"""Files are written whole or not at all."""

from pathlib import Path

import pytest

from nester.cli import output
from nester.cli.common import Refusal
from nester.cli.output import check_writable, make_folder, write_whole


def test_writes_and_replaces(tmp_path: Path) -> None:
    """A file appears whole, and a second writing takes its place; nothing else is left."""
    path = tmp_path / "plan.json"
    write_whole(path, "first ⅜")
    write_whole(path, b"second")
    assert path.read_bytes() == b"second"
    assert list(tmp_path.iterdir()) == [path]


def test_full_disk_keeps_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk is full the old file stands as it was, and no half one beside it."""
    path = tmp_path / "plan.json"
    path.write_text("old")

    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(output.os, "fsync", full)
    with pytest.raises(Refusal, match=r'cannot write ".*plan.json": No space left on device'):
        write_whole(path, "new")
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_device_is_written_to_and_not_replaced() -> None:
    """A device keeps being one; a full one says so."""
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no /dev/full")
    with pytest.raises(Refusal, match='cannot write "/dev/full": No space left on device'):
        write_whole(full, "x")
    assert full.is_char_device()


def test_link_is_followed(tmp_path: Path) -> None:
    """A link stays a link; the file that it names is replaced."""
    real, link = tmp_path / "real.json", tmp_path / "link.json"
    real.write_text("old")
    link.symlink_to(real)
    write_whole(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_refuses_before_a_long_run(tmp_path: Path) -> None:
    """A folder, a missing folder and a name that no file can have are refused at once."""
    with pytest.raises(Refusal, match="it is a folder"):
        check_writable(tmp_path)
    with pytest.raises(Refusal, match="there is no folder"):
        check_writable(tmp_path / "none" / "plan.json")
    with pytest.raises(Refusal, match="cannot write"):
        check_writable(tmp_path / "a\0b")
    with pytest.raises(Refusal, match="cannot write"):
        write_whole(tmp_path / ("x" * 400), "x")


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A folder below a file is refused in words."""
    (tmp_path / "file").write_text("")
    with pytest.raises(Refusal, match="cannot make the folder"):
        make_folder(tmp_path / "file" / "drawings")
