"""The problem in whole cells, by pencil."""

from collections import Counter
from fractions import Fraction

import numpy as np
import pytest

from inventory.length import INCH
from nester.problem import Problem, build
from tests.nester.maker import board, match, part, read, sheet, shop

CELL = "1/16"
"""The grid of the inch shop."""


def built(stock: str, parts: str, habits: str | None = None) -> Problem:
    """Return the problem of a stock file and parts."""
    project, items = read(stock, parts, shop() if habits is None else habits)
    return build(project.parts, items, project.shop)


def test_a_plain_board_in_cells() -> None:
    """60 x 6 in are 960 x 96 sixteenths; a part of 20 x 3 takes 320 x 48 of them."""
    problem = built(board(), part())
    (item,) = problem.stock
    assert problem.grid == INCH // 16
    assert (item.nx, item.ny, item.x0, item.x1) == (960, 96, 0, 960)
    assert (item.kx, item.ky) == (2, 2)
    assert (item.off_length, item.off_width, item.off_either) == (192, 48, False)
    assert not item.near.any()
    (option,) = item.options
    assert (option.demand, option.length, option.width, option.turned) == (0, 320, 48, False)


def test_a_rough_crooked_board() -> None:
    """End trims, near losses by length and the taper are all in cells."""
    stock = board(
        length="96",
        width=["6", "5"],
        ends="rough",
        edges="rough",
        surface="rough",
        crook="1/2",
    )
    problem = built(stock, part())
    (item,) = problem.stock
    assert (item.x0, item.x1) == (16, 96 * 16 - 16)
    assert (item.kx, item.ky) == (2, 1)
    # 1/8 of trim alone; half the length adds 1/8, all of it 1/2.
    assert item.near[0] == 2
    assert item.near[48 * 16] == 4
    assert item.near[96 * 16] == 10
    assert (np.diff(item.near) >= 0).all()
    # At end B it is 5 in wide, less 1/8.
    cells = np.zeros((item.nx, item.ny), bool)
    for x1, y1, x2, y2 in item.blocks[0]:
        cells[x1:x2, y1:y2] = True
    assert not cells[-1, : 5 * 16 - 2].any()
    assert cells[-1, 5 * 16 - 2 :].all()
    # Over the first cell the narrowest is a hair under 6 in, less 1/8.
    assert not cells[0, : 6 * 16 - 3].any()
    assert cells[0, 6 * 16 - 3 :].all()


def test_copies_that_need_the_same_are_one_demand() -> None:
    """Two parts of one size are one demand, in the order of the list; another size is another."""
    text = (
        part("left", count=2)
        + part("right", spare=1)
        + part("shelf", length="30")
        + part("none", count=1, width="2")
    )
    problem = built(board(), text)
    assert [(d.parts, d.copies) for d in problem.demands] == [
        ((("shelf", 1),), 1),
        ((("left", 2), ("right", 2)), 4),
        ((("none", 1),), 1),
    ]
    assert [d.area for d in problem.demands] == [
        INCH * INCH * area for area in (30 * 3, 20 * 3, 20 * 2)
    ]


def test_runs_of_like_parts_are_one_demand() -> None:
    """Round a box of two sides and two ends, a side and its end are the same blank both times."""
    text = part("side", count=2, length="12") + part("end", count=2, length="6")
    text += match(parts=["side", "end", "side", "end"])
    project, items = read(board(thickness="2"), text, shop(thick_spare="2"))
    problem = build(project.parts, items, project.shop, project.matches)
    sizes = Counter(d.size for d in problem.demands if not d.parts)
    # side end, end side; three from a side on, three from an end on; all four, and two pairs of
    # leaves.
    assert sizes == {2: 2, 3: 2, 4: 3}
    (box,) = problem.choices
    alike = [arc.demand for arc in box.arcs if arc.count == 2 and arc.start in (0, 2)]
    assert len(alike) == 2
    assert len(set(alike)) == 1


@pytest.mark.parametrize(
    "keys",
    [
        {"thickness": "1/2"},
        {"quality": "sound"},
        {"allow": ["sapwood"]},
        {"from": ["M-1"]},
        {"not_from": ["M-2"]},
        {"sawn": "flat"},
        {"grain": "any"},
        {"plane_off": 0},
        {"pulled_flat": True},
        {"material": ["maple", "oak"]},
        {"blank_extra_length": 0, "length": "20"},
    ],
)
def test_parts_that_differ_are_two_demands(keys: dict[str, object]) -> None:
    """What decides where a part may come from keeps it apart from another of its size."""
    stock = board(sawn="flat") + board("M-2")
    problem = built(stock, part("one") + part("two", **keys))
    assert len(problem.demands) == 2


def test_stock_that_gives_nothing_is_left_out() -> None:
    """Boards that no part can come from are no part of the problem."""
    stock = board("M-1", species="oak") + board("M-2") + board("M-3", width="2")
    problem = built(stock, part())
    assert [item.id for item in problem.stock] == ["M-2"]


def test_money_in_ticks() -> None:
    """All the stock together is a million million ticks; a cell gives back its share of half."""
    problem = built(board(price=60, count=2) + board("M-2", price=80), part())
    assert problem.ticks == Fraction(10**12, 200)
    one, two = problem.stock
    assert one.value == 60 * 10**12 // 200
    assert two.value == 80 * 10**12 // 200
    # Never less than its share: what a layout costs in ticks is no more than the truth.
    share = Fraction(one.value, 2 * 960 * 96)
    assert share <= one.cell_credit < share + 1


def test_creditable_cells() -> None:
    """Cells wholly in an unsound flaw earn nothing; the others do, a sound flaw's too."""
    knot = {"kind": "knot", "x": "10", "y": "2", "length": "1", "width": "1"}
    sound = {"kind": "stain", "x": "20", "y": "2", "length": "1", "width": "1"}
    half = {"kind": "knot", "x": "30 1/32", "y": "2 1/32", "length": "1", "width": "1"}
    (item,) = built(board(flaws=[knot, sound, half]), part()).stock

    def cells(x1: int, y1: int, x2: int, y2: int) -> int:
        sums = item.credit
        return int(sums[y2, x2] - sums[y1, x2] - sums[y2, x1] + sums[y1, x1])

    assert cells(0, 0, 960, 96) == 960 * 96 - 16 * 16 - 15 * 15
    assert cells(160, 32, 176, 48) == 0
    assert cells(320, 32, 336, 48) == 256


def test_faces() -> None:
    """A part that may show either face has a list of blocks for each, the better face first."""
    stain = {"kind": "stain", "x": "10", "y": "2", "length": "1", "width": "1", "face": "a"}
    (item,) = built(board(flaws=[stain]), part()).stock
    (option,) = item.options
    assert [flipped for _, flipped in option.shows] == [False, True]
    assert [len(item.blocks[index]) for index, _ in option.shows] == [1, 0]
    (item,) = built(board(flaws=[stain], show_face="b"), part()).stock
    assert [flipped for _, flipped in item.options[0].shows] == [True, False]
    (item,) = built(board(flaws=[stain]), part(quality="clear")).stock
    assert [flipped for _, flipped in item.options[0].shows] == [False]


def test_a_sheet_both_ways() -> None:
    """A part that may be turned on a sheet has two options; offcuts count either way round."""
    (item,) = built(sheet(grain="none"), part(material="plywood", length="20", width="10")).stock
    assert [(o.length, o.width, o.turned) for o in item.options] == [
        (320, 160, False),
        (160, 320, True),
    ]
    assert item.off_either
    assert (item.first_x, item.first_y) == (True, True)


@pytest.mark.parametrize(
    ("first_cut", "found"),
    [("crosscut", (True, False)), ("rip", (False, True)), ("either", (True, True))],
)
def test_first_cuts(first_cut: str, found: tuple[bool, bool]) -> None:
    """A board's first stage goes the way the shop says."""
    (item,) = built(board(), part(), shop(first_cut=first_cut)).stock
    assert (item.first_x, item.first_y) == found


def test_stages_and_short_rips() -> None:
    """Any number of stages is 0, no rule on short rips -1."""
    (item,) = built(board(), part(), shop(stages="any", shortest_rip=12)).stock
    assert (item.stages, item.rip_min) == (0, 192)
    (item,) = built(board(), part(), shop(stages=2, shortest_rip=0)).stock
    assert (item.stages, item.rip_min) == (2, -1)
    (item,) = built(sheet(), part(material="plywood"), shop(shortest_rip=12)).stock
    assert (item.stages, item.rip_min) == (4, -1)


def test_metal_keeps_the_saw_away() -> None:
    """The cells within an inch of a nail are no place for a kerf."""
    nail = {"kind": "metal", "x": "20", "y": "3", "length": "1/8", "width": "1/8"}
    (item,) = built(board(flaws=[nail]), part(quality="sound")).stock
    (block,) = item.metal.tolist()
    assert block == [19 * 16, 2 * 16, 21 * 16 + 2, 4 * 16 + 2]
