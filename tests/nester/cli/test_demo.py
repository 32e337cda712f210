"""``nester demo``: the shipped example in one command."""

import json
import os
from pathlib import Path
from typing import Any

import pytest

from nester.cli import demo as demo_module
from nester.verify import verify_text
from tests.nester.cli.conftest import Run


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stop the example's planning early."""
    monkeypatch.setattr(demo_module, "SECONDS", 0.0)


def test_demo_writes_plans_and_draws(quick: None, run: Run, home: Path) -> None:
    """The folder gets the files, a rack, a plan that holds and a drawing for each piece cut."""
    result = run("demo", "try")
    assert result.exit_code == 0, result.stderr
    folder = home / "try"
    text = (folder / "plan.json").read_text(encoding="utf-8")
    assert verify_text(text) == []
    plan: dict[str, Any] = json.loads(text)
    assert plan["missing"] == []
    drawings = list((folder / "drawings").glob("*.svg"))
    assert len(drawings) >= len(plan["layouts"]) > 5
    assert "Hall cabinet: 47 of 47 blanks" in result.stdout
    listed = run("stock", "list", "--rack", folder / "rack.db", "--json")
    assert listed.exit_code == 0
    assert run("check", folder / "project.toml", "--rack", folder / "rack.db").exit_code == 0


def test_demo_again_and_beside_other_work(quick: None, run: Run, home: Path) -> None:
    """It can be run again; a project of one's own in that folder is not written over."""
    assert run("demo", "try", "--quiet").output == ""
    assert run("demo", "try", "--quiet").exit_code == 0
    mine = home / "try" / "project.toml"
    mine.write_text("[project]\n")
    result = run("demo", "try")
    assert result.exit_code == 1
    assert 'project.toml" is there already and is not the example' in result.stderr
    assert mine.read_text() == "[project]\n"


def test_demo_in_a_file_is_refused(run: Run) -> None:
    """A folder that is a file cannot be used."""
    result = run("demo", "project.toml")
    assert (result.exit_code, result.stdout) == (1, "")
    assert 'into the folder "project.toml": "project.toml" is no folder' in result.stderr


def test_demo_without_room_writes_nothing(run: Run, home: Path) -> None:
    """Where the disk has no room for it all, or a name is taken, nothing of the example is left."""

    def full(number: int) -> None:
        if os.fstat(number).st_size > 100_000:
            raise OSError(28, "No space left on device")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("os.fsync", full)
        result = run("demo", "new/try")
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr == (
        'nester: cannot write into the folder "new/try": no space left on device\n'
    )
    assert not (home / "new").exists()
    taken = home / "taken"
    taken.mkdir()
    (taken / "drawings").write_text("mine")
    result = run("demo", "taken")
    assert "is no folder" in result.stderr
    (taken / "drawings").unlink()
    (taken / "plan.json").mkdir()
    result = run("demo", "taken")
    assert "it is a folder; name a file in it" in result.stderr
    assert [path.name for path in taken.iterdir()] == ["plan.json"]
