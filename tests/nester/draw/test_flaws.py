"""Flaws on the drawing."""

from dataclasses import replace

import pytest

from inventory.formatter import Formatter
from inventory.length import MM
from inventory.stock import Board, Face, Flaw, FlawKind
from nester.draw import draw_layout
from nester.draw.field import Field
from nester.draw.flaws import beside, flaw_letter, holds, letter
from nester.draw.page import Box
from nester.layout import WasteUse
from tests.nester.draw import wood
from tests.nester.draw.reading import path_spots, read
from tests.nester.draw.wood import WASTE, blank, cross, inches, layout_of, part, rip, small_board


def test_letters_begin_with_c_and_never_end():
    """A and B are ends and faces; after Z come CC, CD and so on, each only once."""
    assert [letter(i) for i in (0, 1, 23, 24, 25, 48)] == ["C", "D", "Z", "CC", "CD", "DC"]
    assert len({letter(i) for i in range(2000)}) == 2000


def drawn_with(*flaws):
    """Return a board of 60 x 6 in with the flaws, one piece cut from it, read back."""
    board, _, _ = small_board()
    board = replace(board, flaws=flaws)
    svg = draw_layout(layout_of(board, blank("shelf")), board, [], Formatter.of("in"))
    drawing = read(svg)
    outline = drawing.polygons["stock"][0]
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    near = max(y for _, y in outline)
    return drawing, left, near, (right - left) / board.length


def test_a_polygon_flaw_keeps_its_true_outline():
    """The corners of a wane lie on the page where they lie on the board."""
    corners = [("10", "4"), ("40", "5"), ("40", "6"), ("10", "5 1/2")]
    points = tuple((inches(x), inches(y)) for x, y in corners)
    wane = Flaw(FlawKind.WANE, inches(10), inches(4), inches(30), inches(2), outline=points)
    drawing, left, near, factor = drawn_with(wane)
    (polygon,) = drawing.polygons["flaw"]
    wanted = [(left + x * factor, near - y * factor) for x, y in points]
    for spot in wanted:
        assert any(spot == pytest.approx(found, abs=0.02) for found in polygon), spot
    assert len(polygon) == 4


def test_hatching_lies_inside_the_flaw_at_45_degrees():
    """Every stroke of a knot's hatching is inside its rectangle and runs up to the right."""
    knot = Flaw(FlawKind.KNOT, inches(20), inches(1), inches(2), inches("1 1/2"))
    drawing, left, near, factor = drawn_with(knot)
    spots = path_spots(drawing.paths["hatch"][0])
    for x, y in spots:
        assert left + knot.x * factor - 0.02 <= x <= left + (knot.x + knot.length) * factor + 0.02
        assert near - (knot.y + knot.width) * factor - 0.02 <= y <= near - knot.y * factor + 0.02
    for (x, y), (u, v) in zip(spots[::2], spots[1::2], strict=True):
        assert u - x == pytest.approx(y - v, abs=0.021)
    # Dense: strokes are 0.6 mm apart, so area / 0.6 of stroke.
    area = knot.length * knot.width * factor**2
    total = sum(
        ((u - x) ** 2 + (v - y) ** 2) ** 0.5
        for (x, y), (u, v) in zip(spots[::2], spots[1::2], strict=True)
    )
    assert total == pytest.approx(area / 0.6, rel=0.1)


def test_a_flaw_on_the_far_face_has_a_broken_outline():
    """Face B's flaw is broken, face A's is not, and the key says which face."""
    a = Flaw(FlawKind.STAIN, inches(5), inches(1), inches(3), inches(1), Face.A, sound=True)
    b = Flaw(FlawKind.PITH, inches(45), inches(1), inches(3), inches(1), Face.B)
    drawing, *_ = drawn_with(a, b)
    assert "stroke-dasharray" not in drawing.styles["flaw"]
    assert drawing.styles["flaw far"]["stroke-dasharray"] == "140,80"
    assert len(drawing.polygons["flaw"]) == len(drawing.polygons["flaw far"]) == 1
    cells = drawing.said("cell")
    assert "sound stain, face A" in cells
    assert "pith, far face (B)" in cells


def test_each_flaw_has_a_letter_by_it_and_a_line_in_the_key():
    """Three flaws are lettered C, D and E on the drawing and explained below, place and size."""
    stock, layout, parts = wood.walnut()
    drawing = read(draw_layout(layout, stock, parts, Formatter.of("in")))
    assert sorted(set(drawing.said("letter"))) == ["C", "D", "E", "F"]
    cells = drawing.said("cell")
    at = cells.index("C")
    assert cells[at : at + 4] == ["C", "knot, both faces", "1 1⁄2″ × 1 1⁄4″", "44 1⁄2″, 2″"]
    for index, text in enumerate("CDEF"):
        found = next(t for t in drawing.texts if t.role == "letter" and t.text == text)
        assert found.box.width > 0
        assert stock.flaws[index].kind.value in " ".join(cells)


def test_a_label_that_must_lie_on_hatching_is_left_free_of_it():
    """A piece all of sapwood still shows its name: no stroke runs through the letters."""
    sap = Flaw(FlawKind.SAPWOOD, 0, 0, inches(60), inches(6), sound=True)
    drawing, *_ = drawn_with(sap)
    (name,) = [t for t in drawing.texts if t.role == "name"]
    spots = path_spots(drawing.paths["hatch"][0])
    for (x, y), (u, v) in zip(spots[::2], spots[1::2], strict=True):
        for share in (0.0, 0.25, 0.5, 0.75, 1.0):
            px, py = x + (u - x) * share, y + (v - y) * share
            box = name.box
            assert not (box.left < px < box.right and box.top < py < box.bottom)


def test_a_letter_goes_where_there_is_room():
    """With the place at the right taken, the letter moves; with no place at all there is none."""
    square = [(10.0, 10.0), (14.0, 10.0), (14.0, 14.0), (10.0, 14.0)]
    room = Box(0, 0, 100, 100)
    field, lines = Field(room), Field(room)
    first = flaw_letter(0, square, field, lines)
    assert first.box.left > 14
    second = flaw_letter(1, square, field, lines)
    assert second.box.right < 10
    full = Field(room)
    full.take(room)
    assert flaw_letter(0, square, full, lines) is None


def test_places_beside_a_sloping_flaw_are_outside_it():
    """For a long triangle the letter stands by its longest side, never in it."""
    triangle = [(0.0, 0.0), (60.0, 0.0), (0.0, 10.0)]
    spots = list(beside(triangle))
    assert spots
    assert not any(holds(triangle, spot) for spot in spots)
    assert holds(triangle, (5.0, 5.0))


def test_a_board_with_forty_flaws_is_drawn():
    """Every one has its line in the key, some page or other, and no text lies on another."""
    from nester.draw import Heading, draw_pages

    board, _, _ = small_board()
    flaws = tuple(
        Flaw(FlawKind.WORM_HOLE, inches(1 + i), inches(1 + i % 4), 3 * MM, 3 * MM)
        for i in range(40)
    )
    board = replace(board, flaws=flaws)
    pages = draw_pages(
        layout_of(board, blank("shelf")), board, [], Formatter.of("in"), Heading("", "", 1, 1)
    )
    keyed = [t for page in pages for t in read(page).said("cell") if "worm hole" in t]
    assert len(keyed) == 40


def test_numbers_of_cuts_keep_off_a_small_flaw():
    """A knot where a rip starts in the middle of the board: the disc moves along the cut."""
    knot = Flaw(FlawKind.KNOT, inches("30 3/4"), inches("2 3/4"), inches("1/2"), inches("1/2"))
    board = Board("M-1", "maple", inches(60), inches(6), inches(6), inches(1), inches(1))
    what = cross(
        (inches(30), WasteUse()), (None, rip((inches(3), blank("rail")), (None, WasteUse())))
    )
    parts = [part("rail", inches(29), inches(3))]
    free = read(draw_layout(layout_of(board, what), board, parts, Formatter.of("in")))
    spotted = replace(board, flaws=(knot,))
    drawing = read(draw_layout(layout_of(spotted, what), spotted, parts, Formatter.of("in")))
    (flaw,) = drawing.polygons["flaw"]
    xs, ys = [x for x, _ in flaw], [y for _, y in flaw]

    def over(discs):
        return [
            (x, y)
            for x, y, r in discs
            if min(xs) - r < x < max(xs) + r and min(ys) - r < y < max(ys) + r
        ]

    assert len(drawing.discs["disc"]) == len(free.discs["disc"]) == 2
    assert over(drawing.discs["disc"]) == []
    assert over(free.discs["disc"])  # it would stand there if nothing were in the way


def test_numbers_of_cuts_stay_where_the_saw_starts():
    """Sapwood along most of a rip: the disc stands on it at the start, not far along the cut."""
    pale = Flaw(FlawKind.SAPWOOD, inches(30), inches(2), inches(20), inches(2), sound=True)
    board = Board(
        "M-1", "maple", inches(60), inches(6), inches(6), inches(1), inches(1), flaws=(pale,)
    )
    what = cross(
        (inches(30), WasteUse()), (None, rip((inches(3), blank("rail")), (None, WasteUse())))
    )
    parts = [part("rail", inches(29), inches(3))]
    drawing = read(draw_layout(layout_of(board, what), board, parts, Formatter.of("in")))
    (flaw,) = drawing.polygons["flaw"]
    left, low, high = min(x for x, _ in flaw), min(y for _, y in flaw), max(y for _, y in flaw)
    assert [left < x < left + 12 for x, y, _ in drawing.discs["disc"] if low < y < high] == [True]


def test_a_long_remark_goes_on_in_further_lines():
    """What is written about a flaw stands in the key whole, a few words a line under its kind."""
    note = "staple of the lot tag, pull it before the board goes to the jointer"
    staple = Flaw(FlawKind.METAL, inches(50), inches(5), inches(1), inches(1), note=note)
    knot = Flaw(FlawKind.KNOT, inches(40), inches(5), inches(1), inches(1))
    drawing, *_ = drawn_with(staple, knot)
    cells = drawing.said("cell")
    start = cells.index("C")
    end = cells.index("D")
    said = [text for text in cells[start + 1 : end] if not text[0].isdigit()]
    assert " ".join(said) == f"metal, both faces, {note}"
    assert len(said) > 1
    assert all("…" not in text for text in cells)


def test_a_remark_without_end_is_cut_off():
    """A remark of thousands of words takes a few lines of the key and no more."""
    knot = Flaw(FlawKind.KNOT, inches(40), inches(5), inches(1), inches(1), note="so " * 3000)
    drawing, *_ = drawn_with(knot)
    said = [text for text in drawing.said("cell") if text.startswith("so so")]
    assert 1 < len(said) < 8
    assert said[-1].endswith("…")


def test_an_outline_is_left_out_where_words_stand():
    """Sapwood of the far face ends in the middle of a narrow rail, but does not strike its name."""
    pale = Flaw(FlawKind.SAPWOOD, 0, 0, inches(60), inches(1), face=Face.B, sound=True)
    board, _, _ = small_board()
    board = replace(board, flaws=(pale,))
    what = rip((inches(2), blank("rail")), (None, WasteUse()))
    parts = [part("rail", inches(59), inches(2))]
    drawing = read(draw_layout(layout_of(board, what), board, parts, Formatter.of("in")))
    names = [text.box for text in drawing.texts if text.role in ("name", "size")]
    (path,) = drawing.paths["flaw far"]
    chains = [path_spots("M" + one) for one in path.split("M") if one.strip()]
    level = [(y, min(x, end), max(x, end)) for (x, y), (end, other) in chains if y == other]
    crossed = [
        (box, y, left, right)
        for box in names
        for y, left, right in level
        if box.top < y < box.bottom and left < box.right - 0.1 and right > box.left + 0.1
    ]
    assert names
    assert crossed == []
    # The far side of the sapwood is drawn in two, with the name between.
    assert any(sum(y == other for other, _, _ in level) == 2 for y, _, _ in level)
    free = read(draw_layout(layout_of(board, WASTE), board, [], Formatter.of("in")))
    assert len(free.polygons["flaw far"]) == 1
