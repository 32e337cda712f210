"""Pricing without flaws: the same as with all places looked at, where there are no flaws."""

from random import Random

import numpy as np
import pytest

from nester.problem import build
from nester.solve.arrays import arrays
from nester.solve.bound.plain import PlainPricer
from nester.solve.bound.sections import SectionPricer
from nester.solve.bound.sizes import is_plain, largest_steps
from tests.oracle.cases import case


@pytest.mark.parametrize("kind", [{"plain": True}, {"usual": True}, {}], ids=str)
def test_boards_without_flaws_are_worth_the_same(kind: dict[str, bool]) -> None:
    """On all steps, and never less than where flaws are looked at; counts and credit add up."""
    alike = 0
    for seed in range(60):
        rng = Random(seed)
        asked = case(seed, **kind)
        problem = build(asked.parts, asked.stock, asked.shop)
        found = arrays(problem)
        for cls, direction in enumerate(found.directions):
            item = problem.stock[direction.stock]
            if not item.board:
                continue
            most, _ = largest_steps(found, cls, item)
            for step in {1, min(2, most), min(4, most)}:
                prices = np.array([rng.randrange(item.value + 1) for _ in problem.demands])
                looked = SectionPricer(found, cls, item, len(prices), [(step, 1)])(prices)
                plain = PlainPricer(found, cls, item, len(prices), step)(prices)
                assert plain.value == int(plain.counts @ prices) + plain.credit
                if item.beyond == 0:
                    # What lies beyond the last whole cells is counted twice where flaws are.
                    assert plain.value >= looked.value - 10
                sound = int(item.credit[-1, -1]) == item.nx * item.ny
                one_list = len({blocks.tobytes() for blocks in item.blocks}) <= 1
                plain_board = is_plain(found, cls) and one_list and sound and item.square
                if plain_board and step == 1:
                    # A tick for each leftover of a strip tells that it is there.
                    assert abs(plain.value - looked.value) <= 10
                    alike += 1
    assert alike > 10
