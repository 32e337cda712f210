"""Rulers and chains."""

import pytest

from inventory.length import INCH, MM
from nester.draw.dims import Reading, graduation, ruler_plan, tick_length
from nester.draw.type import rich
from nester.draw.view import View


def readings(*places, text="12 3/8″"):
    """Return readings at the places."""
    return [Reading(at, rich(text), i in (0, len(places) - 1)) for i, at in enumerate(places)]


def test_figures_stand_level_under_their_marks_where_there_is_room():
    """Far apart, every figure is centred under its mark."""
    plan = ruler_plan(readings(20.0, 80.0, 140.0), 0.0, 200.0)
    assert plan.turned is False
    assert plan.places == pytest.approx((20, 80, 140))


def test_two_close_marks_push_their_figures_apart():
    """Marks 3 mm apart keep level figures, each moved half of what is missing."""
    wide = rich("12 3/8″").width
    plan = ruler_plan(readings(20.0, 100.0, 103.0, 180.0), 0.0, 200.0)
    assert plan.turned is False
    assert plan.places[2] - plan.places[1] == pytest.approx(wide + 1.6)
    assert sum(plan.places[1:3]) / 2 == pytest.approx(101.5)


def test_crowded_figures_are_turned():
    """With many marks close together the figures stand upright, and all are there."""
    marks = [20.0 + 5 * i for i in range(30)]
    plan = ruler_plan(readings(*marks), 0.0, 200.0)
    assert plan.turned is True
    assert len(plan.readings) == 30
    assert plan.depth > rich("12 3/8″").width


def test_where_not_even_turned_figures_fit_the_ends_stay():
    """Of a hundred marks in 60 mm some are left out, never the first or the last."""
    marks = [20.0 + 0.6 * i for i in range(100)]
    plan = ruler_plan(readings(*marks), 10.0, 90.0)
    assert 2 < len(plan.readings) < 30
    assert (plan.readings[0].at, plan.readings[-1].at) == (marks[0], marks[-1])
    gaps = [b - a for a, b in zip(plan.places, plan.places[1:], strict=False)]
    assert min(gaps) >= rich("12 3/8″").height + 0.5 - 1e-6


@pytest.mark.parametrize(
    ("scale", "inch", "step"),
    [
        (7, True, INCH),  # 1 in is 3.6 mm, a quarter only 0.9
        (25, True, INCH),
        (26, True, 3 * INCH),
        (5, True, INCH // 4),
        (5, False, 5 * MM),
        (10, False, 10 * MM),
        (15, False, 50 * MM),
    ],
)
def test_rulers_are_graduated_as_finely_as_can_be_seen(scale, inch, step):
    """The finest marks are a round measure and at least a millimetre apart on paper."""
    view = View(0, 2000 * MM, 0.0, 0.0, scale)
    assert graduation(view, inch)[0] == step
    assert view.mm(step) >= 1.0


def test_round_measures_have_longer_marks():
    """On an inch ruler half feet and feet stand out."""
    assert tick_length(12, 6, 12) > tick_length(6, 6, 12) > tick_length(1, 6, 12)
