"""Where output goes, and what is said where it cannot go there."""

from pathlib import Path

import pytest

from nester.cli.common import Refusal
from nester.cli.output import check_writable, make_folder, write_text


def test_writes_text_whole(tmp_path: Path) -> None:
    """A file appears with all its text, and nothing beside it."""
    path = tmp_path / "plan.json"
    write_text(path, "23 ⅜")
    assert path.read_text(encoding="utf-8") == "23 ⅜"
    assert list(tmp_path.iterdir()) == [path]


def test_full_device_is_said() -> None:
    """A full disk is told in one line, and the device is still a device afterwards."""
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no /dev/full")
    with pytest.raises(Refusal, match='cannot write "/dev/full": no space left on device'):
        write_text(full, "x")
    assert full.is_char_device()


def test_refuses_before_a_long_run(tmp_path: Path) -> None:
    """A folder, a missing folder and a name that no file can have are refused at once."""
    with pytest.raises(Refusal, match="it is a folder"):
        check_writable(tmp_path)
    with pytest.raises(Refusal, match="there is no folder"):
        check_writable(tmp_path / "none" / "plan.json")
    with pytest.raises(Refusal, match="cannot write"):
        check_writable(tmp_path / "a\0b")
    check_writable(tmp_path / "plan.json")
    assert list(tmp_path.iterdir()) == []


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A folder below a file is refused in words."""
    make_folder(tmp_path / "a" / "b")
    (tmp_path / "file").write_text("")
    with pytest.raises(Refusal, match="cannot make the folder"):
        make_folder(tmp_path / "file" / "drawings")
    with pytest.raises(Refusal, match="something else has that name"):
        make_folder(tmp_path / "file")
