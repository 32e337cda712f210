"""Where output goes, and what is said where it cannot go there."""

from pathlib import Path

import pytest

from nester.cli.common import Refusal
from nester.cli.output import check_folder, check_writable, make_folder, write_text


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
    (tmp_path / "oak").write_text("kept")
    with pytest.raises(Refusal, match=r'oak" is no folder'):
        check_writable(tmp_path / "oak" / "plan.json")
    check_writable(tmp_path / "oak")
    assert (tmp_path / "oak").read_text() == "kept"


@pytest.mark.parametrize("why", ["No space left on device", "Read-only file system"])
def test_a_folder_that_takes_no_file_is_found_by_trying(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, why: str
) -> None:
    """A full or read-only disk is told before the work, for a file and for a folder to be made."""

    def full(number: int) -> None:
        raise OSError(28, why)

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(Refusal, match=f'cannot write ".*plan.json": {why[0].lower()}{why[1:]}$'):
        check_writable(tmp_path / "plan.json")
    with pytest.raises(Refusal, match=f'into the folder ".*new": {why[0].lower()}{why[1:]}$'):
        check_folder(tmp_path / "new")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_is_asked_for_room(tmp_path: Path) -> None:
    """A folder that is there, or could be made, passes; one below a file or a name too long not."""
    check_folder(tmp_path / "a" / "b", 10_000)
    check_folder(tmp_path)
    (tmp_path / "oak").write_text("kept")
    with pytest.raises(Refusal, match=r'oak" is no folder'):
        check_folder(tmp_path / "oak" / "drawings")
    with pytest.raises(Refusal, match="name too long"):
        check_folder(tmp_path / ("x" * 300))
    with pytest.raises(Refusal, match="cannot write into the folder"):
        check_folder(tmp_path / "a\0b")
    if Path("/proc").is_dir():
        with pytest.raises(Refusal, match='cannot write into the folder "/proc/x"'):
            check_folder(Path("/proc/x"))
    assert [path.name for path in tmp_path.iterdir()] == ["oak"]


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A folder below a file is refused in words."""
    assert make_folder(tmp_path / "a" / "b") == [tmp_path / "a" / "b", tmp_path / "a"]
    (tmp_path / "file").write_text("")
    with pytest.raises(Refusal, match="cannot make the folder"):
        make_folder(tmp_path / "file" / "drawings")
    with pytest.raises(Refusal, match="something else has that name"):
        make_folder(tmp_path / "file")
