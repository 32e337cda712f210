"""Paper, boxes and scales."""

import pytest

from nester.draw.page import A4, LETTER, PT, Box, fit_factor, neat_scale, paper_called


def test_paper_sizes_are_those_of_the_standards():
    """A4 is 210 x 297 mm (ISO 216), Letter 8 1/2 x 11 in (ANSI/ASME Y14.1, size A)."""
    assert (A4.width, A4.height) == (297, 210)
    assert LETTER.width == pytest.approx(11 * 25.4)
    assert LETTER.height == pytest.approx(8.5 * 25.4)


def test_a_point_is_a_seventy_second_of_an_inch():
    """A4 is 841.89 x 595.28 points, Letter 792 x 612 (common knowledge of the printing trade)."""
    assert A4.width / PT == pytest.approx(841.89, abs=0.005)
    assert A4.height / PT == pytest.approx(595.28, abs=0.005)
    assert LETTER.width / PT == pytest.approx(792)
    assert LETTER.height / PT == pytest.approx(612)


def test_margins_keep_off_what_a_laser_printer_cannot_reach():
    """At least 10 mm or half an inch is left all round (common practice, no source)."""
    assert A4.live == Box(10, 10, 287, 200)
    live = LETTER.live
    assert (live.left, live.top) == (12.7, 12.7)
    assert (live.width, live.height) == (pytest.approx(254), pytest.approx(190.5))


def test_fit_factor_between_the_two_papers():
    """An A4 page shrinks to 94.07 % on Letter, a Letter page to 97.27 % on A4, by arithmetic."""
    assert fit_factor(210, 297, 215.9, 279.4) == pytest.approx(279.4 / 297)
    assert fit_factor(215.9, 279.4, 210, 297) == pytest.approx(210 / 215.9)


@pytest.mark.parametrize(
    ("factor", "scale"), [(1, 1), (0.5, 2), (0.4, 2.5), (0.39, 3), (0.1, 10), (0.0999, 11)]
)
def test_neat_scales(factor, scale):
    """The drawing is never larger than fits, and its scale is a number that can be said."""
    assert neat_scale(factor) == scale


@pytest.mark.parametrize("factor", [0, -1, float("inf"), float("nan")])
def test_nothing_fits_at_no_factor(factor):
    """A room of no size is refused."""
    with pytest.raises(ValueError, match="nothing fits"):
        neat_scale(factor)


def test_papers_are_found_by_name_in_any_case():
    """A4 and Letter are found as people type them; anything else is told what there is."""
    assert paper_called("A4") is A4
    assert paper_called(" letter ") is LETTER
    with pytest.raises(ValueError, match='"A5"; accepted: a4 or letter'):
        paper_called("A5")


def test_boxes_that_touch_do_not_overlap():
    """Two boxes side by side share a border, not an inside; one within another is held."""
    left, right = Box(0, 0, 10, 10), Box(10, 0, 20, 10)
    assert not left.overlaps(right)
    assert left.overlaps(right.grown(0.1))
    assert left.holds(Box(0, 0, 10, 10))
    assert not left.holds(Box(0, 0, 10, 10.1))
    assert left.common(Box(5, 5, 20, 20)) == Box(5, 5, 10, 10)
    assert left.common(right) is None
