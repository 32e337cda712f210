"""Part lists as spreadsheets write them: CSV and XLSX."""

from pathlib import Path
from typing import Any

import pytest

from inventory.issue import Issue
from inventory.length import INCH, MM
from inventory.stock import FlawKind
from nester.model import Arch, GlueUp, Grain, Project, System
from nester.readers.project import read_project

HEAD = "name,count,length,width,thickness,material\n"


def listed(folder: Path, text: str, name: str = "parts.csv") -> Project:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    project, issues = read_project(path)
    assert project is not None, [issue.line() for issue in issues]
    return project


def faults(folder: Path, text: str) -> list[Issue]:
    path = folder / "parts.csv"
    path.write_text(text, encoding="utf-8")
    project, issues = read_project(path)
    assert project is None
    return issues


def workbook(folder: Path, rows: list[list[Any]]) -> Path:
    import openpyxl

    book = openpyxl.Workbook()
    book.active.title = "Cut list"
    for row in rows:
        book.active.append(row)
    path = folder / "hall seat.xlsx"
    book.save(path)
    return path


def test_plain_list_is_in_inches(tmp_path: Path) -> None:
    """A list without a word on units is in inches, with the shop's inch defaults."""
    project = listed(tmp_path, HEAD + 'side,2,"23 3/8""",14,4/4,"walnut, cherry"\n', "case.csv")
    (part,) = project.parts
    assert (project.name, project.units, project.shop.system) == (
        "case",
        System.INCH,
        System.INCH,
    )
    assert (part.count, part.length, part.thickness) == (2, 23 * INCH + 3 * INCH // 8, INCH)
    assert part.materials == ("walnut", "cherry")
    assert part.thickness_as_written == "4/4"
    assert part.source.line == 2
    assert len(project.sha256) == 64


def test_semicolons_decimal_commas_and_millimetres(tmp_path: Path) -> None:
    """A continental spreadsheet: semicolons, decimal commas, a column with the units."""
    project = listed(
        tmp_path,
        "\ufeffName;Units;Length;Width;Thickness;Material;Blank extra length\n"
        "Seite;mm;594,5;300;19;Esche;30\n"
        "Boden;;594,5;300;19;Esche;\n",
    )
    assert project.units is System.METRIC
    assert project.shop.grid == MM // 2
    first, second = project.parts
    assert (first.length, first.blank_extra_length) == (1189 * MM // 2, 30 * MM)
    assert (second.length, second.blank_extra_length) == (first.length, None)


def test_every_kind_of_cell(tmp_path: Path) -> None:
    """Lists, flags and tables have their way of being written in a cell."""
    project = listed(
        tmp_path,
        "name\tlength\twidth\tthickness\tmaterial\tgrain\tallow\tfrom\t"
        "pulled flat\tglue_up\tcutaway\n"
        'rail\t30\t3\t3/4\toak\tany\tsapwood; stain\tO-1; O-2\tyes\t{strips = ["1", "2"]}\t'
        '[{arch = {edge = "near", start = 2, span = 10, rise = 1}}]\n',
        "rails.tsv",
    )
    (part,) = project.parts
    assert part.grain is Grain.ANY
    assert part.allow == {FlawKind.SAPWOOD, FlawKind.STAIN}
    assert (part.from_stock, part.pulled_flat) == (("O-1", "O-2"), True)
    assert part.glue_up == GlueUp(INCH, 2 * INCH, INCH // 8, 8)
    assert part.cutaways == (Arch("near", 2 * INCH, 10 * INCH, INCH),)


def test_workbook_with_numbers_and_texts(tmp_path: Path) -> None:
    """A workbook's numbers and texts both count; a fault names sheet and cell."""
    rows = [
        ["name", "count", "length", "width", "thickness", "material"],
        ["side", 2, 23.375, "14", "3/4", "walnut"],
    ]
    project, issues = read_project(workbook(tmp_path, rows))
    assert (project.name, issues) == ("hall seat", [])
    assert project.parts[0].length == 23 * INCH + 3 * INCH // 8
    rows[1][2] = "-1"
    project, (issue,) = read_project(workbook(tmp_path, rows))
    assert project is None
    assert (issue.code, issue.value) == ("negative", "-1")
    assert issue.line().startswith(f"{tmp_path / 'hall seat.xlsx'}:Cut list!C2: ")


@pytest.mark.parametrize(
    ("text", "code", "line", "value", "accepted"),
    [
        ("name,length,width,material\na,1,1,oak\n", "missing-column", 1, None, '"thickness"'),
        ("nmae,length,width,thickness,material\n", "unknown-key", 1, "nmae", '"name"'),
        (HEAD + "a,x,1,1,1,oak\n", "wrong-type", 2, "x", "a whole number"),
        (HEAD + "a,1,1,1,1,oak\na,1,1,1,1,oak\n", "duplicate-name", 3, "a", "a name of its own"),
        (HEAD + "a,1,1,1,,oak\n", "missing-key", 2, None, "a length"),
        (HEAD + "a,1,1,1,1,\n", "missing-key", 2, None, "a species"),
        (HEAD + "a,1,1,1,1,oak,2\n", "stray-cell", 2, "2", "as many cells"),
        (HEAD, "no-parts", None, None, "a row for each part"),
        ("units," + HEAD + "cm,a,1,1,1,1,oak\n", "unknown-unit", 2, "cm", '"in", "mm"'),
        (
            "units," + HEAD + "in,a,1,1,1,1,oak\nmm,b,1,1,1,1,oak\n",
            "mixed-units",
            3,
            "mm",
            '"in", as above',
        ),
        (HEAD + "a,100000000,1,1,1,oak\n", "out-of-range", 2, "100000000", "1 to 20,000"),
    ],
)
def test_each_mistake_gives_one_clear_line(
    tmp_path: Path, text: str, code: str, line: int | None, value: str | None, accepted: str
) -> None:
    """A mistake in a list is named with its line, the value and what would be accepted."""
    (issue,) = [issue for issue in faults(tmp_path, text) if issue.code == code]
    assert (issue.source.file, issue.source.line) == (str(tmp_path / "parts.csv"), line)
    assert value is None or issue.value == value
    assert accepted in issue.accepted


def test_missing_column_is_told_once(tmp_path: Path) -> None:
    """A column that is not there is one fault, not one for each of its rows."""
    issues = faults(tmp_path, "name,length,width,thickness\na,1,1,1\nb,1,1,1\n")
    assert [issue.code for issue in issues] == ["missing-column"]
