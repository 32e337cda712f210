"""The plain problem of a configuration."""

from dataclasses import replace

from nester.problem import Problem, build
from nester.solve.bound.area import usable_cells
from nester.solve.working import Rooms
from tests.nester.maker import board, part, read, shop


def clear_and_stained() -> Problem:
    """Return a rail that must be clear and one that may be stained, and a board with a stain."""
    stain = {"kind": "stain", "x": "10", "y": "0", "length": "12", "width": "6"}
    asked, stock = read(
        board(flaws=[stain], price=60),
        part("shown", quality="clear") + part("stained", quality="sound"),
        shop(offcut_credit=0),
    )
    return build(asked.parts, stock, asked.shop)


def test_what_blanks_may_take_goes_by_the_flaws_that_count() -> None:
    """The same numbers as worked out anew, whichever blanks were asked about before."""
    problem = clear_and_stained()
    (item,) = problem.stock
    shown = [o for o in item.options if problem.demands[o.demand].parts[0][0] == "shown"]
    stained = [o for o in item.options if o not in shown]
    rooms = Rooms()
    found = []
    for own in (shown, stained, shown, item.options):
        alone = replace(item, options=tuple(own))
        found.append(rooms.of(0, alone))
        assert found[-1] == usable_cells(alone, kerfs=True)
    assert found[0] < found[1]
