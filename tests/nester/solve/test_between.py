"""Blanks between sections that are kept: where the rooms are, and that plans pass the checker."""

from collections import Counter
from collections.abc import Sequence
from random import Random
from typing import Any

import numpy as np
import pytest

from inventory.stock import Stock
from nester.model import Project, System
from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.between import Kept, opened, pack_between, rooms
from nester.solve.columns import Column, column
from nester.solve.kernels import columns as k
from nester.solve.offered import classes_of
from nester.solve.pack import Manner, Packed, pack, total
from nester.solve.plans import draft
from nester.solve.result import Result
from nester.solve.rows import Blank, Rect, Row, blanks, usable
from tests.nester.maker import Rounds, board, checked, part, read, sheet, shop
from tests.oracle.cases import case

INCHES = {"grid": 1, "tape": 1, "flaw_margin": 0, "metal_clear": 1, "offcut_credit": 0}
KERF = {"crosscut": 1, "rip": 1, "rough_rip": 1, "sheet": 1, "resaw": 1}
MANNER = Manner(20, open_most=9)


def job(stock: str, parts: str, **habits: Any) -> tuple[Problem, Arrays]:
    """Return a problem on a grid of an inch, so that cells are inches, with a kerf of one."""
    project, items = read(stock, parts, shop(**{**INCHES, "kerf": KERF, **habits}))
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def spans(found: Arrays, kept: Sequence[Kept]) -> list[tuple[int, int]]:
    """Return from where to where the rooms reach."""
    table = rooms(found, kept).arrays.classes
    return [(int(row[k.C_U1]), int(row[k.C_U2])) for row in table]


def filled(
    problem: Problem, found: Arrays, kept: Sequence[Kept], others: Sequence[Column] = ()
) -> Packed:
    """Return what comes of placing all that others leave out."""
    weight = np.array([d.area for d in problem.demands], np.float64)
    rng = np.random.default_rng(1)
    return pack_between(problem, found, others, kept, weight / weight.sum(), MANNER, rng)


def boxes(problem: Problem, stock: int, row: Row) -> Counter[tuple[int, Rect]]:
    """Return every blank of a layout with its place."""
    return Counter(blanks(row, usable(problem.stock[stock])) if row.pieces else ())


RAILS = part("long", length="5", width="6", count=2) + part("short", length="4", width="6")


@pytest.mark.parametrize(
    ("pieces", "expected"),
    [
        (((0, 5),), [(6, 24)]),
        (((7, 11),), [(0, 6), (12, 24)]),
        (((0, 5), (6, 10)), [(11, 24)]),
        (((0, 5), (11, 15)), [(6, 10), (16, 24)]),
        (((0, 5), (7, 23)), []),
        (((0, 5), (8, 24)), [(6, 7)]),
    ],
)
def test_rooms_lie_a_kerf_from_what_is_kept(
    pieces: Sequence[tuple[int, int]], expected: list[tuple[int, int]]
) -> None:
    """A board of 24 in and a kerf of 1: a room begins and ends an inch from a section."""
    _, found = job(board(length="24"), RAILS)
    row = Row("x", tuple((start, end, Blank(0)) for start, end in pieces))
    assert spans(found, [Kept(0, row)]) == expected


def test_rooms_across_a_sheet_that_is_ripped_first() -> None:
    """Strips of a sheet of 24 in, 2 in trimmed all round: the far edge's loss is a block."""
    _, found = job(sheet(), part(material="plywood"), sheet_trim=2)
    row = Row("y", ((2, 7, Blank(0)), (12, 15, Blank(0))))
    assert spans(found, [Kept(0, row)]) == [(8, 11), (16, 24)]


def test_stock_of_which_nothing_is_kept_is_one_room_both_ways() -> None:
    """A whole sheet may be crosscut or ripped first, but only once; another is another room."""
    _, found = job(sheet(count=2), part(material="plywood"))
    whole = Kept(0, Row("x", ()))
    made = rooms(found, [whole, whole])
    assert spans(found, [whole, whole]) == [(0, 48), (0, 24)] * 2
    assert made.arrays.classes[:, k.C_STOCK].tolist() == [0, 0, 1, 1]
    assert made.arrays.copies.tolist() == [1, 1]
    assert made.of == (0, 0, 1, 1)


def test_a_room_costs_its_share_of_the_board() -> None:
    """Of 24 in at $24 a room of 4 in costs as 4 do."""
    problem, found = job(board(length="24", price=24), RAILS)
    kept = [Kept(0, Row("x", ((0, 5, Blank(0)), (11, 24, Blank(0)))))]
    value = problem.stock[0].value
    assert rooms(found, kept).arrays.money[0, 0] == pytest.approx(value / 6)


@pytest.mark.parametrize(("length", "fits"), [(16, True), (15, False)])
def test_what_just_fits_between(length: int, fits: bool) -> None:
    """5 in, 4 in and 5 in with two kerfs take 16 in, of which 4 are the room; 3 would not do."""
    problem, found = job(board(length=str(length)), RAILS)
    kept = Row("x", ((0, 5, Blank(0)), (length - 5, length, Blank(0))))
    packed = filled(problem, found, [Kept(0, kept)])
    (made,) = packed.columns
    added = Counter([(1, (6, 0, 10, 6))] if fits else [])
    assert boxes(problem, 0, made.row) == boxes(problem, 0, kept) + added
    assert packed.given.tolist() == [2, int(fits)]


@pytest.mark.parametrize(("room", "fits"), [(4, True), (5, False), (6, True)])
def test_no_less_than_a_kerf_is_sawn_off(room: int, fits: bool) -> None:
    """With a kerf of 2 in, 4 in fit a room of 4 or 6; in one of 5 too little is left to saw off."""
    problem, found = job(board(length=str(14 + room)), RAILS, kerf={**KERF, "crosscut": 2})
    kept = Row("x", ((0, 5, Blank(0)), (9 + room, 14 + room, Blank(0))))
    (made,) = filled(problem, found, [Kept(0, kept)]).columns
    assert boxes(problem, 0, made.row) - boxes(problem, 0, kept) == Counter(
        [(1, (7, 0, 11, 6))] if fits else []
    )


def test_strips_between_strips() -> None:
    """A strip of 3 in is put between two of a sheet that is ripped first, at 6 of 16 in across."""
    problem, found = job(
        sheet(length="20", width="15"),
        part("wide", material="plywood", length="20", width="5", count=2, grain="length")
        + part("slim", material="plywood", length="20", width="3", grain="length"),
    )
    own = [o.demand for o in problem.stock[0].options]
    wide, slim = own.index(0), own.index(1)
    kept = Row("y", ((0, 5, Blank(wide)), (10, 15, Blank(wide))))
    (made,) = filled(problem, found, [Kept(0, kept)]).columns
    added = boxes(problem, 0, made.row) - boxes(problem, 0, kept)
    assert added == Counter([(slim, (0, 6, 20, 9))])


def test_sections_are_taken_out_until_there_are_enough_blanks() -> None:
    """Of two boards with three sections of one blank: one at the least, four of six, or all."""
    problem, _ = job(board(length="20", count=2), part(length="5", width="6", count=6))
    row = Row("x", ((0, 5, Blank(0)), (6, 11, Blank(0)), (12, 17, Blank(0))))
    columns = [column(problem, 0, row), column(problem, 0, row)]
    for enough, out in ((-3, 1), (4, 4), (99, 6)):
        others, kept = opened(problem, columns, enough, np.random.default_rng(7))
        assert not others
        assert sum(len(each.row.pieces) for each in kept) == 6 - out
        assert all(set(each.row.pieces) <= set(row.pieces) for each in kept)


def verified(project: Project, items: list[Stock], columns: Sequence[Column]) -> None:
    """Have the checker look at layouts as at a plan."""
    patch = pytest.MonkeyPatch()

    def solved(problem: Problem, *_: object, **__: object) -> Result:
        made = draft(problem, columns)
        return Result(made.columns, made.missing, made.cost, 0, "work", 0.0, 0)

    with patch.context() as patched:
        patched.setattr("nester.planning.solve", solved)
        checked(project, items, Rounds(1))


def reopened(project: Project, items: list[Stock], seed: int) -> int:
    """Take sections out of a first plan, place them anew, check all; return what was kept."""
    items = sorted(items, key=lambda item: item.id)
    parts = sorted(project.parts, key=lambda part: part.name)
    problem = build(parts, items, project.shop)
    found = arrays(problem)
    demand = np.array([d.copies for d in problem.demands], np.int16)
    weight = np.array([d.area for d in problem.demands], np.float64)
    weight /= weight.sum()
    rng = np.random.default_rng(seed)
    order = classes_of(found, range(len(problem.stock)))
    first = pack(problem, found, demand, weight, found.copies, order, Manner(3))
    if not first.columns:
        return 0
    others, kept = opened(problem, first.columns, int(rng.integers(1, 6)), rng)
    packed = pack_between(problem, found, others, kept, weight, MANNER, rng)
    verified(project, items, [*others, *packed.columns])
    assert (total([*others, *packed.columns], len(demand)) <= demand).all()
    stays = [each for each in kept if each.row.pieces]
    for each in stays:
        same = [made for made in packed.columns if made.stock == each.stock]
        assert any(
            boxes(problem, each.stock, each.row) <= boxes(problem, made.stock, made.row)
            for made in same
        )
    return sum(len(each.row.pieces) for each in stays)


@pytest.mark.parametrize("first", range(0, 200, 20))
def test_wild_cases(first: int) -> None:
    """Any number of stages, any first cut, rough and tapered boards."""
    for seed in range(first, first + 20):
        asked = case(seed)
        project = Project("tiny", System.INCH, asked.shop, asked.parts)
        reopened(project, list(asked.stock), seed)


@pytest.mark.parametrize("first_cut", ["crosscut", "rip", "either"])
@pytest.mark.parametrize("first", range(0, 30, 10))
def test_boards_with_knots_nails_crook_and_taper(first: int, first_cut: str) -> None:
    """What is kept stays where it was, and the plan passes the checker."""
    stayed = 0
    for seed in range(first, first + 10):
        rng = Random(seed)
        stock = "".join(
            board(
                f"B-{i}",
                length=str(rng.randint(30, 70)),
                width=[str(rng.randint(7, 9)), str(rng.randint(5, 7))],
                crook=rng.choice(["0", "1/4", "3/8"]),
                edges=rng.choice(["rough", "straight"]),
                count=rng.randint(1, 2),
                flaws=[
                    {
                        "kind": rng.choice(["knot", "metal"]),
                        "x": str(rng.randint(2, 28)),
                        "y": str(rng.randint(0, 4)),
                        "length": "1/2",
                        "width": "1/2",
                    }
                    for _ in range(rng.randint(0, 2))
                ],
            )
            for i in range(3)
        )
        parts = "".join(
            part(
                f"part {i}",
                length=str(rng.randint(4, 22)),
                width=rng.choice(["1 1/2", "2", "2 1/2", "4"]),
                count=rng.randint(1, 5),
            )
            for i in range(4)
        )
        habits = shop(
            first_cut=first_cut,
            shortest_rip=rng.choice([0, 8]),
            grid=rng.choice(["1/16", "1/8"]),
            stages=rng.choice([2, 3, 4]),
        )
        project, items = read(stock, parts, habits)
        stayed += reopened(project, items, seed)
    assert stayed
