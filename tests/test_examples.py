"""Every file in ``examples/`` plans clean, and the shipped example is the one shown there."""

import json
import os
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "examples"
FILES = sorted(path for path in EXAMPLES.glob("*/*") if path.name != "README.md")
STOCK = [path for path in FILES if path.name.startswith("stock.") and ".flaws" not in path.name]
FLAWS = [path for path in FILES if path.name.startswith("stock.flaws.")]
PROJECTS = [path for path in FILES if path not in (*STOCK, *FLAWS)]


def nester(*arguments: str | Path, home: Path) -> subprocess.CompletedProcess[str]:
    """Run the program as a maker would, with nothing of this machine's own rack and shop."""
    return subprocess.run(
        [sys.executable, "-m", "nester", *map(str, arguments)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
        env={
            **_environment(),
            "XDG_DATA_HOME": str(home),
            "XDG_CONFIG_HOME": str(home),
            "COLUMNS": "100",
            "PYTHONUTF8": "1",
        },
    )


def _environment() -> dict[str, str]:

    return {name: value for name, value in os.environ.items() if not name.startswith("NESTER_")}


def stock_beside(project: Path) -> Path:
    """Return the one stock file in the project's folder."""
    (stock,) = [path for path in STOCK if path.parent == project.parent]
    return stock


@pytest.fixture(scope="module")
def planned(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Path]:
    """A project of the examples and its plan, planned once for all tests of it."""
    project: Path = request.param
    folder = tmp_path_factory.mktemp(project.parent.name)
    plan = folder / "plan.json"
    done = nester(
        "plan",
        project,
        *("--stock", stock_beside(project)),
        *("--seconds", "3"),
        *("-o", plan),
        home=folder,
    )
    assert done.returncode == 0, done.stderr
    return project, plan


def ids(path: Path) -> str:
    return str(path.relative_to(EXAMPLES))


every_project = pytest.mark.parametrize("planned", PROJECTS, indirect=True, ids=ids)


def test_every_folder_is_whole() -> None:
    """Each example is a folder with its story, one stock file and one project or more."""
    folders = {path for path in EXAMPLES.iterdir() if path.is_dir()}
    assert len(folders) >= 2
    assert folders == {path.parent for path in PROJECTS} == {path.parent for path in STOCK}
    assert len(STOCK) == len(folders)
    assert all((folder / "README.md").exists() for folder in (EXAMPLES, *folders))
    assert {path for path in EXAMPLES.rglob("*") if path.is_file()} == {
        *FILES,
        *(folder / "README.md" for folder in (EXAMPLES, *folders)),
    }


@pytest.mark.parametrize("name", ["project.toml", "stock.toml"])
def test_the_shipped_example_is_the_one_shown(name: str) -> None:
    """What ``nester demo`` writes is what ``examples/hall-cabinet`` shows, to the byte."""
    shipped = files("nester").joinpath("data", "demo", name).read_bytes()
    assert shipped == (EXAMPLES / "hall-cabinet" / name).read_bytes()


@pytest.mark.parametrize("project", PROJECTS, ids=ids)
def test_every_example_checks_clean(project: Path, tmp_path: Path) -> None:
    """Nothing in an example is an issue, before any planning."""
    done = nester("check", project, "--stock", stock_beside(project), home=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "fault" not in done.stderr


@every_project
def test_every_example_plans_clean(planned: tuple[Path, Path]) -> None:
    """Every part is planned, at a cost with a bound."""
    plan = json.loads(planned[1].read_text(encoding="utf-8"))
    assert plan["missing"] == []
    assert plan["status"] in {"optimal", "within gap", "feasible"}
    assert 0 < plan["bound"] <= plan["cost"]


@every_project
def test_every_example_verifies(planned: tuple[Path, Path], tmp_path: Path) -> None:
    """The independent checker finds no fault in the plan."""
    done = nester("verify", planned[1], home=tmp_path)
    assert done.returncode == 0, done.stderr


@every_project
def test_every_example_is_drawn_sheet_by_sheet(planned: tuple[Path, Path], tmp_path: Path) -> None:
    """There is one diagram for each board, sheet and panel that is cut, and it is not empty."""
    plan: dict[str, Any] = json.loads(planned[1].read_text(encoding="utf-8"))
    done = nester("draw", planned[1], "-o", tmp_path / "drawings", home=tmp_path)
    assert done.returncode == 0, done.stderr
    drawn = {path.stem for path in (tmp_path / "drawings").glob("*.svg") if path.stat().st_size}
    panels = {stem for stem in drawn if stem.startswith("panel-")}
    assert len(panels) == len(plan["panels"])
    boards = {stem for stem in drawn - panels if "-leaf-" not in stem}
    assert boards == {f"{layout['stock']}-{layout['copy']}" for layout in plan["layouts"]}


@every_project
def test_every_example_can_be_shown(planned: tuple[Path, Path], tmp_path: Path) -> None:
    """The plan in the terminal names every piece of stock that is cut."""
    plan: dict[str, Any] = json.loads(planned[1].read_text(encoding="utf-8"))
    done = nester("show", planned[1], home=tmp_path)
    assert done.returncode == 0, done.stderr
    assert [layout for layout in plan["layouts"] if layout["stock"] not in done.stdout] == []
