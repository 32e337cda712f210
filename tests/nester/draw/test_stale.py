"""Old drawings in the folder."""

import pytest

from nester.draw import clear_stale, draw_plan
from tests.nester.draw.test_files import called, plan_of


def test_drawings_no_longer_in_the_plan_go(tmp_path):
    """M-1 was in the plan, and is not any more; its second copy, listed again, stays."""
    draw_plan(plan_of(called("M-1"), called("M-1", 2), called("M-2")), tmp_path)
    plan = plan_of(called("M-1", 2))
    cleared = clear_stale(tmp_path, plan.project, draw_plan(plan, tmp_path))
    assert [path.name for path in cleared.removed] == ["M-1-1.svg", "M-2-1.svg"]
    assert (cleared.changed, cleared.others, cleared.stuck) == ((), (), ())
    assert [path.name for path in tmp_path.iterdir()] == ["M-1-2.svg"]


def test_nothing_goes_that_was_not_drawn_here(tmp_path):
    """Another's SVG, one that only looks signed, a note, a folder and a link all stay."""
    old = tmp_path / "old"
    old.mkdir()
    (drawn,) = draw_plan(plan_of(called("M-1")), old)
    folder = tmp_path / "drawings"
    folder.mkdir()
    kept = {
        "logo.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>\n",
        "M-9-1.svg": b"<svg/>\n<!-- drawn by nester for project 0 -->\n",
        "M-1-1.txt": drawn.read_bytes(),
        "empty.svg": b"",
    }
    for name, content in kept.items():
        (folder / name).write_bytes(content)
    (folder / "M-3-1.svg").mkdir()
    (folder / "M-4-1.svg").symlink_to(drawn)
    plan = plan_of(called("M-2"))
    cleared = clear_stale(folder, plan.project, draw_plan(plan, folder))
    assert cleared.removed == ()
    assert {path.name for path in folder.iterdir()} == {
        *kept,
        "M-2-1.svg",
        "M-3-1.svg",
        "M-4-1.svg",
    }
    assert drawn.exists()


def test_a_drawing_that_was_changed_is_left_and_told(tmp_path):
    """A maker's own mark on an old sheet is not thrown away with it."""
    (first,) = draw_plan(plan_of(called("M-1")), tmp_path)
    first.write_bytes(first.read_bytes().replace(b"Cutting diagram", b"Not this one", 1))
    plan = plan_of(called("M-2"))
    cleared = clear_stale(tmp_path, plan.project, draw_plan(plan, tmp_path))
    assert (cleared.removed, cleared.changed) == ((), (first,))
    assert first.exists()


def test_drawings_of_another_project_are_left_and_told(tmp_path):
    """Two projects drawn into one folder do not take each other's sheets away."""
    (first,) = draw_plan(plan_of(called("M-1"), project="Stool"), tmp_path)
    plan = plan_of(called("M-2"), project="Bench")
    cleared = clear_stale(tmp_path, plan.project, draw_plan(plan, tmp_path))
    assert (cleared.removed, cleared.others) == ((), (first,))
    assert first.exists()


def test_a_folder_that_is_not_there_has_nothing_to_clear(tmp_path):
    """No folder, no old drawings, no error."""
    assert clear_stale(tmp_path / "none", "Stool", []).removed == ()


def test_an_id_in_other_capitals_is_another_board(tmp_path):
    """Where the system tells "m-1" from "M-1", the old one goes; else there is one file only."""
    draw_plan(plan_of(called("m-1")), tmp_path)
    plan = plan_of(called("M-1"))
    (written,) = draw_plan(plan, tmp_path)
    clear_stale(tmp_path, plan.project, [written])
    assert written.exists()
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("ending", [b"", b"\n", b"<!-- mine -->\n"])
def test_the_signature_must_be_the_last_line(tmp_path, ending):
    """Whatever comes after it was written by somebody else."""
    (first,) = draw_plan(plan_of(called("M-1")), tmp_path)
    first.write_bytes(first.read_bytes() + ending)
    cleared = clear_stale(tmp_path, "Plinth", [])
    assert cleared.removed == (() if ending else (first,))
