"""``nester check``."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.nester.cli.conftest import PROJECT, STOCK, Run

ROOT = Path(__file__).resolve().parents[3]


def test_report_of_a_clean_project(run: Run) -> None:
    """The blanks, what each board gives flat, and the wood against the stock are printed."""
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert (result.exit_code, result.stderr) == (0, "")
    lines = result.stdout.splitlines()
    assert lines[0] == "Plinth: 1 part, 1 blank; sizes in inches"
    assert "plinth front       1  38 × 3 1/2 × 3/4  39 × 3 3/4        1.02 bd ft of 4/4" in lines
    assert "M-1    60 × 6 × 1         59" in lines
    # 60 x 6 x 1 in is 2.5 board feet, $25 at $10; (6 x 5) / 12 = 2.5 is tallied as 3.
    assert "maple     boards     1.02 bd ft    2.50 bd ft     3 bd ft  25.00" in lines


def test_every_fault_and_caution_is_told_with_its_line(run: Run, home: Path) -> None:
    """File faults, unknown stock ids, what is not planned yet and what cannot work, at once."""
    text = PROJECT + 'not_from = ["M-2"]\nresaw = true\n' + PROJECT.split("\n\n")[1]
    text = text.replace("38", "70", 1) + 'colour = "red"\n'
    (home / "project.toml").write_text(text)
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert result.exit_code == 1
    told = result.stderr.splitlines()
    assert told[-1] == f"nester: {len(told) - 1} faults in what was read"
    starts = [line.partition(" ")[0] for line in told[:-1]]
    assert all(start.startswith("project.toml:") for start in starts)
    for line, words in (
        (
            10,
            '"plinth front": not_from: there is no such board or sheet (found "M-2")',
        ),
        (11, '"plinth front": resaw is not planned yet'),
        (13, 'two parts have this name (found "plinth front")'),
        (18, 'unknown key (found "colour")'),
        (4, "the blank is 71 long, and no maple that fits otherwise is"),
    ):
        assert any(said.startswith(f"project.toml:{line}: ") and words in said for said in told), (
            words
        )
    assert "blank on a board" in result.stdout


def test_metric_project_is_reported_in_metric(run: Run, home: Path) -> None:
    """Millimetres, cubic and square metres; no board foot and no yard's tally.

    The blank is 38 in + 25 mm by 3 1/2 in + 6 mm, 990.2 x 94.9, on the grid 990.5 x 95; in the
    board of 25.4 mm that is 0.00239 cubic metres, and the board, 1524 x 152.4, has 0.0059.
    """
    text = PROJECT.replace('"Plinth"', '"Plinth"\nunits = "mm"')
    for inch in ("38", "3 1/2", "3/4"):
        text = text.replace(f'"{inch}"', f'"{inch} in"')
    (home / "project.toml").write_text(text)
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert result.exit_code == 0, result.stderr
    assert "990.5 × 95 " in result.stdout
    assert "0.0024 m³" in result.stdout
    assert "0.0059 m³" in result.stdout
    assert "bd ft" not in result.stdout
    assert "tally" not in result.stdout


def test_without_a_rack_the_sizes_are_told(run: Run) -> None:
    """A newcomer without any stock gets the blanks, and is told that there is no stock."""
    result = run("check", "project.toml")
    assert result.exit_code == 0
    assert "blank on a board" in result.stdout
    assert "No rack yet and no stock file given" in result.stdout


def test_rack_is_used_where_there_is_one(run: Run) -> None:
    """The stock comes from the rack that is named."""
    assert run("stock", "load", "stock.toml", "--rack", "my.db").exit_code == 0
    result = run("check", "project.toml", "--rack", "my.db")
    assert result.exit_code == 0
    assert "Held against my.db." in result.stdout
    result = run("check", "project.toml", "--rack", "none.db")
    assert result.exit_code == 1
    assert 'there is no rack "none.db"' in result.stderr


def test_cautions_come_with_their_deference(run: Run, home: Path) -> None:
    """Where there are cautions, machine manuals and local rules are put before them."""
    assert "manuals" not in run("check", "project.toml", "--stock", "stock.toml").stdout
    (home / "project.toml").write_text(PROJECT.replace("3 1/2", "1"))
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert result.exit_code == 0
    assert 'project.toml: caution: "plinth front": ripped narrower than 3 in' in result.stderr
    assert "manuals of your machines" in result.stdout


def test_json_report(run: Run, home: Path) -> None:
    """The report as JSON has millimetres and issues; the faults stand on standard error as well."""
    (home / "project.toml").write_text(PROJECT + "resaw = true\n")
    result = run("check", "project.toml", "--stock", "stock.toml", "--json")
    assert result.exit_code == 1
    report = json.loads(result.stdout)
    (blank,) = report["blanks"]
    assert (blank["part"], blank["board"], blank["sheet"]) == ("plinth front", [990.6, 95.25], None)
    assert report["flat"][0]["boards"] == [{"id": "M-1", "longest": [1498.6]}]
    assert report["needs"][0]["yard_tally"] == 3
    (issue,) = report["issues"]
    assert (issue["code"], issue["line"], issue["severity"]) == ("not-planned-yet", 10, "error")
    assert "resaw is not planned yet" in result.stderr


def test_quiet_prints_faults_only(run: Run) -> None:
    """With --quiet a clean project says nothing."""
    result = run("check", "project.toml", "--stock", "stock.toml", "--quiet")
    assert (result.exit_code, result.output) == (0, "")


def test_shop_profile(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The profile is the one named, else NESTER_SHOP, else shop.toml in the user's own folder."""
    import platformdirs

    (home / "mine.toml").write_text("[shop]\nblank_extra_length = 2\n")
    (home / "other.toml").write_text("[shop]\nblank_extra_length = 3\n")
    assert "40 × 3 3/4" in run("check", "project.toml", "--shop", "mine.toml").stdout
    monkeypatch.setenv("NESTER_SHOP", "other.toml")
    assert "41 × 3 3/4" in run("check", "project.toml").stdout
    monkeypatch.delenv("NESTER_SHOP")
    own = Path(platformdirs.user_config_dir("nester", appauthor=False))
    own.mkdir(parents=True)
    (own / "shop.toml").write_text("[shop]\nblank_extra_length = 4\n")
    assert "42 × 3 3/4" in run("check", "project.toml").stdout
    result = run("check", "project.toml", "--shop", "none.toml")
    assert result.exit_code == 1
    assert result.stderr.startswith("none.toml: there is no such file")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("empty.toml", b"", "the file is empty"),
        ("binary.toml", b"\x00\xff", "binary file"),
        ("latin.toml", b"name = '\xfc'", "not UTF-8"),
        ("bad.toml", b"[project", "not TOML"),
        (".", None, "a directory"),
        ("none.toml", None, "no such file"),
        ("a\tb.toml", b"", "the file is empty"),
    ],
)
def test_file_that_is_no_project(
    run: Run, home: Path, name: str, content: bytes | None, words: str
) -> None:
    """One line for the file, one for the outcome, exit status 1, nothing else."""
    if content is not None:
        (home / name).write_bytes(content)
    result = run("check", name)
    assert (result.exit_code, result.stdout) == (1, "")
    fault, end = result.stderr.splitlines()
    assert words in fault
    assert end == "nester: 1 fault in what was read"


def test_spreadsheet_bomb_is_refused_unread(run: Run, home: Path) -> None:
    """A workbook of a few kilobytes that unpacks to gigabytes is refused in one line."""
    import zipfile

    name = "xl/worksheets/sheet1.xml"
    with (
        zipfile.ZipFile(home / "bomb.xlsx", "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open(name, "w", force_zip64=True) as member,
    ):
        for _ in range(64):
            member.write(bytes(1_000_000))
    result = run("check", "bomb.xlsx")
    assert result.exit_code == 1
    assert "unpacks to 64 MB" in result.stderr


def test_check_needs_no_solver(home: Path) -> None:
    """Checking loads none of the libraries that planning needs, so that it is quick."""
    heavy = ("numpy", "pulp", "highspy", "numba", "rectpack", "rich", "svgwrite", "nester.solve")
    code = (
        "import sys\nfrom nester.cli.main import cli\n"
        "try:\n    cli.main(['check', 'project.toml', '--stock', 'stock.toml'])\n"
        "except SystemExit as end:\n    assert end.code == 0, end.code\n"
        f"print([name for name in {heavy!r} if name in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        cwd=home,
        env={"PYTHONPATH": str(ROOT), "HOME": str(home), "PYTHONUTF8": "1"},
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize("content", [None, "", "[[board]\n", "[[board]]\nid = 3\n"])
def test_a_stock_file_with_faults_is_all_that_is_told(
    run: Run, home: Path, content: str | None
) -> None:
    """What cannot be read is not also said to hold no maple; the blanks are sized all the same."""
    stock = home / "stock.toml"
    stock.unlink() if content is None else stock.write_text(content)
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert result.exit_code == 1
    *told, last = result.stderr.splitlines()
    assert told
    assert all(line.startswith("stock.toml") for line in told)
    assert last == f"nester: {len(told)} fault{'s' * (len(told) > 1)} in what was read"
    assert "39 × 3 3/4" in result.stdout
    assert '"stock.toml" has faults, so this is held against nothing.' in result.stdout


def test_blanks_on_s4s_boards_stand_beside_the_others(run: Run, home: Path) -> None:
    """S4S needs no jointing, so its blank is narrower; check and the reason both say so."""
    dressed = STOCK.replace("M-1", "M-2") + 'surface = "S4S"\n'
    (home / "stock.toml").write_text(STOCK + dressed)
    result = run("check", "project.toml", "--stock", "stock.toml")
    assert "  39 × 3 3/4, 39 × 3 1/2 on S4S  " in result.stdout
    (home / "stock.toml").write_text(dressed)
    assert "  39 × 3 1/2 on S4S  " in run("check", "project.toml", "--stock", "stock.toml").stdout
    (home / "project.toml").write_text(PROJECT.replace("3 1/2", "6 1/8"))
    told = run("check", "project.toml", "--stock", "stock.toml").stderr
    assert "the blank is 6 1/8 wide on S4S, and no maple that fits otherwise is" in told
    (home / "project.toml").write_text(PROJECT + "blank_extra_width = 1\n")
    assert "  39 × 4 1/2  " in run("check", "project.toml", "--stock", "stock.toml").stdout


def test_a_board_that_is_not_there_is_told_once(run: Run, home: Path) -> None:
    """A part from a board with a wrong id is not also said to be ruled out."""
    (home / "project.toml").write_text(PROJECT + 'from = ["M-11"]\n')
    told = run("check", "project.toml", "--stock", "stock.toml").stderr.splitlines()
    assert told == [
        'project.toml:10: "plinth front": from: there is no such board or sheet (found "M-11"); '
        'accepted: "M-1" is the nearest id in the stock',
        "nester: 1 fault in what was read",
    ]


def test_a_part_without_material_is_told_once(run: Run, home: Path) -> None:
    """What is not said to be of any wood is not also said not to be in the stock."""
    (home / "project.toml").write_text(PROJECT.replace('material = "maple"\n', ""))
    told = run("check", "project.toml", "--stock", "stock.toml").stderr.splitlines()
    assert len(told) == 2
    assert told[0].startswith('project.toml:4: "plinth front": material: it is missing; accepted: ')


@pytest.mark.parametrize("command", ["check", "plan"])
def test_a_rack_that_cannot_be_read_hides_no_fault(run: Run, home: Path, command: str) -> None:
    """The project's own faults are told with it, and the parts are not said to be wanting."""
    (home / "project.toml").write_text(PROJECT.replace("38", "38 furlong"))
    (home / "my.db").mkdir()
    told = run(command, "project.toml", "--rack", "my.db").stderr.splitlines()
    assert len(told) == 3
    assert told[0] == '"my.db" is a directory, not a rack'
    assert 'length: unknown unit "furlong"' in told[1]
    assert told[2].startswith("nester: 2 faults")
