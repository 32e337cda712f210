"""Whole sheets, read back from their SVG and compared with the layout."""

import re
from functools import lru_cache

import pytest

from inventory.formatter import Formatter
from inventory.length import MM
from inventory.stock import Board
from nester.draw import A4, LETTER, Heading, draw_layout, draw_pages
from nester.draw.cutting import taken_apart
from nester.draw.page import PT, Box
from nester.layout import BlankUse, OffcutUse, WasteUse
from tests.nester.draw import wood
from tests.nester.draw.reading import overlapping, path_spots, read
from tests.nester.draw.wood import (
    WASTE,
    blank,
    cross,
    inches,
    layout_of,
    part,
    small_board,
)

HEADING = Heading("Hall cabinet", "2026-11-25", 3, 9)
MADE = ["walnut", "long_thin", "plywood", "dense", "small_board"]
LABELS = ("name", "size", "cell")
ONE_ROW = ["plywood", "dense", "small_board"]


@lru_cache(maxsize=64)
def drawn(name, paper="A4", units="in"):
    """Return stock, layout and the drawing read back from its SVG."""
    stock, layout, parts = getattr(wood, name)()
    paper = A4 if paper == "A4" else LETTER
    pages = draw_pages(layout, stock, parts, Formatter.of(units), HEADING, paper=paper)
    return stock, layout, [read(page) for page in pages]


everywhere = pytest.mark.parametrize("name", MADE)
papers = pytest.mark.parametrize("paper", ["A4", "Letter"])
systems = pytest.mark.parametrize("units", ["in", "mm"])


def scale_of(drawing):
    """Return n of the scale 1 : n that the title block says."""
    (text,) = [t.text for t in drawing.texts if re.fullmatch(r"1 : [\d.]+", t.text)]
    return float(text[4:])


def stock_corner(drawing):
    """Return the page place of end A at the near edge, from the outline of the stock."""
    outline = drawing.polygons["stock"][0]
    return min(x for x, _ in outline), max(y for _, y in outline)


@papers
@everywhere
def test_the_root_says_its_size_in_millimetres(name, paper):
    """An A4 sheet is 297 x 210 mm, a Letter sheet 279.4 x 215.9; the view box counts hundredths."""
    _, _, pages = drawn(name, paper)
    width, height = (297, 210) if paper == "A4" else (279.4, 215.9)
    assert (pages[0].width, pages[0].height) == (width, height)
    assert pages[0].view == (round(width * 100), round(height * 100))


@systems
@papers
@pytest.mark.parametrize("name", ONE_ROW)
def test_pieces_lie_where_the_layout_says(name, paper, units):
    """Every blank's rectangle is within 0.01 mm of its place and size at the stated scale."""
    _, layout, (drawing, *_) = drawn(name, paper, units)
    n = scale_of(drawing)
    left, near = stock_corner(drawing)
    found = [box for box, _ in drawing.rects["piece"]]
    nodes = taken_apart(layout).pieces
    assert len(found) == len(nodes)
    for node, box in zip(nodes, found, strict=True):
        assert box.left == pytest.approx(left + node.x / MM / n, abs=0.011)
        assert box.bottom == pytest.approx(near - node.y / MM / n, abs=0.011)
        assert box.width == pytest.approx(node.length / MM / n, abs=0.011)
        assert box.height == pytest.approx(node.width / MM / n, abs=0.011)


@pytest.mark.parametrize("name", ["walnut", "long_thin"])
def test_pieces_of_a_board_in_rows_keep_the_one_scale(name):
    """In a board shown in two rows each piece is whole, in its row, as long as the scale says."""
    _, layout, (drawing, *_) = drawn(name)
    n = scale_of(drawing)
    rows = drawing.polygons["stock"]
    assert len(rows) == 2
    found = [box for box, _ in drawing.rects["piece"]]
    nodes = {round(node.length / MM / n, 1) for node in taken_apart(layout).pieces}
    assert {round(box.width, 1) for box in found} == nodes
    assert len(found) == len(taken_apart(layout).pieces)
    for box in found:
        assert any(
            min(x for x, _ in row) - 0.01 <= box.left and box.right <= max(x for x, _ in row) + 0.01
            for row in rows
        )


def test_the_outline_tapers_with_the_board():
    """Widths at the ends of the rows lie on the line from 8 1/4 in at end A to 7 1/2 at end B."""
    stock, layout, (drawing, *_) = drawn("walnut")
    assert isinstance(stock, Board)
    n = scale_of(drawing)
    widths = []
    for row in drawing.polygons["stock"]:
        for x in (min(p[0] for p in row), max(p[0] for p in row)):
            ys = [y for px, y in row if abs(px - x) < 0.01]
            widths.append(max(ys) - min(ys))
    break_at = inches("46 3/4")
    middle = stock.width_a + (stock.width_b - stock.width_a) * break_at / layout.length
    wanted = [stock.width_a, middle, middle, stock.width_b]
    assert widths == pytest.approx([w / MM / n for w in wanted], abs=0.02)


@everywhere
def test_kerfs_are_drawn_at_their_width(name):
    """A kerf is as wide as it is at this scale, and never under 0.25 mm, to be seen."""
    _, layout, (drawing, *_) = drawn(name)
    n = scale_of(drawing)
    cutting = taken_apart(layout)
    wanted = {round(max(s.cut.kerf / MM / n, 0.25), 2) for s in cutting.cuts}
    widths = set()
    for polygon in drawing.polygons["kerf"]:
        xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
        widths.add(round(min(max(xs) - min(xs), max(ys) - min(ys)), 2))
    for width in widths:
        assert any(abs(width - w) <= 0.02 or width < w for w in wanted)
    assert max(widths) == pytest.approx(max(wanted), abs=0.02)


@papers
@everywhere
def test_every_cut_has_a_disc_with_its_number_and_an_x(name, paper):
    """Discs carry 1 to n, once each, and each cut has one x."""
    _, layout, (drawing, *_) = drawn(name, paper)
    count = len(taken_apart(layout).cuts)
    assert len(drawing.discs["disc"]) == count
    numbers = sorted(int(text) for text in drawing.said("cut-number"))
    assert numbers == list(range(1, count + 1))
    assert len(drawing.paths["waste-side"]) == count


@pytest.mark.parametrize("name", ["plywood", "small_board"])
def test_the_x_lies_on_the_side_where_the_saw_runs(name):
    """With the first piece kept, the x of a crosscut is right of its line, of a rip above it."""
    _, layout, (drawing, *_) = drawn(name)
    n = scale_of(drawing)
    left, near = stock_corner(drawing)
    middles = [
        tuple(sum(values) / 4 for values in zip(*path_spots(path), strict=True))
        for path in drawing.paths["waste-side"]
    ]
    for saw in taken_apart(layout).cuts:
        assert saw.beyond
        if saw.cut.axis.value == "x":
            line = left + saw.line / MM / n
            assert any(0 < x - line < 1.6 for x, _ in middles)
        else:
            line = near - saw.line / MM / n
            assert any(0 < line - y < 1.6 for _, y in middles)


@systems
@papers
@everywhere
def test_nothing_is_set_under_seven_points(name, paper, units):
    """Names are 11 pt or more, measures 9, everything else 7.5, fraction figures 7 at least."""
    _, _, pages = drawn(name, paper, units)
    for text in (text for page in pages for text in page.texts):
        assert text.smallest >= 7 * PT - 0.006, text.text
        least = {"name": 11, "size": 9, "running": 9, "chain": 9, "key": 9, "value": 9}
        assert text.largest >= least.get(text.role, 7.5) * PT - 0.006, text.text


@systems
@papers
@everywhere
def test_no_text_lies_on_another_and_none_leaves_the_paper(name, paper, units):
    """Measured with the fonts' widths, no two texts overlap and all stay inside the margins."""
    _, _, pages = drawn(name, paper, units)
    sheet = A4 if paper == "A4" else LETTER
    for page in pages:
        assert overlapping(page.texts) == []
        for text in page.texts:
            assert sheet.live.grown(0.05).holds(text.box), text.text
        for spots in (s for polygons in page.polygons.values() for s in polygons):
            for x, y in spots:
                assert sheet.live.left <= x <= sheet.live.right
                assert sheet.live.top <= y <= sheet.live.bottom
        for path in (p for paths in page.paths.values() for p in paths):
            for x, y in path_spots(path):
                assert 0 < x < sheet.width
                assert 0 < y < sheet.height


@everywhere
def test_labels_lie_within_their_pieces_and_off_the_cuts(name):
    """A name or size lies wholly within one piece or offcut, and on no kerf."""
    _, _, (drawing, *_) = drawn(name)
    homes = [box for box, _ in drawing.rects.get("piece", [])]
    for polygon in drawing.polygons.get("offcut", []):
        xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
        homes.append(Box(min(xs), min(ys), max(xs), max(ys)))
    labels = [text for text in drawing.texts if text.role in ("name", "size")]
    assert labels
    for label in labels:
        assert any(home.holds(label.box) for home in homes), label.text


@systems
@everywhere
def test_every_piece_is_named_or_has_a_number_that_is_listed(name, units):
    """Names in the drawing and numbers in squares together are as many as pieces and offcuts."""
    _, layout, pages = drawn(name, "A4", units)
    drawing = pages[0]
    wanted = [n for n in taken_apart(layout).leaves if not isinstance(n.use, WasteUse)]
    numbers = [int(text) for text in drawing.said("key")]
    assert len(drawing.said("name")) + len(numbers) == len(wanted)
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    words = " ".join(t.text for page in pages for t in page.texts if t.role in LABELS)
    for node in wanted:
        called = node.use.part if isinstance(node.use, BlankUse) else node.use.id
        assert called in words


def test_labels_say_name_copy_and_size_with_real_fractions():
    """The drawer front is named, counted and measured: 14 1/4 x 5 in."""
    _, _, (drawing, *_) = drawn("walnut")
    assert "drawer front 1 of 2" in drawing.said("name")
    assert "14 1⁄4″ × 5″" in drawing.said("size")
    assert "case side 2 of 4" in drawing.said("name")
    assert any("spare" not in text and "back rail 1 of 2" in text for text in drawing.said("name"))


def test_a_sheet_s_blank_is_printed_by_its_own_size():
    """The divider of 380 x 300 mm lies turned; its size is said as the part's, length first."""
    _, _, (drawing, *_) = drawn("plywood", "A4", "mm")
    assert "380 × 300" in drawing.said("size")
    assert "720 × 560" in drawing.said("size")


def test_a_size_that_the_tape_cannot_show_stands_in_its_own_unit():
    """594 mm is no sixteenth of an inch, so a plan in inches says 594 mm."""
    sheet, _, _ = wood.plywood()
    layout = layout_of(sheet, wood.sheet_cut(wood.Axis.X, (594 * MM, blank("door")), (None, WASTE)))
    parts = [part("door", 594 * MM, sheet.width - 20 * MM)]
    drawing = read(draw_layout(layout, sheet, parts, Formatter.of("in")))
    assert any(text.startswith("594 mm × ") for text in drawing.said("size"))


def test_running_measures_and_chain_of_the_walnut_board():
    """Worked by hand: trims to 1 in, 41 in, kerf, 4 1/2 in of waste to 46 3/4, and on to 110 in."""
    _, _, (drawing, *_) = drawn("walnut")
    running = drawing.said("running")
    for text in ("0″", "1″", "42″", "46 3⁄4″", "61″", "71 3⁄4″", "108 3⁄8″", "110″"):
        assert text in running
    for text in ("1⁄8″", "3 7⁄8″", "7 11⁄16″", "8 1⁄4″"):  # from the near edge, at end A
        assert text in running
    for text in ("41″", "4 1⁄2″", "14 1⁄4″", "10 5⁄8″", "36 1⁄2″"):
        assert text in drawing.said("chain")


def test_running_measures_stand_by_their_marks():
    """The figures of the ruler stand in the order of their marks, none far from its own."""
    _, _, (drawing, *_) = drawn("small_board")
    n = scale_of(drawing)
    left, near = stock_corner(drawing)
    below = [t for t in drawing.texts if t.role == "running" and t.box.top > near]
    places = {t.text: t.box.centre[0] for t in below}
    for text, at in (("0″", 0), ("39″", 39), ("60″", 60)):
        assert places[text] == pytest.approx(left + at * 25.4 / n, abs=0.5)


def test_the_cut_list_says_what_where_and_from():
    """The first cuts of the walnut board, as a maker reads them."""
    stock, layout, parts = wood.walnut()
    drawing = read(draw_layout(layout, stock, parts[:0], Formatter.of("in"), paper=LETTER))
    cells = drawing.said("cell")
    assert "crosscut, trim" in cells
    assert "at 46 3⁄4″" in cells
    small, layout, parts = small_board()
    cells = read(draw_layout(layout, small, parts, Formatter.of("in"))).said("cell")
    first = cells.index("crosscut")
    assert cells[first - 1 : first + 4] == ["1", "crosscut", "at 39″", "from end A", "39″"]
    second = cells.index("rough rip")
    assert cells[second - 1 : second + 4] == [
        "2",
        "rough rip",
        "at 3 3⁄4″",
        "from near edge",
        "3 3⁄4″",
    ]


def test_like_cuts_share_a_line_where_room_is_short():
    """On the sheet of forty pieces eight crosscuts at one stop are one line of the list."""
    _, _, (drawing, *_) = drawn("dense")
    assert "2–9" in drawing.said("cell")
    assert "at 11 7⁄8″ to 95 7⁄8″" in drawing.said("cell")


def test_the_title_block_says_it_all():
    """Project, stock, material, thickness measured and sold, pieces, yield, scale, date, sheet."""
    _, _, (drawing, *_) = drawn("small_board")
    values = drawing.said("value")
    for text in ("M-1", "Hall cabinet", "maple", "1″", "sold as 4/4", "2026-11-25", "3 of 9"):
        assert text in values
    # 39 x 3 3/4 in of a board of 60 x 6 in: 146.25 / 360 = 40.6 %.
    assert "41%" in values
    _, _, (metric, *_) = drawn("plywood", "A4", "mm")
    assert {"18 mm", "called 18 mm", "birch plywood", "millimetres"} <= set(metric.said("value"))


@systems
@papers
@everywhere
def test_the_scale_bar_is_as_long_as_it_says(name, paper, units):
    """The black and white fields together measure on paper what is written beside them."""
    _, _, (drawing, *_) = drawn(name, paper, units)
    n = scale_of(drawing)
    fields = [box for box, _ in drawing.rects["scale-bar"]]
    length = max(b.right for b in fields) - min(b.left for b in fields)
    (words,) = [t for t in drawing.said("scale") if "mm on paper" in t]
    assert float(re.search(r"bar ([\d.]+) mm", words)[1]) == pytest.approx(length, abs=0.06)
    last = max(float(t) for t in drawing.said("scale") if re.fullmatch(r"\d+", t))
    unit = {"in": 25.4, "ft": 304.8, "mm": 1}[words.split(";")[0]]
    assert last * unit / n == pytest.approx(length, abs=0.02)


@everywhere
def test_cautions_and_a_word_on_reading_stand_on_every_sheet(name):
    """Guard and riving knife, and whose rules come first; how discs and x are read."""
    _, _, (drawing, *_) = drawn(name)
    notes = " ".join(drawing.said("note"))
    for words in ("riving knife", "manuals", "local rules", "Discs number the cuts"):
        assert words in notes
    assert ("2 rows" in notes) is (name not in ONE_ROW)


def test_offcuts_have_long_dashes_trims_diagonal_strokes_waste_neither():
    """The walnut board's offcut is dashed and named, its trims are hatched, waste stays white."""
    _, layout, (drawing, *_) = drawn("walnut")
    assert drawing.styles["offcut"]["stroke-dasharray"] == "500,120"
    assert len(drawing.polygons["offcut"]) == 1
    assert "W-07a offcut" in drawing.said("name")
    assert drawing.paths["trim"]
    kinds = {type(n.use) for n in taken_apart(layout).leaves}
    assert {BlankUse, OffcutUse, WasteUse} <= kinds


@everywhere
def test_line_widths_step_down_from_the_stock_to_the_grain(name):
    """Stock 0.7, pieces 0.5, discs 0.35, dimensions 0.25, grain and hatching 0.18 mm."""
    _, _, (drawing, *_) = drawn(name)
    widths = {
        role: int(style["stroke-width"])
        for role, style in drawing.styles.items()
        if "stroke-width" in style
    }
    wanted = {"stock": 70, "piece": 50, "offcut": 50, "disc": 35, "dimension": 25}
    wanted |= {"flaw": 25, "grain": 18, "hatch": 18, "trim": 18, "ruler": 18}
    for role, width in widths.items():
        assert width == wanted.get(role, width)
    assert {"stock", "piece", "disc", "dimension"} <= set(widths)


def test_forty_pieces_stay_under_200_kb():
    """The sheet of forty different pieces, fonts included, is small, and every piece is named."""
    stock, layout, parts = wood.dense()
    (svg,) = draw_pages(layout, stock, parts, Formatter.of("in"), HEADING)
    assert len(taken_apart(layout).pieces) == 40
    assert len(svg.encode("utf-8")) < 200_000
    assert len(read(svg).said("name")) == 40


def test_lists_that_do_not_fit_go_overleaf():
    """Of a sheet with 180 pieces, all of them other parts, every one is listed or named."""
    stock, layout, parts = wood.dense(15, 12)
    pages = draw_pages(layout, stock, parts, Formatter.of("in"), HEADING)
    assert len(pages) > 1
    read_pages = [read(page) for page in pages]
    texts = [t.text for page in read_pages for t in page.texts if t.role in ("name", "cell")]
    for one in parts:
        assert any(one.name == text or one.name in text.split(" × ")[0] for text in texts)
    cuts = [t for page in read_pages for t in page.said("cell") if t in ("rip", "crosscut")]
    assert len(cuts) == len(taken_apart(layout).cuts)
    for page in read_pages:
        assert overlapping(page.texts) == []
        assert "3 of 9" in page.said("value")


def test_a_piece_too_small_for_its_words_gets_a_number_and_a_line_in_the_list():
    """Pins of 1 x 1/2 in on a board of 60 in are numbered, in the drawing and in the list."""
    board, _, _ = small_board()
    strip = cross(*((inches(1), blank("pin", i)) for i in (1, 2, 3)), (None, WASTE))
    what = cross(
        (inches(40), wood.rip((inches("1/2"), strip), (None, blank("shelf")))), (None, WASTE)
    )
    parts = [part("pin", inches(1), inches("1/2"), 3), part("shelf", inches(39), inches(5))]
    drawing = read(draw_layout(layout_of(board, what), board, parts, Formatter.of("in")))
    assert sorted(drawing.said("key")) == ["1", "2", "3"]
    assert len(drawing.rects["key"]) == 3
    row = drawing.said("cell")
    at = row.index("pin")
    assert row[at - 1 : at + 3] == ["1–3", "pin", "1–3 of 3", "1″ × 1⁄2″"]
    assert "Numbers in squares" in " ".join(drawing.said("note"))


def test_a_piece_broken_over_two_rows_is_named_in_both():
    """Where a row must break a piece the ends are torn, and the further part says whose it is."""
    board, _, parts = wood.long_thin()
    strip = inches("1 7/8")
    what = wood.rip((strip, blank("front leg", 1)), (strip, blank("front leg", 2)), (None, WASTE))
    drawing = read(draw_layout(layout_of(board, what), board, parts, Formatter.of("in")))
    assert len(drawing.said("name")) == 2
    assert drawing.said("note").count("front leg, same piece") == 2
    assert "goes on below" in drawing.said("note")
    assert "from 60″ on" in drawing.said("note")
    assert len(drawing.paths["break"]) == 2
    assert "piece" not in drawing.rects  # each outline is open where the piece goes on
    assert len(drawing.paths["piece"]) == 4


def test_a_board_used_whole_is_drawn_too():
    """No cuts at all: one piece, no disc, and both lists are told apart."""
    board, _, parts = wood.long_thin()
    drawing = read(
        draw_layout(layout_of(board, blank("crest rail")), board, parts, Formatter.of("in"))
    )
    assert drawing.said("name") == ["crest rail"]
    assert "disc" not in drawing.discs


def test_the_same_layout_gives_the_same_bytes():
    """Drawn twice, the sheet is the same to the last byte."""
    stock, layout, parts = wood.walnut()
    pages = [draw_pages(layout, stock, parts, Formatter.of("in"), HEADING) for _ in range(2)]
    assert pages[0] == pages[1]
