"""Which stock may give a part at all."""

import pytest

from nester.blanks import Refusal, needed, refusal
from tests.nester.maker import board, fits, part, read, sheet, shop


@pytest.mark.parametrize(
    ("stock", "good", "bad"),
    [
        pytest.param(board(), part(material="maple"), part(material="oak"), id="species"),
        pytest.param(
            board(species="Hard  Maple"),
            part(material="hard maple"),
            part(material="hardmaple"),
            id="capitals and spacing do not matter",
        ),
        pytest.param(
            board(), part(material=["oak", "maple"]), part(material=["oak", "ash"]), id="a list"
        ),
        pytest.param(
            board("M-1") + board("M-2", width="2"),
            part(**{"from": ["M-1"]}),
            part(**{"from": ["M-2"]}),
            id="from",
        ),
        pytest.param(
            board("M-1") + board("M-2", width="2"),
            part(not_from=["M-2"]),
            part(not_from=["M-1"]),
            id="not_from",
        ),
        pytest.param(
            board(sawn="quarter"), part(sawn="quarter"), part(sawn="rift"), id="sawn another way"
        ),
        pytest.param(board(), part(), part(sawn="flat"), id="how it is sawn is not known"),
        pytest.param(
            sheet(thickness="18 mm", nominal="18 mm"),
            part(material="plywood", thickness="18.5 mm"),
            part(material="plywood", thickness="18.503125 mm"),
            id="a sheet half a millimetre thinner",
        ),
        pytest.param(
            sheet(thickness="18 mm", nominal="18 mm"),
            part(material="plywood", thickness="17.5 mm"),
            part(material="plywood", thickness="17.496875 mm"),
            id="a sheet half a millimetre thicker",
        ),
        pytest.param(
            sheet(thickness="18 mm", nominal="3/4"),
            part(material="plywood", thickness="3/4"),
            part(material="plywood", thickness="20 mm"),
            id="a sheet by what it is called",
        ),
        pytest.param(
            sheet(thickness="18 mm", nominal="3/4"),
            part(material="plywood", thickness="18 mm"),
            part(material="plywood", thickness="17 mm"),
            id="the same sheet by what it measures",
        ),
        pytest.param(
            sheet(thickness="1/2"),
            part(material="plywood", thickness="1/2"),
            part(material="plywood", thickness="1/4"),
            id="sheets are not planed down",
        ),
    ],
)
def test_stock_that_suits(stock: str, good: str, bad: str) -> None:
    """The one part may come from this stock, the other not."""
    assert fits(stock, good)
    assert not fits(stock, bad)


@pytest.mark.parametrize(
    ("stock", "of_part", "why"),
    [
        (board(), {"material": "oak"}, Refusal.MATERIAL),
        (board("M-1") + board("M-2"), {"from": ["M-2"]}, Refusal.NOT_FROM),
        (board("M-1") + board("M-2"), {"not_from": ["M-1"]}, Refusal.NOT_FROM),
        (board(), {"sawn": "rift"}, Refusal.SAWN),
        (board(), {"thickness": "1 1/8"}, Refusal.TOO_THIN),
        (board(), {"thickness": "1/8"}, Refusal.TOO_THICK),
        (board(), {"length": "61"}, Refusal.TOO_SHORT),
        (board(), {"width": "7"}, Refusal.TOO_NARROW),
        (sheet(), {"material": "plywood", "thickness": "1/2"}, Refusal.THICKNESS),
        (board(), {}, None),
    ],
)
def test_the_reason_that_is_given(stock: str, of_part: dict[str, str], why: Refusal | None) -> None:
    """Each refusal is told apart."""
    project, items = read(stock, part(**of_part), shop())
    (one,) = project.parts
    (way,) = needed(one, items[0], project.shop)
    assert refusal(one, items[0], project.shop, way) is why
