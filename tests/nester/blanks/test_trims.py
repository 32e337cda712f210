"""What ends and edges lose: a fit and a just-not-fit of each."""

import pytest

from inventory.length import INCH
from nester.blanks import (
    crosscut_kerf,
    end_trim,
    far_loss,
    near_loss,
    near_losses,
    rip_kerf,
    rip_saw,
)
from nester.layout import Saw
from tests.nester.maker import board, fits, part, planned, read, sheet, shop


@pytest.mark.parametrize(
    ("stock", "habits", "good", "bad"),
    [
        pytest.param(
            board(length="42", ends="rough"),
            shop(),
            part(length="40"),
            part(length="40 1/16"),
            id="an inch at each rough end",
        ),
        pytest.param(
            board(length="41", ends="rough"),
            shop(end_trim="1/2"),
            part(length="40"),
            part(length="40 1/16"),
            id="the shop's own end trim",
        ),
        pytest.param(
            board(length="40 1/4", ends="rough"),
            shop(end_trim="1/16"),
            part(length="40"),
            part(length="40 1/16"),
            id="never less than the kerf of the saw that trims",
        ),
        pytest.param(
            board(length="40", ends="rough"),
            shop(end_trim=0),
            part(length="40"),
            part(length="40 1/16"),
            id="no end trim, no kerf",
        ),
        pytest.param(
            # 42 1/32 less an inch at end B is 41 1/32; the cut is at 41.
            board(length="42 1/32", ends="rough"),
            shop(),
            part(length="40"),
            part(length="40 1/16"),
            id="the last cut lies on the grid although the board ends off it",
        ),
        pytest.param(
            board(width="4", edges="rough"),
            shop(),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="1/8 on each rough edge",
        ),
        pytest.param(
            board(width="4", edges="rough"),
            shop(edge_trim="1/16"),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="never less than the kerf of the rip",
        ),
        pytest.param(
            board(width="4", edges="rough", surface="rough"),
            shop(edge_trim="1/16", plane_off={"rough": 0}),
            part(width="3 7/8"),
            part(width="3 15/16"),
            id="which is 1/16 where rough boards are ripped on the bandsaw",
        ),
        pytest.param(
            board(width="4", edges="rough"),
            shop(edge_trim="3/32"),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="rounded up to the grid",
        ),
        pytest.param(
            board(width="4 1/32", edges="rough"),
            shop(),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="the far edge lies off the grid",
        ),
        pytest.param(
            board(width="4 1/32"),
            shop(),
            part(width="4"),
            part(width="4 1/16"),
            id="a straight edge off the grid loses nothing",
        ),
    ],
)
def test_rough_ends_and_edges(stock: str, habits: str, good: str, bad: str) -> None:
    """What is left between the trims just fits; a sixteenth more does not."""
    assert fits(stock, good, habits)
    assert not fits(stock, bad, habits)


@pytest.mark.parametrize(
    ("stock", "habits", "good", "bad"),
    [
        pytest.param(
            # A quarter of the crook over half the length: 1/8.
            board(length="96", crook="1/2"),
            shop(),
            part(length="48", width="5 7/8"),
            part(length="48", width="5 15/16"),
            id="its share over its own length",
        ),
        pytest.param(
            board(length="96", crook="1/2"),
            shop(),
            part(length="96", width="5 1/2"),
            part(length="96", width="5 9/16"),
            id="all of it over the whole length",
        ),
        pytest.param(
            board(length="96", crook="1/2", edges="rough"),
            shop(),
            part(length="48", width="5 5/8"),
            part(length="48", width="5 11/16"),
            id="with the trim of both rough edges",
        ),
        pytest.param(
            # 1/2 x (30/96)^2 = 0.0488, which is less than the kerf.
            board(length="96", crook="1/2"),
            shop(),
            part(length="30", width="5 7/8"),
            part(length="30", width="5 15/16"),
            id="at least a kerf",
        ),
        pytest.param(
            # 1/2 x (54/96)^2 = 0.1582: two sixteenths and a bit make three.
            board(length="96", crook="1/2"),
            shop(),
            part(length="54", width="5 13/16"),
            part(length="54", width="5 7/8"),
            id="rounded up to the grid",
        ),
        pytest.param(
            board(length="96", crook="1/2"),
            shop(first_cut="rip"),
            part(length="48", width="5 1/2"),
            part(length="48", width="5 9/16"),
            id="all of it where the board is ripped first",
        ),
        pytest.param(
            board(length="96", crook="1/2"),
            shop(first_cut="either"),
            part(length="48", width="5 7/8"),
            part(length="48", width="5 15/16"),
            id="the better of the two",
        ),
    ],
)
def test_crook(stock: str, habits: str, good: str, bad: str) -> None:
    """A crooked board loses on its near edge what its pieces are out of straight."""
    assert fits(stock, good, habits)
    assert not fits(stock, bad, habits)


def test_crook_is_lost_once_a_section_and_not_once_a_part() -> None:
    """6 in less 1/8 of crook and one kerf gives two rails of 2 7/8; a crook each would not."""
    stock = board(length="48", crook="1/8")
    assert fits(stock, part(length="48", width="2 7/8", count=2))
    assert not fits(stock, part(length="48", width="2 15/16", count=2))
    # Three of 1 13/16 and two kerfs are 5 11/16: with 1/8 of crook once 5 13/16, thrice over 6.
    assert fits(stock, part(length="48", width="1 13/16", count=3))


def test_sections_of_a_crooked_board_lose_less_each() -> None:
    """Two 47 in rails, one after the other, are 5 7/8 wide; a rail of the whole length is 5 1/2."""
    stock = board(length="96", crook="1/2")
    assert fits(stock, part(length="47 7/8", width="5 7/8", count=2))
    assert not fits(stock, part(length="96", width="5 7/8"))


@pytest.mark.parametrize(
    ("stock", "good", "bad"),
    [
        pytest.param(
            # Half way from 6 in to 4 in the board is 5 in wide.
            board(length="40", width=["6", "4"]),
            part(length="20", width="5"),
            part(length="20", width="5 1/16"),
            id="narrow at end B",
        ),
        pytest.param(
            board(length="40", width=["4", "6"]),
            part(length="20", width="5"),
            part(length="20", width="5 1/16"),
            id="narrow at end A",
        ),
        pytest.param(
            board(length="40", width=["6", "4"], edges="rough"),
            part(length="20", width="4 3/4"),
            part(length="20", width="4 13/16"),
            id="with rough edges",
        ),
        pytest.param(
            board(length="40", width=["6", "4"]),
            part(length="40", width="4"),
            part(length="40", width="4 1/16"),
            id="over its whole length",
        ),
        pytest.param(
            # At 10 in it is 5 1/2 wide, at 30 in 4 1/2.
            board(length="40", width=["6", "4"]),
            part(length="10", width="5 1/2"),
            part(length="10", width="5 9/16"),
            id="over a quarter",
        ),
    ],
)
def test_taper(stock: str, good: str, bad: str) -> None:
    """A blank ends within the narrowest width over its own length."""
    assert fits(stock, good)
    assert not fits(stock, bad)


@pytest.mark.parametrize(
    ("habits", "good", "bad"),
    [
        (shop(), ("48", "24"), ("48 1/16", "24")),
        (shop(sheet_trim="1/2"), ("47", "23"), ("47 1/16", "23")),
        (shop(sheet_trim="1/2"), ("47", "23"), ("47", "23 1/16")),
        (shop(sheet_trim="1/16"), ("47 3/4", "23 3/4"), ("47 13/16", "23 3/4")),
    ],
)
def test_sheet_trim(habits: str, good: tuple[str, str], bad: tuple[str, str]) -> None:
    """A sheet loses its trim on all four edges, at least a kerf where it loses any."""
    one, two = (part(material="plywood", length=size[0], width=size[1]) for size in (good, bad))
    assert fits(sheet(), one, habits)
    assert not fits(sheet(), two, habits)


@pytest.mark.parametrize("rows", [1, 2])
def test_offcuts_of_a_trimmed_sheet(rows: int) -> None:
    """What is left of a sheet is kept without the edges that are lost."""
    habits = shop(sheet_trim="1/2")
    text = part(material="plywood", length="20", width="11", count=rows)
    plan = planned(sheet(), text, habits)  # the checker looks at its offcuts
    assert plan.cost < 48


@pytest.mark.parametrize(
    ("keys", "saw", "kerf"),
    [
        ({"surface": "rough"}, Saw.ROUGH_RIP, INCH // 16),
        ({"surface": "skip planed"}, Saw.ROUGH_RIP, INCH // 16),
        ({"surface": "S2S"}, Saw.RIP, INCH // 8),
        ({"surface": "S4S"}, Saw.RIP, INCH // 8),
    ],
)
def test_which_saw_rips(keys: dict[str, str], saw: Saw, kerf: int) -> None:
    """Rough boards are ripped to a line, planed ones at the fence."""
    project, (item,) = read(board(**keys), part(), shop())
    assert rip_saw(item) is saw
    assert rip_kerf(item, project.shop) == kerf
    assert crosscut_kerf(item, project.shop) == INCH // 8


def test_losses_in_numbers() -> None:
    """The functions themselves, on a crooked rough board of 96 x 6."""
    text = board(length="96", crook="1/2", edges="rough", ends="rough")
    project, (item,) = read(text, part(), shop())
    habits = project.shop
    assert end_trim(item, habits) == INCH
    assert near_loss(item, habits, 96 * INCH) == INCH // 8 + INCH // 2
    assert near_loss(item, habits, 48 * INCH) == INCH // 8 + INCH // 8
    # A short piece's crook is next to nothing, and yet goes up to the next sixteenth.
    assert near_loss(item, habits, INCH) == INCH // 8 + INCH // 16
    assert far_loss(item, habits) == INCH // 8
    project, (flat,) = read(sheet(), part(), shop())
    assert (near_loss(flat, habits, INCH), far_loss(flat, habits), end_trim(flat, habits)) == (
        (0,) * 3
    )
    assert rip_saw(flat) is Saw.SHEET


@pytest.mark.parametrize("edges", ["rough", "straight"])
@pytest.mark.parametrize("crook", ["0", "1/64", "3/8", "2"])
def test_near_losses_of_all_lengths_at_once(edges: str, crook: str) -> None:
    """The losses of all lengths are those of each, whatever board, saw and grid."""
    for length, surface, grid in (("61 3/32", "rough", "1/16"), ("37", "S4S", "1/4")):
        stock = board(length=length, edges=edges, crook=crook, surface=surface)
        project, (item,) = read(stock, part(), shop(grid=grid, edge_trim="3/32"))
        cells = item.length // project.shop.grid
        lengths = [*(n * project.shop.grid for n in range(cells)), item.length]
        each = [near_loss(item, project.shop, n) for n in lengths]
        assert near_losses(item, project.shop, cells) == each
    project, (item,) = read(sheet(), part(), shop(sheet_trim="1/4"))
    assert near_losses(item, project.shop, 3) == [INCH // 4] * 4
