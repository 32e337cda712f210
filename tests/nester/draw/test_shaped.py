"""The true shape of a part with cutaways on the drawing."""

from dataclasses import replace
from itertools import pairwise
from math import sqrt

import pytest

from inventory.formatter import Formatter
from inventory.stock import Flaw, FlawKind
from nester.draw import draw_layout
from nester.draw.page import Box
from nester.draw.shaped import shape_lines
from nester.draw.sheet import Heading, draw_pages
from nester.draw.view import View
from nester.layout import BlankUse
from nester.model import Arch, Cutaway, Outline
from tests.nester.draw.reading import Drawing, path_spots, read
from tests.nester.draw.wood import cross, inches, layout_of, part, rip, small_board

Spot = tuple[float, float]


def arch(edge: str = "near") -> Arch:
    """Return an arch of 40 by 3 in, 9 in from either end of a part of 58 in."""
    return Arch(edge, inches(9), inches(40), inches(3))


def drawn(use: BlankUse, *cutaways: Cutaway, flaws: tuple[Flaw, ...] = ()) -> Drawing:
    """Return the drawing of a board of 60 x 6 in that is one blank, for a part of 58 x 5 1/2."""
    board, _, _ = small_board()
    board = replace(board, flaws=flaws)
    shaped = replace(part(use.part, inches(58), inches("5 1/2")), cutaways=cutaways)
    return read(draw_layout(layout_of(board, use), board, [shaped], Formatter.of("in")))


def lines(drawing: Drawing) -> list[tuple[Spot, Spot]]:
    """Return the straight pieces of the shape's line, in inches on the board."""
    outline = drawing.polygons["stock"][0]
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    near, scale = max(y for _, y in outline), 60 / (right - left)
    return [
        (
            ((a[0] - left) * scale, (near - a[1]) * scale),
            ((b[0] - left) * scale, (near - b[1]) * scale),
        )
        for path in drawing.paths.get("shape", [])
        for a, b in path_spots_pairs(path)
    ]


def path_spots_pairs(path: str) -> list[tuple[Spot, Spot]]:
    """Return the strokes of a path of lines that each begin anew."""
    return [
        (spots[i], spots[i + 1])
        for spots in [path_spots(path)]
        for i in range(0, len(spots) - 1, 2)
    ]


# The circle of the arch: R = 40**2 / (8 * 3) + 3 / 2 = 68 1/6 (the sagitta of a chord).
RADIUS = 40**2 / 24 + 1.5


@pytest.mark.parametrize(
    ("use", "edge", "far"),
    [
        (BlankUse("rail", 1), "near", False),
        (BlankUse("rail", 1), "far", True),
        (BlankUse("rail", 1, reversed=True), "near", True),
        (BlankUse("rail", 1, flipped=True), "near", True),
        (BlankUse("rail", 1, reversed=True, flipped=True), "near", False),
    ],
)
def test_an_arch_on_its_edge(use: BlankUse, edge: str, far: bool) -> None:
    """The arc is drawn as it will be sawn: on the right edge, as high and as wide as it is."""
    found = lines(drawn(use, arch(edge)))
    assert found
    for spot in (spot for stroke in found for spot in stroke):
        x, y = spot
        height = 6 - y if far else y
        assert height == pytest.approx(sqrt(RADIUS**2 - (x - 30) ** 2) - (RADIUS - 3), abs=0.05)
    xs = [x for stroke in found for x, _ in stroke]
    assert min(xs) == pytest.approx(10, abs=0.05)
    assert max(xs) == pytest.approx(50, abs=0.05)


def test_a_corner_runs_on_through_the_spare_wood() -> None:
    """Of a corner cut off only the slant is drawn, on to the edges of the blank."""
    size = inches(58), inches("5 1/2")
    corner = Outline(((0, size[1]), (0, inches("3 1/2")), (inches(4), size[1])))
    found = lines(drawn(BlankUse("rail", 1), corner))
    ends = [spot for stroke in found for spot in stroke]
    # The part lies 1 in from end A and along the near edge; 1/2 in is to spare at its far edge.
    for wanted in ((0, 3.5), (1, 3.5), (5, 5.5), (5, 6)):
        assert any(spot == pytest.approx(wanted, abs=0.05) for spot in ends), wanted
    assert not any(y > 5.6 and x < 4.9 for x, y in ends)


def test_a_hole_is_closed() -> None:
    """An outline inside the part is drawn all round."""
    corners = tuple((inches(x), inches(y)) for x, y in ((20, 2), (30, 2), (30, 4), (20, 4)))
    found = lines(drawn(BlankUse("rail", 1), Outline(corners)))
    ends = [spot for stroke in found for spot in stroke]
    for wanted in ((21, 2), (31, 2), (31, 4), (21, 4)):
        assert any(spot == pytest.approx(wanted, abs=0.05) for spot in ends), wanted


def test_no_cutaway_no_line() -> None:
    """A part without cutaways has no line of its own."""
    plain, shaped = drawn(BlankUse("rail", 1)), drawn(BlankUse("rail", 1), arch())
    assert "shape" not in plain.paths
    note = "Thin lines in a piece"
    assert not any(note in text.text for text in plain.texts)
    assert any(note in text.text for text in shaped.texts)


def test_the_line_keeps_off_all_words() -> None:
    """No stroke of the shape runs through a line of type."""
    knot = Flaw(FlawKind.KNOT, inches(29), inches(1), inches(2), inches(1))
    drawing = drawn(BlankUse("a rail with a long name", 1), arch(), flaws=(knot,))
    strokes = [pair for path in drawing.paths["shape"] for pair in path_spots_pairs(path)]
    for text in drawing.texts:
        for (ax, ay), (bx, by) in strokes:
            middle = Box((ax + bx) / 2, (ay + by) / 2, (ax + bx) / 2, (ay + by) / 2)
            assert not text.box.grown(-0.05).holds(middle), text.text


def test_a_row_shows_its_own_part_of_the_line() -> None:
    """Of a board in two rows each shows what of the line lies between its ends."""
    board, _, _ = small_board()
    layout = layout_of(board, BlankUse("rail", 1))
    shaped = replace(part("rail", inches(58), inches("5 1/2")), cutaways=(arch(),))
    parts = {"rail": shaped}
    whole = shape_lines(layout, parts, View(0, board.length, 0.0, 100.0, 10.0))
    rows = [
        shape_lines(layout, parts, View(start, end, 0.0, 100.0, 10.0))
        for start, end in ((0, inches(30)), (inches(30), inches(60)))
    ]
    assert len(whole) == 64
    assert [len(row) for row in rows] == [32, 32]
    for row, (low, high) in zip(rows, ((9, 30), (0, 20)), strict=True):
        xs = [x for stroke in row for x, _ in stroke]
        assert min(xs) >= low * 25.4 / 10 - 0.01
        assert max(xs) <= high * 25.4 / 10 + 0.01
    assert all(b == c for (_, b), (c, _) in pairwise(whole))


def test_only_the_shaped_parts() -> None:
    """Beside a shaped part a plain one stays plain, each in its own blank."""
    board, _, _ = small_board()
    what = cross((inches(30), rip((inches(3), BlankUse("foot", 1)), (None, BlankUse("side", 1)))))
    foot = replace(
        part("foot", inches(30), inches(3)),
        cutaways=(Arch("near", inches(5), inches(20), inches(2)),),
    )
    svg = draw_layout(layout_of(board, what), board, [foot, part("side", 1, 1)], Formatter.of("in"))
    for spot in (spot for stroke in lines(read(svg)) for spot in stroke):
        assert 5 - 0.05 <= spot[0] <= 25 + 0.05
        assert 0 - 0.05 <= spot[1] <= 2 + 0.05


def test_notes_of_one_layout() -> None:
    """What is to be knocked out before milling stands above the general notes."""
    board, layout, parts = small_board()
    heading = Heading("Bench", "2026-11-25", 1, 1, ("In the cutaway of shelf: knot.",))
    (page,) = draw_pages(layout, board, parts, Formatter.of("in"), heading)
    said = [text.text for text in read(page).texts]
    assert "In the cutaway of shelf: knot." in said
