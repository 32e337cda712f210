"""The published sizes: values named by their source, and what must hold within each table."""

from dataclasses import replace
from fractions import Fraction

import pytest

from inventory.length import INCH, MM
from inventory.lumber_tables import (
    HARDWOOD_S2S,
    HARDWOOD_THIN_S2S,
    PANEL_SIZE,
    PANEL_SIZE_UNDER,
    PANEL_THICKNESS,
    SOFTWOOD_THICKNESS,
    SOFTWOOD_WIDTH,
    dressed_softwood,
    hardwood_s2s,
    panel_class,
    quarters,
    size_cautions,
)
from inventory.stock import Board, Sheet, Surface

PLY = Sheet("BP18", "birch plywood", 96 * INCH, 48 * INCH, 18 * MM, 3 * INCH // 4)
WALNUT = Board("W-07", "walnut", 110 * INCH, 8 * INCH, 8 * INCH, 17 * INCH // 16, INCH)


@pytest.mark.parametrize(
    ("nominal", "dressed"),
    [
        ((1, 4), ("3/4", "7/2")),
        ((2, 4), ("3/2", "7/2")),
        ((2, 6), ("3/2", "11/2")),
        ((2, 8), ("3/2", "29/4")),
        ((2, 10), ("3/2", "37/4")),
        ((2, 12), ("3/2", "45/4")),
        ((4, 4), ("7/2", "7/2")),
    ],
)
def test_dressed_sizes_of_softwood(nominal: tuple[int, int], dressed: tuple[str, str]) -> None:
    """A dry 2 x 4 is 1 1/2 x 3 1/2 in (PS 20-20, American Softwood Lumber Standard)."""
    assert dressed_softwood(*nominal) == tuple(Fraction(size) for size in dressed)


@pytest.mark.parametrize(
    ("number", "s2s"), [(4, "13/16"), (5, "17/16"), (6, "21/16"), (8, "7/4"), (16, "15/4")]
)
def test_surfaced_hardwood(number: int, s2s: str) -> None:
    """4/4 surfaced two sides is 13/16 in, 8/4 is 1 3/4 in (NHLA rules, standard thicknesses)."""
    assert hardwood_s2s(number * INCH // 4) == Fraction(s2s)


def test_thin_hardwood_and_unlisted() -> None:
    """3/4 in rough is 9/16 in surfaced (NHLA rules); 9/4 is in no table."""
    assert hardwood_s2s(3 * INCH // 4) == Fraction(9, 16)
    assert hardwood_s2s(9 * INCH // 4) is None


def test_panels() -> None:
    """Unsanded 3/4 in plywood is 0.719 to 0.781 in, labelled 0.734; 48 x 96 in, at most 1/16 less
    (PS 1-19, Structural Plywood)."""
    listed = panel_class(3 * INCH // 4)
    assert listed is not None
    assert listed == (Fraction("0.719"), Fraction("0.781"), Fraction("0.734"))
    assert PANEL_SIZE == (96, 48)
    assert Fraction(1, 16) == PANEL_SIZE_UNDER
    assert panel_class(18 * MM) is None


def test_what_must_hold_within_the_tables() -> None:
    """Dressed is under nominal, green over dry, sizes rise, a label lies within its class."""
    for table in (SOFTWOOD_THICKNESS, SOFTWOOD_WIDTH):
        assert list(table) == sorted(table)
        for nominal, size in table.items():
            assert size.dry < size.green < nominal
    rough = {Fraction(number, 4): size for number, size in HARDWOOD_S2S.items()}
    hardwood = {**HARDWOOD_THIN_S2S, **rough}
    assert list(hardwood) == sorted(hardwood)
    assert list(hardwood.values()) == sorted(hardwood.values())
    assert all(surfaced < nominal for nominal, surfaced in hardwood.items())
    for nominal, panel in PANEL_THICKNESS.items():
        assert panel.least < panel.label < panel.most
        assert panel.least <= nominal <= panel.most
    for nominal in (1, 2, 3, 4):
        assert SOFTWOOD_THICKNESS[Fraction(nominal)].dry < nominal


def test_quarters() -> None:
    """A thickness that is a whole number of quarters of an inch has that name."""
    assert quarters(5 * INCH // 4) == 5
    assert quarters(18 * MM) is None


def test_a_sheet_that_is_not_what_it_is_called() -> None:
    """A sheet called 3/4 in that measures 18 mm is worth a word."""
    (caution,) = size_cautions(PLY)
    assert caution.line() == (
        'caution: "BP18": called 3/4 in but measures 18 mm; cut grooves and housings to the sheet, '
        'not to its name (found "18 mm"); accepted: 0.719 to 0.781 in under that name (PS 1)'
    )
    assert size_cautions(replace(PLY, nominal=18 * MM)) == []
    assert size_cautions(replace(PLY, thickness=PLY.nominal - MM // 2)) == []


def test_a_board_thinner_than_it_was_sold() -> None:
    """4/4 that measures 3/4 in is thinner than surfaced lumber of that name."""
    (caution,) = size_cautions(replace(WALNUT, thickness=3 * INCH // 4))
    assert caution.code == "thickness-not-as-sold"
    assert "sold as 1 in but measures only 3/4 in" in caution.message
    assert size_cautions(WALNUT) == []
    assert size_cautions(replace(WALNUT, thickness=13 * INCH // 16)) == []
    assert size_cautions(replace(WALNUT, thickness=3 * INCH // 4, surface=Surface.S4S)) == []
