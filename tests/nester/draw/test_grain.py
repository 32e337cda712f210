"""Grain strokes."""

from dataclasses import replace

import pytest

from inventory.formatter import Formatter
from inventory.length import INCH
from inventory.stock import Flaw, FlawKind, Sawn, SheetGrain
from nester.draw import draw_layout
from nester.draw.grain import round_knots, runs_along, waves
from tests.nester.draw import wood
from tests.nester.draw.reading import path_spots, read
from tests.nester.draw.wood import WASTE, blank, cross, inches, layout_of


def test_the_same_board_always_looks_the_same():
    """Strokes come from the id: the same id gives the same, another id others."""
    board, _, _ = wood.walnut()
    assert waves(board) == waves(replace(board, note="moved", price=board.price + 1))
    assert waves(board) != waves(replace(board, id="W-08"))


def test_grain_runs_along_a_board_and_as_a_sheet_says():
    """Boards always along; sheets along, across, or none shown."""
    board, _, _ = wood.walnut()
    sheet, _, _ = wood.plywood()
    assert runs_along(board) is True
    assert runs_along(sheet) is True
    assert runs_along(replace(sheet, grain=SheetGrain.WIDTH)) is False
    assert waves(replace(sheet, grain=SheetGrain.NONE)) == []


def test_strokes_are_long_and_only_slightly_wavy():
    """A stroke wanders by less than the distance of its neighbours; a quartered board's by less."""
    board, _, _ = wood.walnut()
    rows = len({wave.across for wave in waves(board)})
    for wave in waves(board):
        assert wave.swing * 1.4 < board.width / rows
        assert wave.end - wave.start > board.length / 10
    calm = waves(replace(board, sawn=Sawn.QUARTER))
    assert max(w.swing for w in calm) < min(w.swing for w in waves(board))


@pytest.mark.parametrize("grain", [SheetGrain.LENGTH, SheetGrain.WIDTH])
def test_strokes_run_in_the_grain_s_direction(grain):
    """On the page they are level for grain along the length and upright for grain across."""
    sheet, layout, parts = wood.plywood()
    svg = draw_layout(layout, replace(sheet, grain=grain), parts, Formatter.of("mm"))
    along = across = 0.0
    for path in read(svg).paths["grain"]:
        for chain in path.split("M")[1:]:
            spots = path_spots("M" + chain)
            along += abs(spots[-1][0] - spots[0][0])
            across += abs(spots[-1][1] - spots[0][1])
    assert (along > 5 * across) is (grain is SheetGrain.LENGTH)
    assert (across > 5 * along) is (grain is SheetGrain.WIDTH)


def test_grain_goes_round_a_knot():
    """Beside a knot the strokes are pushed away from its middle, far from it they are not."""
    board, _, _ = wood.small_board()
    knot = Flaw(FlawKind.KNOT, 20 * INCH, 2 * INCH, 2 * INCH, 2 * INCH)
    board = replace(board, flaws=(knot,))
    assert round_knots(board, 21 * INCH, 3.5 * INCH) > 0
    assert round_knots(board, 21 * INCH, 2.5 * INCH) < 0
    assert round_knots(board, 40 * INCH, 3.5 * INCH) == 0


def test_waste_stays_white():
    """Strokes lie in the pieces alone; none in the waste beside them."""
    board, _, _ = wood.small_board()
    layout = layout_of(board, cross((inches(30), blank("shelf")), (None, WASTE)))
    drawing = read(draw_layout(layout, board, [], Formatter.of("in")))
    ((piece, _),) = drawing.rects["piece"]
    for path in drawing.paths["grain"]:
        for x, y in path_spots(path):
            assert piece.left < x < piece.right
            assert piece.top < y < piece.bottom


def test_strokes_leave_labels_free():
    """No point of the grain lies within a text."""
    board, layout, parts = wood.walnut()
    drawing = read(draw_layout(layout, board, parts, Formatter.of("in")))
    spots = [spot for path in drawing.paths["grain"] for spot in path_spots(path)]
    assert len(spots) > 100
    for text in drawing.texts:
        box = text.box
        assert not any(box.left < x < box.right and box.top < y < box.bottom for x, y in spots)
