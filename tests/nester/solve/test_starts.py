"""First plans from a rectangle packer."""

from nester.problem import build
from nester.solve.rows import blanks, kerfs, shown, usable
from nester.solve.starts import starts
from tests.nester.maker import board, part, read, sheet, shop

PANELS = part("side", material="plywood", length="20", width="10", count=3) + part(
    "shelf", material="plywood", length="15", width="8", count=4, grain="any"
)


def test_starts_are_layouts_that_hold() -> None:
    """Blanks lie on the sheet, a kerf apart, clear of flaws, and no more than are asked for."""
    knot = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1"}
    stock = sheet("P-1", count=2, flaws=[knot]) + sheet("P-2")
    project, items = read(stock, PANELS, shop(sheet_trim="1/2"))
    problem = build(project.parts, items, project.shop)
    found = starts(problem)
    assert found
    for columns in found:
        for d, demand in enumerate(problem.demands):
            assert sum(c.counts[d] for c in columns) <= demand.copies
        for s, item in enumerate(problem.stock):
            assert sum(c.stock == s for c in columns) <= item.count
        for made in columns:
            item = problem.stock[made.stock]
            boxes = [box for _, box in blanks(made.row, usable(item))]
            for option, box in blanks(made.row, usable(item)):
                assert shown(item.options[option], box, item) is not None
            for one in boxes:
                for two in boxes:
                    if one is not two:
                        apart_x = one[2] + item.kx <= two[0] or two[2] + item.kx <= one[0]
                        apart_y = one[3] + item.ky <= two[1] or two[3] + item.ky <= one[1]
                        assert apart_x or apart_y
            for kerf in kerfs(made.row, usable(item), item):
                assert not any(meets(kerf, box) for box in boxes)


def meets(one: tuple[int, int, int, int], two: tuple[int, int, int, int]) -> bool:
    """Whether two rectangles overlap."""
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def test_boards_have_none() -> None:
    """The packer knows nothing of edges and crook, so boards are left to the search."""
    project, items = read(board(), part(), shop())
    assert starts(build(project.parts, items, project.shop)) == []
