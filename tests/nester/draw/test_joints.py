"""Marks of matches on the drawings; sheets of leaves and of glued-up panels."""

import re
from pathlib import Path

import pytest

from inventory.formatter import Formatter
from nester.draw import draw_plan
from nester.draw.cutting import taken_apart
from nester.draw.jointlist import joint_table
from nester.draw.lists import Detail
from nester.draw.names import Wording
from nester.draw.type import SMALLEST
from nester.joints import joints_of
from nester.plan import Plan
from tests.nester.draw.reading import Drawing, overlapping, path_spots, read
from tests.nester.maker import PROVEN, Rounds, board, match, part, planned, shop

CASE = "".join(
    part(name, length=length, width="4", thickness="1/2")
    for name, length in (("left", "12"), ("top", "30"), ("right", "12"), ("bottom", "30"))
)
WRAP = match(parts=["left", "top", "right", "bottom"])
LID = part("lid", width="20", glue_up={"strips": ["2 1/2", "6"]})


def drawn(plan: Plan, folder: Path) -> dict[str, Drawing]:
    """Return the drawings of a plan by their names; nothing overlaps and no type is too small."""
    found = {path.stem: read(path.read_text("utf-8")) for path in draw_plan(plan, folder)}
    for drawing in found.values():
        assert overlapping(drawing.texts) == []
        assert min(text.smallest for text in drawing.texts) >= SMALLEST
    return found


def test_numbers_at_both_sides_of_every_joint(tmp_path: Path) -> None:
    """A strip round a case has each number twice; the odd corner's tags are dashed and listed."""
    plan = planned(board(length="90"), CASE + WRAP)
    (drawing,) = drawn(plan, tmp_path).values()
    assert sorted(drawing.said("joint")) == ["1", "1", "2", "2", "3", "3", "4", "4"]
    assert len(drawing.polygons["joint"]) == 6
    assert len(drawing.polygons["joint-broken"]) == 2
    assert "stroke-dasharray" in drawing.styles["joint-broken"]
    cells = drawing.said("cell")
    assert "odd corner, does not run on" in cells
    assert cells.count("runs on") == 3
    tops = drawing.said("top-edge")
    assert len(drawing.paths["top-edge"]) == 4
    assert tops
    assert set(tops) <= {"outside up", "outside down"}
    notes = " ".join(drawing.said("note"))
    assert "A caret points to the top edge of a case, the outer edge of a frame;" in notes


def test_a_joint_between_boards_is_on_both(tmp_path: Path) -> None:
    """Two pairs on two boards: every number is on the sheet of both of its ends."""
    plan = planned(board(length="44", count=2), CASE + WRAP, stop=PROVEN)
    sheets = drawn(plan, tmp_path)
    numbers = [found.said("joint") for found in sheets.values()]
    assert sorted(numbers[0] + numbers[1]) == ["1", "1", "2", "2", "3", "3", "4", "4"]
    between = set(numbers[0]) & set(numbers[1])
    assert len(between) == 2  # those that do not run on
    other = {"M-1-1": "on M-1-2", "M-1-2": "on M-1-1"}
    for name, drawing in sheets.items():
        assert any(cell.endswith(other[name]) for cell in drawing.said("cell"))


def test_grain_runs_on_through_a_joint(tmp_path: Path) -> None:
    """At each joint of a run some stroke of the grain goes from one piece into the next."""
    plan = planned(board(length="44", count=1), CASE + WRAP, stop=Rounds(5))
    drawing = next(iter(drawn(plan, tmp_path).values()))
    boxes = [box for box, _ in drawing.rects["piece"]]
    left, right = sorted(boxes, key=lambda box: box.left)[:2]
    assert 0 < right.left - left.right < 5
    chains = []
    for path in drawing.paths["grain"]:
        chains += [path_spots("M" + part) for part in path.split("M") if part.strip()]
    crossing = [
        chain
        for chain in chains
        if min(x for x, _ in chain) < left.right - 1 and max(x for x, _ in chain) > right.left + 1
    ]
    assert crossing


def test_leaves_have_sheets_of_their_own(tmp_path: Path) -> None:
    """A resawn pair is one piece on the board's sheet; each leaf shows its parts and its cut."""
    plan = planned(board(length="44", thickness="2"), CASE + WRAP)
    sheets = drawn(plan, tmp_path)
    assert list(sheets) == ["M-1-1", "M-1-1-leaf-1", "M-1-1-leaf-2"]
    whole, first, second = sheets.values()
    assert [re.sub(r"\d.*", "", name) for name in whole.said("name")] == ["case two leaves"]
    assert "resaw" in whole.said("cell")
    assert "joint cut" not in whole.said("cell")
    for leaf, word in ((first, "down"), (second, "up")):
        assert len(leaf.rects["piece"]) == 2
        assert leaf.said("cell").count("joint cut") == 1
        assert set(leaf.said("top-edge")) == {f"outside {word}"}
        assert "joint-broken" not in leaf.polygons
    heads = [
        [t.text for t in leaf.texts if t.text.startswith("end A,")] for leaf in (first, second)
    ]
    assert heads == [["end A, face A up"], ["end A, sawn face up"]]
    assert sorted(first.said("joint") + second.said("joint")) == sorted("11223344")


def test_the_sheet_of_a_panel(tmp_path: Path) -> None:
    """A lid of 20 from boards of 5 1/2 takes four strips, so there are three glue lines."""
    plan = planned(board(width="5 1/2", count=2), LID, stop=Rounds(10))
    sheets = drawn(plan, tmp_path)
    assert list(sheets)[-1] == "panel-lid-1"
    panel = sheets["panel-lid-1"]
    assert "end A" in [text.text for text in panel.texts]  # a panel has no face A
    strips = panel.said("strip")
    assert [re.sub(r",.*", "", text) for text in strips] == [f"strip {n}" for n in (1, 2, 3, 4)]
    cells = panel.said("cell")
    assert {"M-1-1", "M-1-2"} & set(cells)
    glue = {round(y, 2) for path in panel.paths["glue-line"] for _, y in path_spots(path)}
    assert len(glue) == 3
    boards = [drawing for name, drawing in sheets.items() if name != "panel-lid-1"]
    named = [text.text for drawing in boards for text in drawing.texts if text.role == "name"]
    assert all(text.startswith("panel lid-1") for text in named if "strip" in text)
    for n in (1, 2, 3, 4):
        assert any(text.endswith(f"strip {n}") for text in named)


def test_a_run_is_cut_from_its_panel(tmp_path: Path) -> None:
    """The panel's sheet numbers its own cuts from 1, with the joints of the run."""
    glue = {"strips": ["2 1/2", "6"]}
    parts = "".join(part(n, length="10", width="8", glue_up=glue) for n in ("left", "right"))
    row = match("row", how="sequence", parts=["left", "right"])
    plan = planned(board(width="5 1/2", count=2), parts + row, shop(), stop=Rounds(10))
    (panel,) = plan.panels
    assert panel.match == "row"
    sheet = drawn(plan, tmp_path)[f"panel-{panel.id}"]
    assert sheet.said("joint") == ["1", "1"]
    assert len(sheet.discs["disc"]) == 1
    assert "joint cut" in sheet.said("cell")


def test_leaves_of_a_book_meet_at_the_seam(tmp_path: Path) -> None:
    """The first leaf is turned over, so that both show the sawn face: seam below, seam above.

    A knot near the near edge lies near the outer edge of both, and the grain is mirrored.
    """
    doors = part("left", width="5", quality="hidden") + part("right", width="5", quality="hidden")
    book = match("doors", how="book", parts=["left", "right"])
    knot = {"kind": "knot", "x": "9", "y": "1/2", "length": "1", "width": "1", "sound": True}
    plan = planned(board(thickness="2", flaws=[knot]), doors + book, stop=Rounds(5))
    whole, first, second = drawn(plan, tmp_path).values()
    assert "two leaves" in " ".join(whole.said("name"))
    gaps, strokes = [], []
    for leaf in (first, second):
        assert leaf.said("top-edge") == ["seam, outside up"]
        assert "end A, sawn face up" in leaf.said("note")
        ((piece, _),) = leaf.rects["piece"]
        (words,) = [text for text in leaf.texts if text.role == "top-edge"]
        (flaw,) = leaf.polygons["flaw"]
        ys = [y for _, y in flaw]
        gaps.append((words.box.top - piece.top, piece.bottom - words.box.bottom))
        gaps.append((min(ys) - piece.top, piece.bottom - max(ys)))
        assert "mirrored at the seam" in leaf.said("cell")
        spots = [spot for path in leaf.paths["grain"] for spot in path_spots(path)]
        strokes.append({round(y - piece.top, 1) for _, y in spots})
        tall = piece.bottom - piece.top
    (_, below), first_knot, (above, _), second_knot = gaps
    assert below < 2
    assert above < 2
    assert first_knot == pytest.approx(second_knot[::-1], abs=0.05)
    assert first_knot[0] < first_knot[1]
    # Strokes are broken round words, so most of them lie where those of the other leaf mirror them.
    mirrored = {round(tall - y, 1) for y in strokes[1]}
    near = [y for y in strokes[0] if any(abs(y - other) < 0.25 for other in mirrored)]
    assert len(near) > 0.9 * len(strokes[0])
    notes = [" ".join(leaf.said("note")) for leaf in (first, second)]
    assert "turned over about the seam" in notes[0]
    assert "own end A and the seam" in notes[0]
    assert "turned over" not in notes[1]
    assert all("A caret points to the seam of a book;" in note for note in notes)
    assert all("Tags" not in note for note in notes)
    assert "from end A, seam" in first.said("cell")
    assert "from end A, near edge" in second.said("cell")


def test_pairs_that_meet_at_one_joint_share_a_row(tmp_path: Path) -> None:
    """Two rows of three fronts, one over the other: three pairs meet at the joint between them."""
    row = match("row", how="sequence", parts=["front"] * 3, sets=2)
    bank = match("bank", how="stack", parts=["row", "row"])
    fronts = part("front", length="12", count=6)
    (drawing,) = drawn(
        planned(board(width="8"), fronts + row + bank, stop=Rounds(5)), tmp_path
    ).values()
    assert drawing.said("joint").count("B1") == 6
    cells = drawing.said("cell")
    assert cells.count("B1") == 1
    assert "front 1–3, far edge" in cells
    assert "front 4–6, near edge" in cells
    assert cells.count("square") == 5


def test_joints_in_a_row_share_a_line_where_room_is_short() -> None:
    """Of a six-sided box the five joints that run on share a line; the odd corner has its own."""
    sides = part("side", length="6", width="3", count=6)
    plan = planned(board(length="60"), sides + match("box", parts=["side"] * 6), stop=Rounds(5))
    (layout,) = plan.layouts
    stock = plan.stock_by_id(layout.stock)
    parts = {one.name: one for one in plan.parts}
    wording = Wording(Formatter.of("in"), stock, parts, joints_of(plan))
    cutting = taken_apart(layout)
    full, short = (joint_table(cutting, wording, detail) for detail in (Detail.FULL, Detail.KEY))
    assert [row[0].text for row in full.rows] == ["1", "2", "3", "4", "5", "6"]
    assert [[cell.text for cell in row[:3]] for row in short.rows] == [
        ["1–5", "side 1–6", "each the next"],
        ["6", "side 6, end B", "side 1, end A"],
    ]


def test_words_beside_a_caret_give_way_to_the_name(tmp_path: Path) -> None:
    """A piece so small that name and words do not both fit has its name, and its caret."""
    small = part("block", length="10", width="2 1/2", count=2)
    row = match("row", how="sequence", parts=["block", "block"])
    ends = part("filler", length="60", width="2 1/2")
    plan = planned(board(length="100", width="4"), small + ends + row, stop=Rounds(5))
    (drawing,) = drawn(plan, tmp_path).values()
    assert sum(text.startswith("block") for text in drawing.said("name")) == 2
    assert drawing.said("key") == []
    assert len(drawing.paths["top-edge"]) == 2
    assert len(drawing.said("top-edge")) < 2


def test_a_name_between_tags_is_broken_rather_than_turned(tmp_path: Path) -> None:
    """The middle one of three fronts has a tag at both ends: its long name lies, in two lines."""
    names = [f"drawer front, {place}" for place in ("left", "middle", "right")]
    fronts = "".join(part(name, length="14", width="5") for name in names)
    row = match("row", how="sequence", parts=names)
    plan = planned(board(length="72", width="6"), fronts + row, stop=Rounds(5))
    (drawing,) = drawn(plan, tmp_path).values()
    names = [text for text in drawing.texts if text.role in ("name", "size")]
    assert not any(text.turned for text in names)
    assert {"drawer front, left", "drawer front,", "middle"} <= {text.text for text in names}
