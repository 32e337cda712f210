"""Cautions: each at its limit, and not a sixteenth before."""

from dataclasses import replace

import pytest

from inventory.formatter import Formatter
from inventory.issue import Severity
from inventory.length import MM
from inventory.stock import Flaw, FlawKind
from nester.check.blank_table import blank_table
from nester.check.cautions import cautions
from nester.model import Arch, Grain, How, Match, Outline, System
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, inches, part, project, sheet

SIZES = Formatter.of("in")


def codes(made, stock) -> dict[str, str]:
    """Return the cautions by code."""
    found = cautions(made, blank_table(made, stock), stock, SIZES)
    assert all(issue.severity is Severity.CAUTION for issue in found)
    return {issue.code: issue.message for issue in found}


@pytest.mark.parametrize(
    ("code", "quiet", "loud"),
    [
        # Blanks are 1 in longer and 1/4 in wider than the part.
        ("narrow-rip", part("a", 30, "2 3/4"), part("a", 30, "2 11/16")),
        ("short-milling", part("a", 11, 4), part("a", "10 15/16", 4)),
        ("wide-for-jointer", part("a", 30, "7 3/4"), part("a", 30, "7 13/16")),
        ("wide-for-planer", part("a", 30, "12 3/4"), part("a", 30, "12 13/16")),
        ("wide-for-saw", part("a", 60, "29 3/4"), part("a", 60, "29 13/16")),
        ("thin-planing", part("a", 30, 4, "1/4"), part("a", 30, 4, "3/16")),
    ],
)
def test_machines(code: str, quiet, loud) -> None:
    """Narrow, short, wide and thin parts are named with the limit that they pass."""
    stock = [board("W-1", width=40)]
    assert code not in codes(project(quiet), stock)
    message = codes(project(loud), stock)[code]
    assert message.startswith('"a": ')
    assert " in" in message


def test_short_parts_of_a_run_are_milled_with_their_neighbours() -> None:
    """An end of a box is milled in the run round it, unless there are more copies than it takes."""
    box = Match("box", How.WRAP, ("side", "end", "side", "end"))
    side = part("side", 13, 3, count=2)
    for count, alone in ((2, False), (3, True)):
        made = replace(project(side, part("end", 7, 3, count=count)), matches=(box,))
        assert ("short-milling" in codes(made, [board("W-1")])) is alone
    stack = replace(box, how=How.STACK)
    made = replace(project(side, part("end", 7, 3, count=2)), matches=(stack,))
    assert codes(made, [board("W-1")])["short-milling"].startswith('"end": ')


def test_short_rips_follow_the_shop() -> None:
    """A shop that mills down to 6 in but rips nothing under 12 in is told of what lies between."""
    shop = replace(default_shop(System.INCH), shortest_milled=inches(6))
    stock = [board("W-1")]
    assert "short-rip" not in codes(project(part("a", 11, 4), shop=shop), stock)
    assert "short-rip" in codes(project(part("a", "10 7/8", 4), shop=shop), stock)
    free = replace(shop, shortest_rip=0)
    assert "short-rip" not in codes(project(part("a", 6, 4), shop=free), stock)


def test_machine_that_a_shop_has_not_is_not_spoken_of() -> None:
    """A width of 0 stands for no such machine."""
    shop = replace(default_shop(System.INCH), jointer_width=0, planer_width=0, rip_capacity=0)
    found = codes(project(part("a", 60, 40), shop=shop), [board("W-1", width=48)])
    assert not {"wide-for-jointer", "wide-for-planer", "wide-for-saw"} & set(found)


def test_sheet_parts_are_not_milled() -> None:
    """Plywood sees neither jointer nor planer, but a narrow strip of it is ripped all the same."""
    small = part("a", 8, 2, "1/8", materials=("birch plywood",))
    found = codes(project(small), [sheet("B", thickness="1/8")])
    assert set(found) == {"narrow-rip"}


def test_several_parts_stand_in_one_line() -> None:
    """A caution that concerns many parts is said once."""
    made = project(*(part(f"strip {n}", 30, 1) for n in range(9)))
    message = codes(made, [board("W-1")])["narrow-rip"]
    assert '"strip 0", "strip 1"' in message
    assert "and 3 more" in message


def test_thickness_by_name() -> None:
    """A part said to be 4/4 thick was likely named by its rough stock."""
    named = part("a", 30, 4, 1, thickness_as_written="4/4")
    plain = part("b", 30, 4, 1, thickness_as_written="1")
    fine = part("c", 30, 4, "3/4", thickness_as_written="3/4")
    made = project(named, plain, fine)
    found = cautions(made, blank_table(made, []), [], SIZES)
    (issue,) = [issue for issue in found if issue.code == "thickness-by-name"]
    assert (issue.subject, issue.value) == ("a", "4/4")
    assert "measure it" in issue.message


def test_sheet_that_is_not_what_it_is_called() -> None:
    """A sheet called 3/4 that measures 18 mm is named, but only where the project asks for it."""
    asked = project(part("a", 30, 12, materials=("birch plywood",)))
    thin = replace(sheet("BP18", nominal=inches("3/4")), thickness=18 * MM)
    assert "measures 18 mm" in codes(asked, [thin])["thickness-not-as-called"]
    assert "thickness-not-as-called" not in codes(project(part("b", 30, 4)), [thin])


@pytest.mark.parametrize(
    ("kind", "length", "width", "told"),
    [
        # Half an inch beside the middle an arch of 28 by 1 3/4 is 1.7478 high.
        (FlawKind.KNOT, 1, "1 11/16", True),
        (FlawKind.KNOT, 1, "1 3/4", False),
        (FlawKind.ROT, 1, 1, True),
        (FlawKind.BARK_POCKET, 28, "1/64", False),
        (FlawKind.SPLIT, 1, 1, False),
    ],
)
def test_loose_in_a_cutaway(kind: FlawKind, length, width, told: bool) -> None:
    """A part whose arch may lie over something loose is named, with the boards that have it."""
    flaw = Flaw(kind, inches(20), inches(3), inches(length), inches(width))
    stock = [board("W-1", flaws=(flaw,)), board("W-2")]
    arch = Arch("near", inches(5), inches(28), inches("1 3/4"))
    found = cautions(project(part("a", 38, 4, cutaways=(arch,))), [], stock, SIZES)
    messages = [issue.message for issue in found if issue.code == "loose-in-cutaway"]
    wanted = (
        'its cutaway may be laid over a loose knot, bark pocket or rot of "W-1": knock it out or '
        "fill it before milling"
    )
    assert messages == ([wanted] if told else [])
    assert "loose-in-cutaway" not in codes(project(part("a", 38, 4)), stock)


def test_loose_in_a_corner() -> None:
    """A corner that is sawn off is as large as its box, turned where the part lies turned."""
    flaw = Flaw(FlawKind.KNOT, inches(20), inches(3), inches(2), inches(1))
    corner = Outline(((0, 0), (inches(2), 0), (0, inches(1))))
    along = part("a", 38, 4, cutaways=(corner,))
    stock = [board("W-1", flaws=(flaw,), width=40)]
    assert "loose-in-cutaway" in codes(project(along), stock)
    across = part("a", 38, 4, grain=Grain.WIDTH, cutaways=(corner,))
    assert "loose-in-cutaway" not in codes(project(across), stock)
