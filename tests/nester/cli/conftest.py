"""A folder of its own for each command, and nothing of this machine's rack and shop."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from nester.cli.main import cli

PROJECT = """\
[project]
name = "Plinth"

[[part]]
name = "plinth front"
length = "38"
width = "3 1/2"
thickness = "3/4"
material = "maple"
"""

STOCK = """\
[[board]]
id = "M-1"
species = "maple"
length = 60
width = 6
thickness = 1
ends = "square"
edges = "straight"
price = 10
"""

Run = Callable[..., Result]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with project.toml and stock.toml in it, to work in."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / "own" / name))
    for name in ("NESTER_RACK", "NESTER_SHOP"):
        monkeypatch.delenv(name, raising=False)
    folder = tmp_path / "work"
    folder.mkdir()
    (folder / "project.toml").write_text(PROJECT, encoding="utf-8")
    (folder / "stock.toml").write_text(STOCK, encoding="utf-8")
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def run(home: Path) -> Run:
    """Run a command line in that folder."""

    def call(*arguments: str | Path) -> Result:
        return CliRunner().invoke(cli, [str(argument) for argument in arguments])

    return call
