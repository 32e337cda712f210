"""What effort has lately gained."""

from nester.solve.trend import Trend


def test_at_first_everything_is_hoped_for() -> None:
    """As long as nothing is known of the first half of the effort, it counts as gaining."""
    trend = Trend()
    assert trend.gains(10, 500)
    trend.add(8, 500)
    assert trend.gains(10, 500)


def test_what_stands_still_over_half_the_effort_gains_nothing() -> None:
    """A value found in the first half of the effort and kept since is no gain."""
    trend = Trend()
    trend.add(2, 800)
    trend.add(4, 500)
    assert trend.gains(7, 500)
    assert not trend.gains(10, 500)


def test_a_change_too_small_to_matter_is_none() -> None:
    """A thousandth is the least that counts, for a cost that falls and a bound that rises."""
    trend = Trend()
    trend.add(2, 100_000)
    for value in (100_050, 99_950):
        assert not trend.gains(10, value)
    for value in (100_200, 99_800):
        assert trend.gains(10, value)
