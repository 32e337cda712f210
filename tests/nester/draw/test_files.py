"""A plan drawn into a folder."""

from dataclasses import replace
from fractions import Fraction

import pytest

from inventory.files import WriteError
from nester.draw import LETTER, draw_plan
from nester.draw.files import file_stem
from nester.model import System
from nester.plan import Plan, Status
from nester.shop_defaults import INCH_SHOP
from tests.nester.draw.reading import read
from tests.nester.draw.wood import dense, small_board, walnut


def plan_of(*made, project="Plinth"):
    """Return a plan with the layouts of (stock, layout, parts)."""
    stock = {item.id: item for item, _, _ in made}
    parts = {part.name: part for _, _, parts in made for part in parts}
    return Plan(
        version="0.1.0",
        made="2026-11-25T10:00:00Z",
        units=System.INCH,
        seed=0,
        project=project,
        project_sha256="",
        status=Status.FEASIBLE,
        cost=Fraction(20),
        bound=Fraction(10),
        gap=Fraction(1, 2),
        seconds=0.4,
        stopped_by="seconds",
        shop=INCH_SHOP,
        stock=tuple(stock.values()),
        parts=tuple(parts.values()),
        matches=(),
        layouts=tuple(layout for _, layout, _ in made),
    )


def called(stock_id, copy=1):
    """Return the small board under another id."""
    board, layout, parts = small_board()
    board = replace(board, id=stock_id)
    return board, replace(layout, stock=stock_id, copy=copy), parts


def test_every_layout_gets_a_file_named_after_stock_and_copy(tmp_path):
    """Two boards, one of them twice: three files in the plan's order, each numbered."""
    files = draw_plan(plan_of(walnut(), called("M-1"), called("M-1", 2)), tmp_path, LETTER)
    assert [path.name for path in files] == ["W-07-1.svg", "M-1-1.svg", "M-1-2.svg"]
    assert sorted(tmp_path.iterdir()) == sorted(files)
    for number, path in enumerate(files, start=1):
        drawing = read(path.read_text(encoding="utf-8"))
        assert drawing.width == 279.4
        assert {f"{number} of 3", "Plinth", "2026-11-25"} <= set(drawing.said("value"))


def test_the_same_plan_gives_the_same_bytes(tmp_path):
    """Drawn into two folders, the files are the same."""
    plan = plan_of(walnut())
    folders = [tmp_path / "a", tmp_path / "b"]
    for folder in folders:
        folder.mkdir()
    first, second = (draw_plan(plan, folder) for folder in folders)
    assert [p.read_bytes() for p in first] == [p.read_bytes() for p in second]


@pytest.mark.parametrize(
    "stock_id",
    [
        "../../outside",
        "/etc/passwd",
        "C:\\temp\\x",
        "<script>",
        "a \"b\" 'c'",
        "ארון",
        "x" * 10_000,
        "nul",
        "COM1.txt",
        "",
        ".",
        "..",
        "\x00\n",
        "\ud800",
        "-rf",
    ],
    ids=lambda name: repr(name[:12]),
)
def test_no_id_leaves_the_folder(tmp_path, stock_id):
    """Whatever a board is called, its file is a plain name in the folder."""
    folder = tmp_path / "drawings"
    folder.mkdir()
    (path,) = draw_plan(plan_of(called(stock_id)), folder)
    assert path.parent == folder
    assert list(tmp_path.iterdir()) == [folder]
    assert path.is_file()
    assert len(path.name) < 100
    assert all(char.isascii() and (char.isalnum() or char in "._-~") for char in path.name)
    assert path.name[0] not in ".-~"
    assert path.name.lower().split(".")[0] not in {"nul", "com1"}


def test_ids_that_come_to_the_same_name_stay_apart():
    """Ids that differ only in odd characters or in capitals get different files."""
    taken: set[str] = set()
    stems = [file_stem(i, 1, taken) for i in ("a/b", "a\\b", "a b", "a_b", "A_B", "w-1", "W-1")]
    assert len({stem.casefold() for stem in stems}) == 7
    assert "a_b-1" in stems
    assert "w-1-1" in stems


def test_copy_numbers_cannot_be_mistaken_for_ids():
    """Copy 1 of "B-1" and copy 11 of "B" have files of their own."""
    taken: set[str] = set()
    wanted = [("B", 1), ("B-1", 1), ("B", 11), ("B-1-1", 1)]
    stems = [file_stem(stock_id, copy, taken) for stock_id, copy in wanted]
    assert stems == ["B-1", "B-1-1", "B-11", "B-1-1-1"]


def test_lists_that_run_over_get_a_file_of_their_own(tmp_path):
    """A sheet of 180 different pieces has its lists in further files beside the drawing."""
    files = draw_plan(plan_of(dense(15, 12)), tmp_path)
    names = [path.name for path in files]
    assert names[:2] == ["MDF-3-1.svg", "MDF-3-1-lists.svg"]
    assert all(name.startswith("MDF-3-1-lists") for name in names[1:])


def test_a_folder_that_cannot_be_written_is_said_and_nothing_is_left(tmp_path):
    """A missing folder is refused with its name; no file is left behind."""
    with pytest.raises(WriteError, match="missing"):
        draw_plan(plan_of(called("M-1")), tmp_path / "missing")
    assert list(tmp_path.iterdir()) == []


def test_a_plan_without_layouts_draws_nothing(tmp_path):
    """Nothing to cut, nothing to draw."""
    assert draw_plan(plan_of(), tmp_path) == []
