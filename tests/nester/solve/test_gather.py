"""Bringing parts onto one board that should come from one."""

from dataclasses import replace

import numpy as np

from nester.problem import build
from nester.solve.gather import gathered
from nester.solve.shift import Shifter
from nester.solve.working import Rooms, working
from tests.nester.maker import board, match, part, read, shop


def test_a_kind_that_is_not_cut_as_things_are_chosen_moves_nothing() -> None:
    """A set with a blank that the configuration does not ask for is left where it is."""
    parts = part("door") + part("drawer", length="10")
    pair = match("front", how="same board", parts=["door", "drawer"])
    asked, stock = read(board("B-1") + board("B-2"), parts, pair + shop())
    problem = build(asked.parts, stock, asked.shop, asked.matches)
    here = working(problem, Shifter(problem).first(), Rooms())
    own = replace(problem.together[0], kinds=(len(problem.demands),))
    assert gathered(here, [], own, np.random.default_rng(0)) == ([], 0)
