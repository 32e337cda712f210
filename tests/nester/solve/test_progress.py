"""What effort has lately gained."""

from nester.solve.progress import Progress


def test_at_first_everything_is_hoped_for() -> None:
    """As long as nothing is known of the first half of the effort, it counts as gaining."""
    progress = Progress()
    assert progress.gains(10, 500)
    progress.add(8, 500)
    assert progress.gains(10, 500)


def test_what_stands_still_over_half_the_effort_gains_nothing() -> None:
    """A value found in the first half of the effort and kept since is no gain."""
    progress = Progress()
    progress.add(2, 800)
    progress.add(4, 500)
    assert progress.gains(7, 500)
    assert not progress.gains(10, 500)


def test_a_change_too_small_to_matter_is_none() -> None:
    """A thousandth is the least that counts, for a cost that falls and a bound that rises."""
    progress = Progress()
    progress.add(2, 100_000)
    for value in (100_050, 99_950):
        assert not progress.gains(10, value)
    for value in (100_200, 99_800):
        assert progress.gains(10, value)
