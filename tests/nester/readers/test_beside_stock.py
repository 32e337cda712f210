"""What shows only beside the stock, and what is not planned yet."""

from pathlib import Path

import pytest

from inventory.issue import Severity
from inventory.length import INCH
from inventory.stock import Board, Sheet
from nester.readers.not_planned import PART_FEATURES, not_planned_yet
from nester.readers.project import Reading, read_with_faults
from nester.readers.stock_ids import check_against_stock

STOCK = (
    Board("W-1", "Walnut", 96 * INCH, 8 * INCH, 8 * INCH, INCH, INCH),
    Sheet("BP18", "birch plywood", 96 * INCH, 48 * INCH, 3 * INCH // 4, 3 * INCH // 4),
)
PART = """\
[[part]]
name = "shelf"
length = 30
width = 8
thickness = "3/4"
material = "walnut"
"""


def reading(folder: Path, more: str) -> Reading:
    path = folder / "project.toml"
    path.write_text(PART + more, encoding="utf-8")
    found = read_with_faults(path)
    assert found.project is not None
    return found


def test_stock_that_is_there_is_no_issue(tmp_path: Path) -> None:
    """Ids that exist and are of the part's material pass; case does not matter in a material."""
    found = reading(tmp_path, 'from = ["W-1"]\nnot_from = ["BP18"]\n')
    assert check_against_stock(found.project, STOCK, found.places) == []


@pytest.mark.parametrize(
    ("more", "line", "value", "accepted"),
    [
        ('from = ["W-11"]\n', 7, "W-11", '"W-1" is the nearest id in the stock'),
        ('note = ""\nnot_from = ["Q"]\n', 8, "Q", "the id of a board or sheet in the stock"),
    ],
)
def test_unknown_stock_id(tmp_path: Path, more: str, line: int, value: str, accepted: str) -> None:
    """An id that is not in the stock is an error at its own line, the nearest id named."""
    found = reading(tmp_path, more)
    (issue,) = check_against_stock(found.project, STOCK, found.places)
    assert (issue.code, issue.severity) == ("unknown-stock", Severity.ERROR)
    assert (issue.source.line, issue.value, issue.subject) == (line, value, "shelf")
    assert issue.accepted == accepted


def test_unknown_id_beside_an_empty_rack(tmp_path: Path) -> None:
    """With no stock at all the message says so; without places it names the part's line."""
    found = reading(tmp_path, 'from = ["W-1"]\n')
    (issue,) = check_against_stock(found.project, ())
    assert (issue.source.line, issue.accepted) == (1, "no ids; the stock is empty")


def test_stock_of_another_material_is_a_caution(tmp_path: Path) -> None:
    """A part that asks for a sheet by its id but for another material will not get it."""
    found = reading(tmp_path, 'from = ["W-1", "BP18"]\n')
    (issue,) = check_against_stock(found.project, STOCK, found.places)
    assert (issue.code, issue.severity) == ("from-other-material", Severity.CAUTION)
    assert (issue.value, issue.accepted) == ("BP18", "walnut")


def test_plain_project_is_planned(tmp_path: Path) -> None:
    """A project of plain and shaped parts uses nothing that is not planned yet."""
    cutaway = "cutaway = [{outline = [[0, 0], [1, 0], [0, 1]]}]\n"
    found = reading(tmp_path, 'held = "free"\nresaw = false\n' + cutaway)
    assert not_planned_yet(found.project, found.places) == []


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ('laminate = {plies = 2, per_face = "1/16"}\n', "laminate"),
        ('edging = {thickness = "1/4", edges = ["near"]}\n', "edging"),
        ("resaw = true\n", "resaw"),
        ('held = "middle"\n', "held"),
    ],
)
def test_what_is_not_planned_yet_is_said(tmp_path: Path, more: str, key: str) -> None:
    """Each key that the planner does not plan gives one error at its line, never a wrong plan."""
    found = reading(tmp_path, more)
    assert not found.faulty
    (issue,) = not_planned_yet(found.project, found.places)
    assert (issue.code, issue.severity) == ("not-planned-yet", Severity.ERROR)
    assert (issue.source.line, issue.subject, issue.value) == (7, "shelf", key)
    assert issue.message == f"{key} is not planned yet"
    assert issue.accepted


def test_matches_and_panels_are_planned(tmp_path: Path) -> None:
    """Parts that belong together or may be glued up are not refused."""
    found = reading(
        tmp_path,
        "count = 2\nglue_up = {strips = [2, 6]}\n"
        '\n[[match]]\nname = "pair"\nhow = "same board"\nparts = ["shelf", "shelf"]\n',
    )
    assert not found.faulty
    assert not_planned_yet(found.project, found.places) == []


def test_every_feature_stands_for_a_key_of_a_part() -> None:
    """The table of features names keys of the part table, each once."""
    from nester.readers.part import PART_KEYS

    keys = [feature.key for feature in PART_FEATURES]
    assert len(set(keys)) == len(keys)
    assert set(keys) <= set(PART_KEYS)
