"""``nester verify``, ``show`` and ``draw``: the commands that read a plan."""

import json
import os
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import Result

from tests.nester.cli.conftest import PROJECT, STOCK, Run


@pytest.fixture
def plan(run: Run, home: Path) -> Path:
    """A plan of the plinth."""
    assert run("plan", "project.toml", "--stock", "stock.toml", "--seconds", "0").exit_code == 0
    return home / "plan.json"


def damaged(plan: Path, **changes: Any) -> None:
    document = json.loads(plan.read_text(encoding="utf-8"))
    plan.write_text(json.dumps({**document, **changes}), encoding="utf-8")


def test_verify_says_that_a_plan_holds(run: Run, plan: Path) -> None:
    """A good plan is told in one line, as data with --json, and not at all with --quiet."""
    assert run("verify", "plan.json").output == "plan.json: the plan holds\n"
    assert json.loads(run("verify", "plan.json", "--json").stdout) == {
        "plan": "plan.json",
        "holds": True,
        "faults": [],
    }
    result = run("verify", "plan.json", "--quiet")
    assert (result.exit_code, result.output) == (0, "")


def test_verify_names_every_fault(run: Run, plan: Path) -> None:
    """A plan with two wrong figures has both named, and ends with 1."""
    damaged(plan, cost=1, gap=3)
    result = run("verify", "plan.json")
    assert (result.exit_code, result.stdout) == (1, "")
    told = result.stderr.splitlines()
    assert len(told) >= 3
    assert all(line.startswith("plan.json: ") for line in told[:-1])
    assert told[-1].endswith("faults; the plan does not hold")
    faults = json.loads(run("verify", "plan.json", "--json").stdout)["faults"]
    assert len(faults) == len(told) - 1
    assert {"code", "message", "place", "value"} == set(faults[0])


@pytest.mark.parametrize("command", ["verify", "show", "draw"])
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the file is empty"),
        (b"{", "not a JSON document"),
        (b"[]", "plan"),
        (b'{"format": "nester-plan 9"}', "nester-plan"),
        (b"\xff\xfe\x00", "UTF"),
        (b"[" * 100_000, "nested too deep"),
        (None, "no such file"),
    ],
)
def test_file_that_is_no_plan(
    run: Run, home: Path, command: str, content: bytes | None, words: str
) -> None:
    """What is no plan is told in a line or more, never in a traceback, and nothing is drawn."""
    if content is not None:
        (home / "plan.json").write_bytes(content)
    result = run(command, "plan.json")
    assert (result.exit_code, result.stdout) == (1, "")
    assert words in result.stderr
    assert result.stderr.startswith("plan.json: ")
    assert "fault of the program" not in result.stderr
    assert not (home / "drawings").exists()


@pytest.mark.parametrize("command", ["show", "draw"])
def test_plan_that_does_not_hold_is_not_used(run: Run, plan: Path, command: str) -> None:
    """No wood is cut by a plan that breaks a rule: it is neither shown nor drawn."""
    damaged(plan, cost=1)
    result = run(command, "plan.json")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "the plan does not hold and is not used" in result.stderr


def test_show(run: Run, plan: Path) -> None:
    """The whole plan, the outcome alone with --quiet, or the outcome as data."""
    text = run("show", "plan.json").stdout
    assert "1. M-1: maple, 60 × 6, 1 thick" in text
    assert run("show", "plan.json", "--quiet").stdout == "\n".join(text.splitlines()[:2]) + "\n"
    assert json.loads(run("show", "plan.json", "--json").stdout)["stock"] == ["M-1-1"]


def test_draw(run: Run, plan: Path, home: Path) -> None:
    """One drawing for each piece of stock, in a folder that is made where it is missing."""
    result = run("draw", "plan.json", "-o", "deep/down")
    assert (result.exit_code, result.output) == (0, '1 drawing in "deep/down"\n')
    drawing = home / "deep" / "down" / "M-1-1.svg"
    assert ElementTree.parse(drawing).getroot().get("width") == "279.4mm"
    listed = json.loads(run("draw", "plan.json", "--paper", "a4", "--json").stdout)
    drawings = ["drawings/M-1-1.svg"]
    assert listed == {"plan": "plan.json", "drawings": drawings, "removed": []}
    root = ElementTree.parse(home / "drawings" / "M-1-1.svg").getroot()
    assert root.get("width") == "297mm"


def test_draw_into_a_file_is_refused(run: Run, plan: Path) -> None:
    """A folder that is a file cannot be drawn into."""
    result = run("draw", "plan.json", "-o", "project.toml")
    assert result.exit_code == 1
    assert 'into the folder "project.toml": "project.toml" is no folder' in result.stderr


def test_draw_asks_for_the_folder_before_the_plan(run: Run, home: Path) -> None:
    """Where nothing can be drawn into the folder, that is told first, and no folder is made."""
    result = run("draw", "no-plan.json", "-o", "project.toml/drawings")
    assert result.exit_code == 1
    assert result.stderr.startswith('nester: cannot write into the folder "project.toml/drawings"')
    assert run("draw", "no-plan.json", "-o", "new").exit_code == 1
    assert not (home / "new").exists()


WILD = {
    "quotes": "\"'`",
    "markup": "<script>alert(1)</script>&amp;]]>",
    "parents": "../../../tmp/out",
    "root": "/etc/passwd",
    "windows": "C:\\con",
    "right-to-left": "لوح 7",
    "wide": "楓の板",
    "long": "x" * 60,
}


def planned(run: Run, home: Path, stock_id: str, name: str) -> Result:
    quoted = {text: json.dumps(text, ensure_ascii=False) for text in (stock_id, name)}
    (home / "stock.toml").write_text(STOCK.replace('"M-1"', quoted[stock_id]), encoding="utf-8")
    (home / "project.toml").write_text(
        PROJECT.replace('"plinth front"', quoted[name]).replace('"Plinth"', quoted[name]),
        encoding="utf-8",
    )
    return run("plan", "project.toml", "--stock", "stock.toml", "--seconds", "0")


@pytest.mark.parametrize("text", WILD.values(), ids=WILD.keys())
def test_wild_names_leave_no_folder_and_break_no_drawing(run: Run, home: Path, text: str) -> None:
    """Whatever ids and names hold, all that is drawn stays in its folder and can be read."""
    assert planned(run, home, text, text).exit_code == 0
    before = {path for path in home.parent.rglob("*") if "own" not in path.parts}
    assert run("show", "plan.json").exit_code == 0
    assert run("draw", "plan.json", "-o", "drawings").exit_code == 0
    after = {path for path in home.parent.rglob("*") if "own" not in path.parts}
    (drawing,) = [path for path in after - before if path.suffix == ".svg"]
    assert drawing.parent == home / "drawings"
    assert after - before == {home / "drawings", drawing}
    found = "".join(ElementTree.parse(drawing).getroot().itertext())
    assert "<script>" not in drawing.read_text(encoding="utf-8")
    assert text[:8] in found


@pytest.mark.parametrize("name", ["a\u202eb", "a\nb", "x" * 10_000])
def test_names_that_cannot_be_told_are_refused(run: Run, home: Path, name: str) -> None:
    """Turned text, line breaks and 10,000 letters are one short line each, and no plan."""
    result = planned(run, home, "M-1", name)
    assert result.exit_code == 1
    assert len(result.stderr.splitlines()) == 3  # the project's name, the part's, the outcome
    assert max(map(len, result.stderr.splitlines())) < 400
    assert not (home / "plan.json").exists()


def test_draw_removes_the_sheets_of_the_plan_before(run: Run, plan: Path, home: Path) -> None:
    """Drawn again after the board was swapped, the old board's sheet is gone, in so many words."""
    assert run("draw", "plan.json").exit_code == 0
    stock = (home / "stock.toml").read_text(encoding="utf-8").replace("M-1", "M-2")
    (home / "stock.toml").write_text(stock, encoding="utf-8")
    assert run("plan", "project.toml", "--stock", "stock.toml", "--seconds", "0").exit_code == 0
    result = run("draw", "plan.json")
    assert result.stdout.splitlines() == [
        '1 drawing in "drawings"',
        'removed 1 old drawing, no longer in the plan: "M-1-1.svg"',
    ]
    assert [path.name for path in (home / "drawings").iterdir()] == ["M-2-1.svg"]


def test_draw_tells_of_another_project_in_the_folder(run: Run, plan: Path, home: Path) -> None:
    """The sheets of another project stay, and are told with --quiet too."""
    assert run("draw", "plan.json").exit_code == 0
    document = json.loads((home / "plan.json").read_text(encoding="utf-8"))
    text = (home / "project.toml").read_text(encoding="utf-8").replace("Plinth", "Stool")
    (home / "project.toml").write_text(text, encoding="utf-8")
    stock = (home / "stock.toml").read_text(encoding="utf-8").replace("M-1", "M-2")
    (home / "stock.toml").write_text(stock, encoding="utf-8")
    assert document["project"]["name"] == "Plinth"
    assert run("plan", "project.toml", "--stock", "stock.toml", "--seconds", "0").exit_code == 0
    result = run("draw", "plan.json", "--quiet")
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == (
        'in the same folder, left as it is: "M-1-1.svg" (of another project)\n'
    )


def test_draw_on_a_full_disk_leaves_no_folder(
    run: Run, plan: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder made for drawings that could not be written goes again; one that was there stays."""

    def full(number: int) -> None:
        if os.fstat(number).st_size > 1000:
            raise OSError(28, "No space left on device")

    (home / "there").mkdir()
    monkeypatch.setattr("inventory.files.os.fsync", full)
    for folder in ("new/drawings", "there"):
        result = run("draw", "plan.json", "-o", folder)
        assert result.exit_code == 1
        assert "no space left on device; nothing was written" in result.stderr
    assert not (home / "new").exists()
    assert list((home / "there").iterdir()) == []


def test_no_damage_to_a_plan_ends_in_an_exception(plan: Path) -> None:
    """Whatever stands in the place of a value, faults are told, or the plan can be shown."""
    from nester.plan import parse_plan
    from nester.show import plan_text
    from nester.verify import verify_text

    whole = json.loads(plan.read_text(encoding="utf-8"))
    places = [place for place in _places(whole, ()) if place]
    assert len(places) > 150
    for place in places:
        for value in (None, -1, 10**30, "<script>", "\u202e" + "x" * 10_000, []):
            document = json.loads(plan.read_text(encoding="utf-8"))
            inner = document
            for key in place[:-1]:
                inner = inner[key]
            inner[place[-1]] = value
            text = json.dumps(document)
            faults = verify_text(text)
            read, issues = parse_plan(text)
            if not faults and not issues:
                assert read is not None
                assert plan_text(read)


def _places(value: Any, place: tuple[Any, ...]) -> list[tuple[Any, ...]]:
    """Return where every value of a document stands."""
    inner: list[tuple[Any, Any]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    return [place, *(found for key, part in inner for found in _places(part, (*place, key)))]
