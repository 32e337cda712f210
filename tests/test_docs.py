"""The documents say what the program does."""

import ast
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from inventory.parse import Units, parse_length
from nester import __version__
from nester.model import FirstCut, PlaneOff, Quality, Shop, System
from nester.plan.records import Status
from nester.shop_defaults import default_shop
from tests.reference import README, commands, reference, split

ROOT = README.parent
TEXT = README.read_text(encoding="utf-8")
DOCUMENTS = sorted(
    [*ROOT.glob("*.md"), *(ROOT / "examples").rglob("*.md")], key=lambda path: path.as_posix()
)
SOURCES = sorted(path for part in ("inventory", "nester") for path in (ROOT / part).rglob("*.py"))
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(language: str, text: str = TEXT) -> list[str]:
    """Return the fenced blocks of a language, in order."""
    return [body for name, body in BLOCK.findall(text) if name == language]


def section(title: str) -> str:
    """Return the README from a heading to the next of the same level or above."""
    masked = BLOCK.sub(lambda match: "x" * len(match[0]), TEXT)  # a comment is no heading
    start = masked.index(f"\n{title}\n") + len(title) + 2
    end = re.compile(rf"^#{{1,{len(title.split()[0])}}} ", re.MULTILINE).search(masked, start)
    return TEXT[start : end.start() if end else len(TEXT)]


# --- set-up -----------------------------------------------------------------------------------


def test_the_readme_opens_with_two_commands_of_one_line() -> None:
    """One line installs and runs the example, one installs and runs the tests."""
    run, test = blocks("sh")[:2]
    assert run.count("\n") == test.count("\n") == 1
    assert all(command.startswith("python3 -m venv .venv && ") for command in (run, test))
    assert "nester demo" in run
    assert "pytest" in test
    assert TEXT.index(run) < TEXT.index(test) < TEXT.index("\n## ")


def test_the_package_names_every_licence_in_it() -> None:
    """Program and fonts each have their licence, in the package's own data as in the README."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["license"] == "MIT AND OFL-1.1"
    words = {"MIT License": "LICENSE", "SIL Open Font License": "nester/draw/fonts/OFL.txt"}
    assert sorted(words.values()) == sorted(project["license-files"])
    for name, path in words.items():
        assert name in (ROOT / path).read_text(encoding="utf-8", errors="replace")
        assert f"]({path})" in section("## Licence")


def test_the_changelog_knows_this_version() -> None:
    """The version is in the changelog, and each of its lines says what kind of change it is."""
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert f"\n## {__version__}" in text
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == __version__
    lines = [line for line in text.splitlines() if line.startswith("- ")]
    assert lines
    assert [line for line in lines if not re.match(r"- (NEW|CHANGE|FIX) ", line)] == []


def test_every_dependency_is_explained() -> None:
    """The developers' guide says why each package is there."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    extras = project["optional-dependencies"].values()
    wanted = [*project["dependencies"], *(want for extra in extras for want in extra)]
    names = [re.split(r"[<>=!~ \[]", want)[0] for want in wanted]
    assert [name for name in names if f"`{name}`" not in guide] == []


def test_every_dependency_is_used() -> None:
    """No package is installed that nothing imports."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = [re.split(r"[<>=!~ \[]", want)[0] for want in project["dependencies"]]
    text = "".join(path.read_text(encoding="utf-8") for path in SOURCES)
    unused = [name for name in names if not re.search(rf"^\s*(import|from) {name}\b", text, re.M)]
    assert unused == []


# --- commands ---------------------------------------------------------------------------------


def test_the_command_reference_is_fresh() -> None:
    """The reference is what ``--help`` prints; ``python -m tests.reference`` renews it."""
    assert split(TEXT)[1] == reference()


def examples_of(path: str) -> list[str]:
    """Return the lines of the manual that call a command."""
    lines = "".join(blocks("sh")).splitlines()
    return [line for line in lines if re.search(rf"(^|[ /]){path} ", line + " ")]


@pytest.mark.parametrize("path", [path for path, *_ in commands() if path != "nester"])
def test_every_command_has_help_and_an_example(path: str) -> None:
    """Each command says what it does, and the manual shows it at work."""
    (command,) = [command for name, command, _ in commands() if name == path]
    assert command.help
    assert examples_of(path), f"no example of {path} in README.md"
    assert f"\n### {path}" in section("## The commands") or path == "nester stock"


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_command_in_the_documents_exists(document: Path) -> None:
    """No line of a document calls a command or an option that is not there."""
    known = {path: command for path, command, _ in commands()}
    wrong = []
    for line in "".join(blocks("sh", document.read_text(encoding="utf-8"))).splitlines():
        words = shlex.split(line, comments=True)
        if not words or words[0] != "nester":
            continue
        path = " ".join(words[:3]) if " ".join(words[:2]) == "nester stock" else " ".join(words[:2])
        if path not in known:
            wrong.append(line)
            continue
        options = {name for option in known[path].params for name in option.opts}
        used = {word.split("=")[0] for word in words if word.startswith("-")}
        if used - options - {"--help"}:
            wrong.append(line)
    assert wrong == []


def tour_script() -> str:
    """Return the tour as one shell script: each file is written where the reader saves it."""
    script = ["set -e"]
    for language, body in BLOCK.findall(section("## Ten minutes")):
        if language == "sh":
            script.append(body)
        elif language == "toml":
            name = body.splitlines()[0].removeprefix("# ")
            script.append(f"cat > {name} <<'END OF FILE'\n{body}END OF FILE\n")
    return "\n".join(script)


SOON_PLANNED = "from nester.cli import main, plan; plan.SECONDS = 2.0; main.run()"
"""The program, but that it plans for no longer than this where the tour names no time."""


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash to type the tour into")
def test_the_ten_minutes_work_as_written(tmp_path: Path) -> None:
    """Whoever types the tour gets to the drawings, and leaves nothing outside its own folder."""
    checkout, own = tmp_path / "checkout", tmp_path / "own"
    (checkout / ".venv" / "bin").mkdir(parents=True)
    (checkout / "bin").mkdir()
    activate = f'PATH="{checkout / "bin"}:$PATH"\n'
    (checkout / ".venv" / "bin" / "activate").write_text(activate, encoding="utf-8")
    command = checkout / "bin" / "nester"
    program = f'"{sys.executable}" -c "{SOON_PLANNED}" "$@"'
    command.write_text(f"#!/bin/sh\nexec {program}\n", encoding="utf-8")
    command.chmod(0o755)
    environment = {key: value for key, value in os.environ.items() if "NESTER" not in key}
    for name in ("DATA", "CONFIG", "STATE"):
        environment[f"XDG_{name}_HOME"] = str(own)
    environment |= {"PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "COLUMNS": "80"}
    script = tour_script()
    assert script.count("nester ") >= 8
    done = subprocess.run(
        ["bash"],
        input=script,
        cwd=checkout,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    made = {path.name for path in checkout.iterdir()} - {".venv", "bin"}
    assert made == {"wall-shelf"}
    assert list((checkout / "wall-shelf" / "drawings").glob("*.svg"))
    assert not own.exists()
    # What does not rest on the search stands in the tour as it is printed.
    for block in blocks("text", section("## Ten minutes")):
        if not block.startswith(("Wall shelf: 4 of 4", "1. O-1")):
            assert block in done.stdout


# --- files ------------------------------------------------------------------------------------


def table(title: str, head: str) -> list[list[str]]:
    """Return the cells of the table with that first column name, in a section of the README."""
    lines = section(title).splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith(f"| {head} |"))
    rows = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def _shown_values(shop: Shop) -> dict[str, object]:
    kerf, off = shop.kerf, shop.plane_off
    values: dict[str, object] = {name: getattr(shop, name) for name in Shop.__slots__}
    values["kerf"] = {name: getattr(kerf, name) for name in type(kerf).__slots__}
    values["plane_off"] = {
        "rough": off.rough,
        "skip planed": off.skip_planed,
        "S2S": off.s2s,
        "S4S": off.s4s,
    }
    assert len(PlaneOff.__slots__) == 4
    return values


def _value(text: str, units: Units) -> object:
    """Return what a cell of the shop table stands for, lengths in 1/320 mm."""
    text = text.replace("`", "")
    if text.startswith("{"):
        pairs = [pair.strip().rsplit(" = ", 1) for pair in text.strip("{}").split(",")]
        return {name.strip('"'): _value(value, units) for name, value in pairs}
    if text.startswith("["):
        return tuple(_value(one, units) for one in text.strip("[]").split(","))
    if text in ("none", "false"):
        return None if text == "none" else False
    if text in {choice.value for choice in FirstCut}:
        return FirstCut(text)
    return parse_length(text.strip(), units, round_up=True)


UNITLESS = {"offcut_credit": Fraction(1, 2), "stages": 3, "sheet_stages": 4}


@pytest.mark.parametrize(("column", "system"), [(1, System.INCH), (2, System.METRIC)])
def test_the_shop_table_gives_the_defaults_that_are_used(column: int, system: System) -> None:
    """Every key of the shop is in the manual with the value that is taken where none is given."""
    rows = {row[0].strip("`"): row[column] for row in table("## The shop", "key")}
    shop = _shown_values(default_shop(system))
    assert set(rows) == set(shop) - {"system"}
    units: Units = "in" if system is System.INCH else "mm"
    for key, cell in rows.items():
        if key in UNITLESS:
            assert Fraction(cell) == shop[key] == UNITLESS[key], key
        else:
            assert _value(cell, units) == shop[key], key


def test_the_manual_names_every_status_and_quality() -> None:
    """The tables of statuses and qualities are those of the program, no more and no less."""
    statuses = {row[0].strip("`") for row in table("## What a good plan is", "status")}
    assert statuses == {status.value for status in Status}
    qualities = {row[0].strip('`"') for row in table("## The project file", "quality")}
    assert qualities == {quality.value for quality in Quality}


# --- house rules ------------------------------------------------------------------------------


def anchors(path: Path) -> set[str]:
    """Return the anchors that the headings of a Markdown file give."""
    text = BLOCK.sub("", path.read_text(encoding="utf-8"))
    titles = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_link_leads_somewhere(path: Path) -> None:
    """Links between the documents, and to files and headings, are not broken."""
    text = BLOCK.sub("", path.read_text(encoding="utf-8"))
    broken = []
    for link in re.findall(r"\]\(([^)]+)\)", text):
        target, _, anchor = link.partition("#")
        if "://" in target:
            continue
        file = path.parent / target if target else path
        if not file.exists() or (anchor and anchor not in anchors(file)):
            broken.append(link)
    assert broken == []


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_public_name_says_what_it_is(path: Path) -> None:
    """Modules, and their public classes and functions, have a docstring; no file is over-long."""
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 500
    tree = ast.parse(text)
    named = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef | ast.FunctionDef) and not node.name.startswith("_")
    ]
    nested = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        or (isinstance(node, ast.ClassDef) and node.name.startswith("_"))
        for inner in ast.walk(node)
        if inner is not node
    }
    bare = [node.name for node in named if node not in nested and not ast.get_docstring(node)]
    assert ast.get_docstring(tree), "the module has no docstring"
    assert bare == []
