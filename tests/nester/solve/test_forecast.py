"""What sets of boards will leave out, learned: checked with pencil cases and least squares."""

from itertools import product

import numpy as np
import pytest

from nester.solve.forecast import (
    BOARDS,
    EACH_OVER,
    NEAR,
    NOTHING_OVER,
    SEARCHES,
    SETS,
    UNSURE,
    Forecast,
    chance,
)

SETS_OF_FOUR = np.array(list(product((0, 1), repeat=4)), np.int64)
OVER = np.linspace(0.0, 0.06, 16)


def test_untried_sets_are_told_by_what_they_cost_above_what_is_proven() -> None:
    """The first guess is a line."""
    expected = Forecast(SETS_OF_FOUR).expected(OVER)
    assert expected == pytest.approx(NOTHING_OVER + EACH_OVER * OVER)


def test_what_is_learned_is_ridge_regression() -> None:
    """The same by least squares with a row more for each guess, each row over its deviation."""
    rng = np.random.default_rng(1)
    tried, left = rng.integers(0, 16, 30), rng.uniform(0, 0.05, 30)
    forecast = Forecast(SETS_OF_FOUR)
    for number, share in zip(tried, left, strict=True):
        forecast.learn(int(number), float(share))
    told = np.column_stack([np.ones(16), OVER, SETS_OF_FOUR])
    guessed = np.array([*UNSURE, *[BOARDS] * 4])
    rows = np.vstack([told[tried] / SEARCHES, np.diag(1 / guessed)])
    values = [*(left / SEARCHES), NOTHING_OVER / UNSURE[0], EACH_OVER / UNSURE[1], 0, 0, 0, 0]
    line = told @ np.linalg.lstsq(rows, np.array(values))[0]
    untried = sorted(set(range(16)) - set(tried.tolist()))
    assert forecast.expected(OVER)[untried] == pytest.approx(line[untried])
    for number in set(tried.tolist()):
        beyond = left[tried == number] - line[number]
        own = beyond.sum() / (len(beyond) + (SEARCHES / SETS) ** 2)
        assert forecast.expected(OVER)[number] == pytest.approx(line[number] + own)


def test_a_board_that_left_much_out_is_expected_to_do_so_elsewhere() -> None:
    """The first board left a twentieth out with each of two others; it was not tried with the last.

    Without it nothing was left out.
    """
    forecast = Forecast(SETS_OF_FOUR)
    for number in (0b1100, 0b1010):
        forecast.learn(number, 0.05)
    for number in (0b0100, 0b0010, 0b0110):
        forecast.learn(number, 0.0)
    expected = forecast.expected(np.full(16, 0.04))
    assert expected[0b1001] > expected[0b0101]
    assert expected[0b1001] > expected[0b0001]


def test_the_less_is_left_out_the_better_the_chance() -> None:
    """With room for all it is full, and falls without end."""
    chances = chance(np.array([-0.01, 0.0, 0.005, NEAR, 0.03]))
    assert chances[:2] == pytest.approx([1.0, 1.0])
    assert chances[3] == pytest.approx(np.exp(-0.5))
    assert np.all(np.diff(chances[1:]) < 0)


def test_what_cannot_hold_all_is_no_number_too_large() -> None:
    """A set proven to cost more than any money is as bad as can be told."""
    over = np.where(np.arange(16) == 3, -np.inf, 0.03)
    assert np.isfinite(Forecast(SETS_OF_FOUR).expected(over)).all()
