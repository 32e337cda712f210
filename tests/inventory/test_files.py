"""Files are written whole or not at all."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from inventory.files import WriteError, write_atomically, write_together


def test_a_file_takes_its_place_and_leaves_no_other(tmp_path: Path) -> None:
    """The new content is there, nothing lies beside it, and permissions stay."""
    path = tmp_path / "plan.json"
    write_atomically(path, b"one")
    path.chmod(0o640)
    write_atomically(path, b"two")
    assert path.read_bytes() == b"two"
    assert [file.name for file in tmp_path.iterdir()] == ["plan.json"]
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_link_is_followed(tmp_path: Path) -> None:
    """A symbolic link stays one; its target changes."""
    real = tmp_path / "real.toml"
    real.write_text("old")
    link = tmp_path / "link.toml"
    link.symlink_to(real)
    write_atomically(link, b"new")
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_a_full_disk_is_said_and_the_old_file_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the disk is full at the last moment, the old content is still there."""
    path = tmp_path / "rack.toml"
    path.write_bytes(b"old")

    def full(number: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteError) as caught:
        write_atomically(path, b"new")
    assert (
        str(caught.value) == f'cannot write "{path}": no space left on device; nothing was written'
    )
    assert path.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["rack.toml"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
def test_a_pipe_behind_a_link() -> None:
    """What is written to /dev/stdout goes down the pipe that it stands for."""
    if not Path("/dev/stdout").exists():
        pytest.skip("this system has no /dev/stdout")
    code = "from inventory.files import write_atomically as w; w('/dev/stdout', b'23 3/8')"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, timeout=60)
    assert (done.stdout, done.stderr) == (b"23 3/8", b"")


def test_a_full_device() -> None:
    """A device is written to directly, and its refusal is told."""
    with pytest.raises(WriteError, match="no space left on device"):
        write_atomically("/dev/full", b"x" * 10)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("missing/plan.json", "no such file or directory"),
        ("", "it is a directory"),
        ("a\0b", "null"),
    ],
)
def test_where_nothing_can_be_written(tmp_path: Path, name: str, why: str) -> None:
    """A missing folder, a directory and a name that is none are one line each."""
    with pytest.raises(WriteError, match=why) as caught:
        write_atomically(f"{tmp_path}/{name}", b"x")
    assert "\n" not in str(caught.value)


def test_several_files_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the second cannot be written, the first keeps its old content too."""
    first = tmp_path / "rack.csv"
    first.write_bytes(b"old")
    with pytest.raises(WriteError, match="missing"):
        write_together({first: b"new", tmp_path / "missing" / "rack.flaws.csv": b"new"})
    assert first.read_bytes() == b"old"
    assert [file.name for file in tmp_path.iterdir()] == ["rack.csv"]
    second = tmp_path / "rack.flaws.csv"
    write_together({first: b"new", second: b"more"})
    assert (first.read_bytes(), second.read_bytes()) == (b"new", b"more")


@pytest.mark.skipif(getattr(os, "geteuid", lambda: 1)() == 0, reason="root may write anywhere")
def test_a_file_that_may_not_be_written(tmp_path: Path) -> None:
    """A read-only file is not replaced behind its owner's back."""
    path = tmp_path / "kept.toml"
    path.write_bytes(b"old")
    path.chmod(0o400)
    with pytest.raises(WriteError, match="permission denied"):
        write_atomically(path, b"new")
    assert path.read_bytes() == b"old"
